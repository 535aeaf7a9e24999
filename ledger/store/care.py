"""The surroundings of one collection's books, in the same store as its ledger and through the same writer."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from sqlalchemy import Row, select

from ledger.care import CareReader, CareRow, CareWriter, Drawer
from ledger.proof.envelope import moment_text
from ledger.store.care_tables import DRAWERS
from ledger.store.engine import Store
from ledger.store.json_rows import JsonRows, said_in
from ledger.store.records import moment

__all__ = ["SqlCare"]

T = TypeVar("T")


class SqlCare:
    """As `care.CareStore`."""

    def __init__(self, collection: str, store: Store) -> None:
        self._collection, self._store = collection, store

    @contextmanager
    def read(self) -> Iterator[CareReader]:
        """What there is at this moment."""
        with self._store.snapshot(self._collection) as connection:
            yield _Rows(connection, self._collection)

    def write(self, work: Callable[[CareWriter], T]) -> T:
        """What the work returned, once it is durable."""
        return self._store.write(self._collection, lambda connection: work(_Rows(connection, self._collection)))


class _Rows(JsonRows):
    """As `care.CareWriter`, over one connection."""

    def rows(self, drawer: Drawer, prefix: str = "") -> list[CareRow]:
        table = DRAWERS[drawer]
        asked = select(table).where(table.c.collection_id == self._collection)
        if prefix:
            asked = asked.where(table.c.id.startswith(prefix, autoescape=True))
        return [_row(each) for each in self._connection.execute(asked.order_by(table.c.made, table.c.id)).all()]

    def row(self, drawer: Drawer, own: str) -> CareRow | None:
        found = self._one(DRAWERS[drawer], own)
        return None if found is None else _row(found)

    def put(self, drawer: Drawer, row: CareRow) -> None:
        self._put(DRAWERS[drawer], row.id, row.said, made=moment_text(row.made))

    def take(self, drawer: Drawer, own: str) -> None:
        self._take(DRAWERS[drawer], own)


def _row(row: Row[Any]) -> CareRow:
    return CareRow(id=row.id, made=moment(row.made), said=said_in(row.data))
