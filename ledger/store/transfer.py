"""Brings a whole collection from one store into another, whatever they are made of: the same bytes, in the same order."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final

from sqlalchemy import Connection, Row, Table, bindparam, insert, select, update

from ledger.errors import ConflictError, NotFoundError
from ledger.store.account_tables import PERSON
from ledger.store.beside_tables import BESIDE
from ledger.store.engine import Store
from ledger.store.tables import (
    BOOK_HEAD,
    CHECKPOINT,
    COLLECTION,
    ENTRY,
    HEAD,
    NODE,
    RECEIPT,
    SEALED_VALUE,
    TOKEN,
)

__all__ = ["driven", "transfer"]

_BATCH: Final = 1000
_BEHIND: Final = (SEALED_VALUE, RECEIPT, NODE, BOOK_HEAD, CHECKPOINT, TOKEN, PERSON, *BESIDE)
"""What follows the entries, each in the order of its key. Sessions and forms that wait end where they began."""

_NEXT: Final = (
    update(HEAD)
    .where(HEAD.c.collection_id == bindparam("own_collection"))
    .values(size=bindparam("size"), books=bindparam("books"))
)

Progress = Callable[[int, int], None]


def transfer(source: Connection, collection: str, target: Store, progress: Progress | None = None) -> int:
    """How many entries were brought over, in one transaction; lists are made anew when the log is opened there.

    Requires: a snapshot of the source.
    Raises: NotFoundError; ConflictError where the target has the collection already, or the source is damaged.
    """
    head = source.execute(select(HEAD).where(HEAD.c.collection_id == collection)).one_or_none()
    if head is None:
        raise NotFoundError(what="collection", name=collection)

    def work(connection: Connection) -> int:
        if connection.execute(select(HEAD).where(HEAD.c.collection_id == collection)).first() is not None:
            raise ConflictError(sentence=f"There is a collection {collection} already. Name an empty place.")
        _copy(source, connection, COLLECTION, collection)
        connection.execute(insert(HEAD), {"collection_id": collection, "size": 0, "books": 0})
        count = _entries(source, connection, collection, head, progress)
        for table in _BEHIND:
            _copy(source, connection, table, collection)
        return count

    return target.write(collection, work)


def _entries(
    source: Connection, connection: Connection, collection: str, head: Row[Any], progress: Progress | None
) -> int:
    """One after another, the head moved onto each: the guards of the target hold for these as for all others."""
    put, move = (driven(connection, statement) for statement in (insert(ENTRY), _NEXT))
    count = books = 0
    for row in _rows(source, ENTRY, collection):
        count, books = count + 1, max(books, row["book_no"] or 0)
        if row["seq"] != count:
            sentence = f"Entry {count} is missing where the ledger is now. Run verify there, and mend it first."
            raise ConflictError(sentence=sentence)
        put(row)
        move({"own_collection": collection, "size": count, "books": books})
        if progress is not None:
            progress(count, head.size)
    if (count, books) != (head.size, head.books):
        raise ConflictError(sentence="The head is not the last entry where the ledger is now. Run verify there.")
    return count


def _copy(source: Connection, connection: Connection, table: Table, collection: str) -> None:
    rows: list[dict[str, Any]] = []
    for row in _rows(source, table, collection):
        rows.append(row)
        if len(rows) == _BATCH:
            connection.execute(insert(table), rows)
            rows = []
    if rows:
        connection.execute(insert(table), rows)


def _rows(source: Connection, table: Table, collection: str) -> Iterator[dict[str, Any]]:
    """Every row of a collection in the order of its key, a batch at a time."""
    keys = [column for column in table.primary_key if column.name != "collection_id"]
    statement = select(table).where(table.c.collection_id == collection).order_by(*keys)
    found = source.execution_options(yield_per=_BATCH).execute(statement)
    for row in found.mappings():
        yield dict(row)


def driven(connection: Connection, statement: Any) -> Callable[[Mapping[str, Any]], None]:  # noqa: ANN401
    """The statement as the driver takes it, which spares most of the time that a single row takes."""
    compiled = statement.compile(connection, column_keys=None)
    text, names = str(compiled), compiled.positiontup
    if names is None:
        return lambda values: connection.exec_driver_sql(text, dict(values)).close()
    return lambda values: connection.exec_driver_sql(text, tuple(values[name] for name in names)).close()
