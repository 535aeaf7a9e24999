"""What of a collection's tables goes into an archive and comes out of it, and what does not, each with its reason.

All that lies beside the ledger is taken along by being a table of it: one that is new is carried without a word here.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from typing import Any, Final, Protocol

from sqlalchemy import Column, Connection, LargeBinary, Table, bindparam, func, insert, select, update
from sqlalchemy.exc import DataError, IntegrityError

from ledger.archive.lines import Row
from ledger.errors import ConflictError, MalformedError
from ledger.kept import StoredEntry
from ledger.ports import Codec, Reader
from ledger.proof.envelope import Envelope
from ledger.proof.nodes import leaf_hash
from ledger.store import records
from ledger.store.account_tables import PERSON, SESSION, WAITING_FORM
from ledger.store.bench_tables import FEED
from ledger.store.beside_tables import BESIDE
from ledger.store.engine import Store
from ledger.store.handing_tables import LINK
from ledger.store.reader import SqlReader
from ledger.store.rebuild import rebuild
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, SEARCH_PARTS, WORD_ROW
from ledger.store.tables import (
    BOOK_HEAD,
    CHECKPOINT,
    COLLECTION,
    ENTRY,
    HEAD,
    NODE,
    READ_MODEL,
    RECEIPT,
    SEALED_VALUE,
    TOKEN,
)
from ledger.store.transfer import driven

__all__ = ["CARRIED", "LEFT_OUT", "WITHHELD", "SqlCarrier", "known_columns", "put_back"]

_ANEW: Final = "It is worked out from the entries, and made anew where they are put back."
_OPENS: Final = "It opens a door of this house, and is no use elsewhere; it is made anew there."
_ENDS: Final = "It ends with the session or the program that it was for."
LEFT_OUT: Final[Mapping[str, str]] = {
    HEAD.name: _ANEW,
    NODE.name: _ANEW,
    BOOK_HEAD.name: _ANEW,
    READ_MODEL.name: _ANEW,
    BOOK_ROW.name: _ANEW,
    PICTURE_ROW.name: _ANEW,
    COST_ROW.name: _ANEW,
    WORD_ROW.name: _ANEW,
    BOOK_SEARCH.name: _ANEW,
    **dict.fromkeys(SEARCH_PARTS, _ANEW),
    TOKEN.name: _OPENS,
    FEED.name: _OPENS,
    LINK.name: _OPENS,
    SESSION.name: _ENDS,
    WAITING_FORM.name: _ENDS,
    "alembic_version": "It says how the tables of one database came about, and not what is in them.",
}
WITHHELD: Final[Mapping[tuple[str, str], str]] = {(PERSON.name, "password"): _OPENS}
"""Columns that are carried empty."""

_BESIDE_ENTRIES: Final = (COLLECTION, SEALED_VALUE, RECEIPT, CHECKPOINT, PERSON, *BESIDE)
CARRIED: Final[Mapping[str, Table]] = {each.name: each for each in _BESIDE_ENTRIES if each.name not in LEFT_OUT}
"""In the order in which they can be put back; the entries lie apart, each as its own bytes."""

_OWN: Final = "collection_id"
_ANOTHER: Final = "Take another copy of the file."
_BATCH: Final = 200
"""Rows that are read or put in at once."""
_ONE: Final = 1
"""Of what lies beside the ledger, where a single row may be a whole file, and a batch of them would fill the memory."""
_NEXT: Final = (
    update(HEAD)
    .where(HEAD.c[_OWN] == bindparam("own_collection"))
    .values(size=bindparam("size"), books=bindparam("books"))
)
_TEXT_MOST: Final = 8 * 1024 * 1024
"""Characters and bytes of the rows that are put in at once, unless a single one has more."""


class SqlCarrier:
    """As `archive.carrier.Carrier`."""

    def __init__(self, collection: str, store: Store, codec: Codec) -> None:
        self._collection, self._store, self._codec = collection, store, codec

    @contextmanager
    def read(self) -> Iterator["_Carried"]:
        """One unchanging view."""
        with self._store.snapshot(self._collection) as connection:
            yield _Carried(connection, self._collection, SqlReader(connection, self._collection, self._codec))


class _Carried:
    """As `archive.carrier.Carried`, over one connection."""

    def __init__(self, connection: Connection, collection: str, reader: Reader) -> None:
        self._connection, self._collection, self.reader = connection, collection, reader

    def counts(self) -> dict[str, int]:
        return {name: self._count(table) for name, table in CARRIED.items()}

    def rows(self, table: str) -> Iterator[Row]:
        own = CARRIED[table]
        columns = _columns(own)
        keys = [column for column in own.primary_key if column.name != _OWN]
        asked = select(*columns).where(own.c[_OWN] == self._collection).order_by(*keys)
        ahead = _ONE if own in BESIDE else _BATCH
        for found in self._connection.execution_options(yield_per=ahead).execute(asked).mappings():
            yield {name: None if (table, name) in WITHHELD else value for name, value in found.items()}

    def _count(self, table: Table) -> int:
        asked = select(func.count()).select_from(table).where(table.c[_OWN] == self._collection)
        return int(self._connection.execute(asked).scalar_one())


def known_columns() -> dict[str, tuple[frozenset[str], frozenset[str]]]:
    """As `archive.reading.Known`: of each table its columns, and those that must be there."""
    return {
        name: (
            frozenset(each.name for each in _columns(table)),
            frozenset(each.name for each in _columns(table) if not each.nullable),
        )
        for name, table in CARRIED.items()
    }


def put_back(  # noqa: PLR0913 - what is put, into what, and what must come of it
    target: Store,
    collection: str,
    found: "Found",
    codec: Codec,
    check: Callable[[Reader], None],
    counted: Callable[[int], None] = lambda _done: None,
) -> int:
    """How many books there are, once entries and rows are put in and all else is worked out from them.

    Keeps: all of it in one transaction, or nothing; `check` sees it whole and may still refuse it.
    Raises: ConflictError where the target has the collection already, or the entries are damaged; MalformedError.
    """

    def work(connection: Connection) -> int:
        if connection.execute(select(HEAD).where(HEAD.c[_OWN] == collection)).first() is not None:
            raise ConflictError(sentence=f"There is a collection {collection} already. Name an empty place.")
        there = [table for name, table in CARRIED.items() if name in found.tables]
        if there[:1] != [COLLECTION]:
            raise ConflictError(sentence="The archive says nothing of its collection. Take another copy of the file.")
        _put_rows(connection, collection, COLLECTION, found.rows(COLLECTION.name))
        connection.execute(insert(HEAD), {_OWN: collection, "size": 0, "books": 0})
        _put_entries(connection, collection, found.entries(), counted)
        for table in there[1:]:
            _put_rows(connection, collection, table, found.rows(table.name))
        books = rebuild(connection, collection, codec)
        check(SqlReader(connection, collection, codec))
        return books

    return target.write(collection, work)


class Found(Protocol):
    """What an archive holds, each part of it read as often as it is asked for."""

    @property
    def tables(self) -> Collection[str]: ...
    def entries(self) -> Iterator[bytes]: ...
    def rows(self, table: str) -> Iterator[Row]: ...


def _put_entries(
    connection: Connection, collection: str, entries: Iterable[bytes], counted: Callable[[int], None]
) -> None:
    """One after another, the head moved onto each: the guards hold for these as for all others."""
    put, move = (driven(connection, statement) for statement in (insert(ENTRY), _NEXT))
    books = 0
    for data in entries:
        entry = _entry(data)
        books = max(books, entry.book_no or 0)
        put(records.entry_row(collection, entry))
        move({"own_collection": collection, "size": entry.seq, "books": books})
        counted(entry.seq)


def _entry(data: bytes) -> StoredEntry:
    """All that stands beside an entry's bytes, worked out from them."""
    said = Envelope.from_bytes(data)
    return StoredEntry(
        seq=said.seq,
        data=data,
        leaf=leaf_hash(data).hex(),
        book=said.book,
        book_no=said.book_no,
        book_seq=said.book_seq,
        act=said.act,
        kind=said.kind,
        actor=said.actor,
        recorded=datetime.fromisoformat(said.recorded),
    )


