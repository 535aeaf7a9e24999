"""Makes anew all that is worked out from the entries, in one transaction: both trees, the books' heads, the read models."""

from collections.abc import Iterator, Sequence
from typing import Final

from sqlalchemy import Connection, delete, insert

from ledger.entry import Entry
from ledger.errors import ConflictError
from ledger.history import fold, history
from ledger.ports import ENTRIES, HEADS, BookHead, Codec, LogHead, StoredEntry
from ledger.proof import merkle
from ledger.proof.chain import Walk, head_leaf
from ledger.store import projector, records
from ledger.store.read_models import note_shape
from ledger.store.reader import SqlReader
from ledger.store.tables import BOOK_HEAD, NODE

__all__ = ["rebuild"]

BATCH: Final = 500
"""Entries read at once."""


def rebuild(connection: Connection, collection: str, codec: Codec) -> int:
    """How many books there are, after trees, heads and read models were made from the bytes of the entries alone.

    Keeps: nothing is made from entries that are damaged, for it would hide what happened to them.
    Raises: ConflictError where an entry was changed, is missing or out of place; MalformedError where one does not say
    what its kind says.
    """
    for table in (NODE, BOOK_HEAD):
        connection.execute(delete(table).where(table.c.collection_id == collection))
    projector.clear(connection, collection)
    reader = SqlReader(connection, collection, codec)
    heads = _entries_tree(connection, reader)
    tree = _Growing(connection, collection, HEADS)
    for head in heads:
        tree.append(merkle.leaf_hash(head_leaf(head.book, head.no, head.seq, head.leaf)))
        connection.execute(insert(BOOK_HEAD), records.book_head_row(collection, head))
        moments = history(_chain(reader, head), codec)
        projector.project(connection, collection, fold(head.book, head.no, moments), moments)
    tree.flush()
    note_shape(connection, collection)
    return len(heads)


def _entries_tree(connection: Connection, reader: SqlReader) -> list[BookHead]:
    """The tree over all entries; gives the end of every book's chain, by the books' numbers."""
    walk = Walk(reader.collection)
    tree = _Growing(connection, reader.collection, ENTRIES)
    for stored in _all(reader):
        walk.step(stored.seq, stored.data, bytes.fromhex(stored.leaf))
        tree.append(merkle.leaf_hash(stored.data))
    _refuse_damaged(reader.head(), walk)
    tree.flush()
    heads = sorted(walk.heads.values(), key=lambda head: head.book_no)
    return [BookHead(book=each.book, no=each.book_no, seq=each.book_seq, leaf=each.leaf) for each in heads]


def _refuse_damaged(head: LogHead, walk: Walk) -> None:
    found = [each.sentence for each in walk.finish().findings]
    for what, said, here in (("entries", head.size, walk.size), ("books", head.books, walk.heads_count)):
        if said != here:
            found.append(f"The number of {what} is {said} by the head and {here} here.")
    if found:
        more = f" And {len(found) - 1} more." if len(found) > 1 else ""
        raise _damaged(found[0] + more)


def _chain(reader: SqlReader, head: BookHead) -> list[Entry]:
    """A book's entries as they are looked up, all of them."""
    entries = reader.of_book(head.book)
    if len(entries) != head.seq:
        raise _damaged(f"Book {head.book} has {head.seq} entries, and beside them stands that it has {len(entries)}.")
    return entries


def _damaged(what: str) -> ConflictError:
    mend = "Run verify, and put back a backup that is whole."
    return ConflictError(sentence=f"The entries are damaged, so nothing is made from them. {what} {mend}")


def _all(reader: SqlReader) -> Iterator[StoredEntry]:
    after = 0
    while batch := reader.stored(after + 1, BATCH):
        yield from batch
        after = batch[-1].seq


class _Growing:
    """A tree written from its first leaf on; only the last node of each level is needed for the next one."""

    def __init__(self, connection: Connection, collection: str, tree: str) -> None:
        self._connection, self._collection, self._tree, self._size = connection, collection, tree, 0
        self._last: dict[int, bytes] = {}
        self._made: list[tuple[int, int, bytes]] = []

    def append(self, leaf: bytes) -> None:
        """One more leaf at the end."""
        made = merkle.appended(self._size, leaf, self._read)
        self._size += 1
        self._last.update((level, found) for level, _, found in made)
        self._made += made
        if len(self._made) >= BATCH:
            self.flush()

    def flush(self) -> None:
        """Write what was made."""
        rows = records.node_rows(self._collection, self._tree, self._made)
        if rows:
            self._connection.execute(insert(NODE), rows)
        self._made = []

    def _read(self, which: Sequence[merkle.Node]) -> list[bytes]:
        return [self._last[level] for level, _ in which]
