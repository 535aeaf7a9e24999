"""Reads one collection from one snapshot: entries, what proves them, and what lies beside them."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from sqlalchemy import BindParameter, Connection, Row, Select, bindparam, func, select

from ledger.damage import MissingTable
from ledger.entry import Entry
from ledger.errors import DamagedError, LedgerError, NotFoundError
from ledger.events import Event
from ledger.ports import BookHead, Codec, LogHead, Receipt, SealedValue, StoredCheckpoint, StoredEntry, StoredToken
from ledger.rows import Listing
from ledger.store import beside, daybook, many, queries, records
from ledger.store.guarded import missing_guards
from ledger.store.inventory import missing_tables, strangers
from ledger.store.joined import joined
from ledger.store.list_reader import ListReader
from ledger.store.read_before import ReadBefore
from ledger.store.read_models import are_made
from ledger.store.shelf import Counted
from ledger.store.tables import BOOK_HEAD, CHECKPOINT, COLLECTION, ENTRY, HEAD, NODE, RECEIPT, SEALED_VALUE
from ledger.views import BookQuery, BookRow, DaybookRow, EntryQuery, Page

__all__ = ["SqlReader"]

_OURS: Final[BindParameter[str]] = bindparam("collection")
_ENTRIES: Final = select(ENTRY).where(ENTRY.c.collection_id == _OURS)
_ONE: Final = _ENTRIES.where(ENTRY.c.seq == bindparam("seq"))
_BETWEEN: Final = _ENTRIES.where(ENTRY.c.seq.between(bindparam("first"), bindparam("last"))).order_by(ENTRY.c.seq)
_OF_BOOK: Final = _ENTRIES.where(ENTRY.c.book_id == bindparam("book")).order_by(ENTRY.c.book_seq)
# The order is that of a sum, so that no index of the numbers serves it: SQLite would go through all entries in their order.
_OF_NO_BOOK: Final = _ENTRIES.where(ENTRY.c.book_id.is_(None)).order_by(ENTRY.c.seq + 0)
_OF_ACT: Final = _ENTRIES.where(ENTRY.c.act == bindparam("act")).order_by(ENTRY.c.seq)
_NUMBERS_OF: Final = (
    select(ENTRY.c.seq).where(ENTRY.c.collection_id == _OURS, ENTRY.c.kind == bindparam("kind")).order_by(ENTRY.c.seq)
)
_COLLECTION: Final = select(COLLECTION.c.collection_id).where(COLLECTION.c.collection_id == _OURS)
_HEAD: Final = select(HEAD.c.size, HEAD.c.books).where(HEAD.c.collection_id == _OURS)
_BOOK_HEADS: Final = select(BOOK_HEAD).where(BOOK_HEAD.c.collection_id == _OURS).order_by(BOOK_HEAD.c.no)
_BOOK_HEAD: Final = select(BOOK_HEAD).where(
    BOOK_HEAD.c.collection_id == _OURS, BOOK_HEAD.c.book_id == bindparam("book")
)
_TREE: Final = select(NODE.c.place, NODE.c.hash).where(NODE.c.collection_id == _OURS, NODE.c.tree == bindparam("tree"))
_NODES: Final = _TREE.where(NODE.c.place.in_(bindparam("places", expanding=True)))
_NODE_COUNT: Final = (
    select(func.count()).select_from(NODE).where(NODE.c.collection_id == _OURS, NODE.c.tree == bindparam("tree"))
)
_SEALED: Final = select(SEALED_VALUE).where(SEALED_VALUE.c.collection_id == _OURS)
_SEALED_BETWEEN: Final = _SEALED.where(SEALED_VALUE.c.seq.between(bindparam("first"), bindparam("last"))).order_by(
    SEALED_VALUE.c.seq, SEALED_VALUE.c.name
)
_SEALED_OF: Final = _SEALED.where(SEALED_VALUE.c.seq.in_(bindparam("seqs", expanding=True)))
_RECEIPT: Final = select(RECEIPT).where(RECEIPT.c.collection_id == _OURS, RECEIPT.c.key == bindparam("key"))
_CHECKPOINTS: Final = select(CHECKPOINT).where(CHECKPOINT.c.collection_id == _OURS).order_by(CHECKPOINT.c.no)
_LAST_CHECKPOINT: Final = (
    select(CHECKPOINT).where(CHECKPOINT.c.collection_id == _OURS).order_by(CHECKPOINT.c.no.desc()).limit(1)
)

Found = Row[Any]
BATCH: Final = 500
"""Values named in one statement at most."""


class SqlReader(ListReader):
    """As `ports.Reader`, over one connection that sees one state."""

    def __init__(
        self,
        connection: Connection,
        collection: str,
        codec: Codec,
        before: ReadBefore | None = None,
        counted: Counted | None = None,
    ) -> None:
        super().__init__(connection, collection, before or ReadBefore(), counted)
        self._codec = codec

    @property
    def collection(self) -> str:
        """The collection that is read."""
        return self._collection

    def head(self) -> LogHead:
        """The end of the chain."""
        found = self._one(_HEAD)
        if found is None:
            raise self._headless()
        return LogHead(size=found.size, books=found.books)

    def entry(self, seq: int) -> Entry:
        """One entry by its number."""
        found = self._one(_ONE, seq=records.whole(seq))
        if found is None:
            raise NotFoundError(what="entry", name=str(seq))
        return self._joined([found])[0]

    def stored(self, first: int, count: int) -> list[StoredEntry]:
        """Entries as they lie there, from one number on."""
        return [records.stored_entry(row) for row in self._all(_BETWEEN, **records.run(first, count))]

    def of_book(self, book: str) -> list[Entry]:
        """A book's whole chain, as recorded."""
        rows = self._all(_OF_BOOK, book=book)
        if not rows and self._one(_BOOK_HEAD, book=book) is not None:
            raise DamagedError(what=f"Book {book}", problem="its entries are missing")
        return self._named("book", book, rows)

    def of_collection(self) -> list[Entry]:
        """The entries of the collection itself."""
        return self._joined(self._all(_OF_NO_BOOK))

    def of_act(self, act: str) -> list[Entry]:
        """The entries written together."""
        return self._named("act", act, self._all(_OF_ACT, act=act))

    def numbers_of(self, kind: str) -> list[int]:
        """The numbers of the entries beside which that kind stands."""
        return [row.seq for row in self._all(_NUMBERS_OF, kind=kind)]

    def entries(self, query: EntryQuery) -> Page[Entry]:
        """Entries in the order they were recorded, a page at a time."""
        rows, after = queries.entries(self._connection, self._collection, query)
        return Page(self._joined(rows), after)

    def daybook(self, query: EntryQuery) -> Page[DaybookRow]:
        """The same with what stands beside each in the day book, in three statements however many there are."""
        rows, after = queries.entries(self._connection, self._collection, query)
        return Page(daybook.lines(self._connection, self._collection, rows, self._told), after)

    def book_head(self, book: str) -> BookHead:
        """The end of one book's chain."""
        found = self._one(_BOOK_HEAD, book=book)
        if found is None:
            raise self._gone("The head", book)
        return records.book_head(found)

    def book_heads(self) -> list[BookHead]:
        """The end of every book's chain, by the books' numbers."""
        return [records.book_head(row) for row in self._all(_BOOK_HEADS)]

    def nodes(self, tree: str, which: Sequence[tuple[int, int]]) -> list[bytes]:
        """Nodes of a tree in the order asked for; empty bytes for one that is missing."""
        places = [records.place(level, index) for level, index in which]
        found: dict[int, bytes] = {}
        for start in range(0, len(places), BATCH):
            rows = self._all(_NODES, tree=tree, places=places[start : start + BATCH])
            found.update((row.place, row.hash) for row in rows)
        return [found.get(each, b"") for each in places]

    def node_count(self, tree: str) -> int:
        """How many nodes of a tree are kept."""
        return int(self._connection.execute(_NODE_COUNT, {"collection": self._collection, "tree": tree}).scalar_one())

    def sealed(self, seq: int) -> list[SealedValue]:
        """What is kept for an entry's sealed fields, by name."""
        return self.sealed_between(seq, 1)

    def sealed_between(self, first: int, count: int) -> list[SealedValue]:
        """The same for several entries from one number on."""
        return [records.sealed_value(row) for row in self._all(_SEALED_BETWEEN, **records.run(first, count))]

    def guards_missing(self) -> list[str]:
        """Guards of the database that are not as they were made."""
        return missing_guards(self._connection)

    def tables_missing(self) -> list[MissingTable]:
        """Tables that are not there."""
        return missing_tables(self._connection)

    def strangers(self) -> list[str]:
        """What is in the database and was never made by this program."""
        return strangers(self._connection)

    def strays(self) -> list[str]:
        """Rows of the lists that belong to no book of theirs."""
        return beside.strays(self._connection, self._collection)

    def receipts(self) -> Iterator[Receipt]:
        """What every idempotency key did, in the order of the entries."""
        return beside.receipts(self._connection, self._collection)

    def receipt(self, key: str) -> Receipt | None:
        """What an idempotency key did."""
        found = self._one(_RECEIPT, key=key)
        return None if found is None else records.receipt(found)

    def checkpoints(self) -> list[StoredCheckpoint]:
        """Every checkpoint signed, in the order of signing."""
        return [records.checkpoint(row) for row in self._all(_CHECKPOINTS)]

    def last_checkpoint(self) -> StoredCheckpoint | None:
        """The checkpoint signed last."""
        found = self._one(_LAST_CHECKPOINT)
        return None if found is None else records.checkpoint(found)

    def book(self, book: str) -> BookRow:
        """One book's row of the lists."""
        found = queries.book(self._connection, self._collection, book)
        if found is None:
            raise self._gone("The row", book)
        return found

    def books(self, query: BookQuery) -> Page[BookRow]:
        """Rows of the lists, a page at a time."""
        return queries.books(self._connection, self._collection, query)

    def listings(self) -> Iterator[Listing]:
        """Everything the lists keep, by the books' numbers; nothing while they are not there in today's shape."""
        if not are_made(self._connection, self._collection):
            return iter(())
        return queries.listings(self._connection, self._collection)

    def tokens(self) -> list[StoredToken]:
        """Every token, the oldest first."""
        return [records.token(row) for row in self._all(queries.TOKENS)]

    def token(self, hashed: bytes) -> StoredToken | None:
        """The token of that hash."""
        found = self._one(queries.TOKEN_OF, hashed=hashed)
        return None if found is None else records.token(found)

    def used_keys(self, keys: Sequence[str]) -> set[str]:
        """Which of these idempotency keys were used."""
        return many.used_keys(self._connection, self._collection, keys)

    def _all(self, statement: Select[Any], **values: Any) -> Sequence[Found]:  # noqa: ANN401 - values of any column
        return self._connection.execute(statement, {"collection": self._collection, **values}).all()

    def _one(self, statement: Select[Any], **values: Any) -> Found | None:  # noqa: ANN401 - as above
        return self._connection.execute(statement, {"collection": self._collection, **values}).one_or_none()

    def _gone(self, what: str, book: str) -> LedgerError:
        """Why something of a book is not there: the book is not, or only what was worked out from its entries."""
        if not self._all(_OF_BOOK.limit(1), book=book):
            return NotFoundError(what="book", name=book)
        return DamagedError(what=f"{what} of book {book}", problem="it is missing", mend="Run verify, then rebuild.")

    def _headless(self) -> LedgerError:
        """Why there is no head: the collection is not there, or only its head is gone."""
        if self._one(_COLLECTION) is None:
            return NotFoundError(what="collection", name=self._collection)
        return DamagedError(what="The head of the ledger", problem="it is missing")

    def _told(self, row: Found) -> Event | None:
        """What a stored row says, every sealed field withheld; None where it cannot be read."""
        try:
            return joined(records.stored_entry(row), {}, self._codec).event
        except LedgerError:
            return None

    def _named(self, what: str, name: str, rows: Sequence[Found]) -> list[Entry]:
        if not rows:
            raise NotFoundError(what=what, name=name)
        return self._joined(rows)

    def _joined(self, rows: Sequence[Found]) -> list[Entry]:
        """Stored rows with their sealed values, read as entries."""
        held: dict[int, dict[str, Found]] = defaultdict(dict)
        for start in range(0, len(rows), BATCH):
            seqs = [row.seq for row in rows[start : start + BATCH]]
            for row in self._all(_SEALED_OF, seqs=seqs):
                held[row.seq][row.name] = row
        return [self._before.entry(row, held[row.seq], self._read) for row in rows]

    def _read(self, row: Found, sealed: Mapping[str, Found]) -> Entry:
        values = {name: records.sealed_value(each) for name, each in sealed.items()}
        return joined(records.stored_entry(row), values, self._codec)