def _put_rows(connection: Connection, collection: str, table: Table, rows: Iterator[Row]) -> None:
    batch: list[dict[str, Any]] = []
    length = 0
    for row in rows:
        batch.append(_fitting(collection, table, row))
        length += sum(len(value) for value in row.values() if isinstance(value, str | bytes))
        if len(batch) == _BATCH or length > _TEXT_MOST:
            _insert(connection, table, batch)
            batch, length = [], 0
    if batch:
        _insert(connection, table, batch)


def _insert(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Raises: MalformedError for rows that the store does not take beside one another, or beside the entries."""
    try:
        connection.execute(insert(table), rows)
    except (IntegrityError, DataError) as error:
        raise _unfit(table, "a row that is there twice, belongs to no entry, or has a value that no row has") from error


def _unfit(table: Table, has: str) -> MalformedError:
    return MalformedError(what="The archive", problem=f"the table {table.name} has {has}", mend=_ANOTHER)


def _fitting(collection: str, table: Table, row: Row) -> dict[str, Any]:
    """The row for a table, each value of the kind that its column takes."""
    for column in _columns(table):
        value = row.get(column.name)
        wanted = bytes if isinstance(column.type, LargeBinary) else column.type.python_type
        if not (isinstance(value, wanted) or (value is None and column.nullable)):
            raise _unfit(table, f"a row without a fitting value for {column.name}")
        if value is not None and (table.name, column.name) in WITHHELD:
            raise _unfit(table, f"a row with a {column.name}, which no archive carries")
    return {_OWN: collection, **{column.name: row.get(column.name) for column in _columns(table)}}


def _columns(table: Table) -> list[Column[Any]]:
    return [column for column in table.columns if column.name != _OWN]
