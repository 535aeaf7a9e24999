"""Rows of JSON beside the ledger, of one collection over one connection: kept, read, taken out."""

import json
from collections.abc import Mapping
from typing import Any, Final

from sqlalchemy import Connection, Row, Table, delete, insert, select

__all__ = ["JsonRows", "said_in"]

_UNREADABLE: Final[Mapping[str, Any]] = {}


class JsonRows:
    """What the stores of things beside the ledger have in common; each table is one of `bench_tables.beside_table`."""

    def __init__(self, connection: Connection, collection: str) -> None:
        self._connection, self._collection = connection, collection

    def _all(self, table: Table, order: Any) -> list[Row[Any]]:  # noqa: ANN401 - a column
        asked = select(table).where(table.c.collection_id == self._collection).order_by(order, table.c.id)
        return list(self._connection.execute(asked).all())

    def _one(self, table: Table, own: str) -> Row[Any] | None:
        asked = select(table).where(table.c.collection_id == self._collection, table.c.id == own)
        return self._connection.execute(asked).one_or_none()

    def _put(self, table: Table, own: str, said: Mapping[str, object], **moments: str) -> None:
        """In the place of what was there under that id."""
        self._take(table, own)
        self._add(table, own, said, **moments)

    def _add(self, table: Table, own: str, said: Mapping[str, object], **moments: str) -> None:
        row = {"collection_id": self._collection, "id": own, "data": json.dumps(said), **moments}
        self._connection.execute(insert(table), row)

    def _take(self, table: Table, own: str) -> None:
        self._connection.execute(delete(table).where(table.c.collection_id == self._collection, table.c.id == own))


def said_in(text: str) -> Mapping[str, Any]:
    """What a row holds; one that was tampered with holds nothing."""
    try:
        found = json.loads(text)
    except ValueError:
        return _UNREADABLE
    return found if isinstance(found, dict) else _UNREADABLE
