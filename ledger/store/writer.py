"""Writes to one collection inside the one writer's transaction."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Final

from sqlalchemy import BindParameter, bindparam, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from ledger.book import Book
from ledger.damage import broken_tree
from ledger.errors import ConflictError, NotFoundError
from ledger.history import Moment
from ledger.many import ManyBooks
from ledger.ports import HEADS, BookHead, LogHead, Receipt, SealedValue, StoredCheckpoint, StoredEntry, StoredToken
from ledger.proof.envelope import moment_text
from ledger.store import projector, records
from ledger.store.many import find_places, put_many
from ledger.store.reader import SqlReader
from ledger.store.single_writer import SCRUB
from ledger.store.tables import BOOK_HEAD, CHECKPOINT, ENTRY, HEAD, NODE, RECEIPT, SEALED_VALUE, TOKEN

__all__ = ["SqlWriter"]

_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_PUT_ENTRY: Final = insert(ENTRY)
_MOVE_HEAD: Final = (
    update(HEAD)
    .where(HEAD.c.collection_id == _OURS, HEAD.c.size == bindparam("before"))
    .values(size=bindparam("before") + 1, books=HEAD.c.books + bindparam("more"))
)
_PUT_NODE: Final = insert(NODE)
_CHANGE_NODE: Final = (
    update(NODE)
    .where(NODE.c.collection_id == _OURS, NODE.c.tree == bindparam("own_tree"), NODE.c.place == bindparam("own_place"))
    .values(hash=bindparam("hash"))
)
_PUT_BOOK_HEAD: Final = insert(BOOK_HEAD)
_MOVE_BOOK_HEAD: Final = (
    update(BOOK_HEAD)
    .where(
        BOOK_HEAD.c.collection_id == _OURS,
        BOOK_HEAD.c.book_id == bindparam("own_book"),
        BOOK_HEAD.c.no == bindparam("own_no"),
        BOOK_HEAD.c.seq == bindparam("before"),
    )
    .values(seq=bindparam("before") + 1, leaf=bindparam("leaf"))
)
_PUT_SEALED: Final = insert(SEALED_VALUE)
_ERASE: Final = (
    update(SEALED_VALUE)
    .where(
        SEALED_VALUE.c.collection_id == _OURS,
        SEALED_VALUE.c.seq == bindparam("own_seq"),
        SEALED_VALUE.c.name == bindparam("own_name"),
    )
    .values(salt=None, value=None)
)
_PUT_RECEIPT: Final = insert(RECEIPT)
_FORGET: Final = (
    update(RECEIPT)
    .where(
        RECEIPT.c.collection_id == _OURS,
        RECEIPT.c.first <= bindparam("own_seq"),
        RECEIPT.c.first + RECEIPT.c.count > bindparam("own_seq"),
    )
    .values(salt=None, request=None)
)
_PUT_CHECKPOINT: Final = insert(CHECKPOINT)
_LAST_NO: Final = select(func.coalesce(func.max(CHECKPOINT.c.no), 0)).where(
    CHECKPOINT.c.collection_id == bindparam("collection")
)
_PUT_TOKEN: Final = insert(TOKEN)
_REVOKE: Final = (
    update(TOKEN)
    .where(TOKEN.c.collection_id == _OURS, TOKEN.c.id == bindparam("own_id"), TOKEN.c.revoked.is_(None))
    .values(revoked=bindparam("when"))
)


@contextmanager
def _refusing(sentence: str) -> Iterator[None]:
    """What a guard or a key of the database refuses is a conflict."""
    try:
        yield
    except IntegrityError as error:
        raise ConflictError(sentence=sentence) from error


class SqlWriter(SqlReader):
    """As `ports.Writer`; everything it does is kept together or not at all."""

    _end: LogHead | None = None
    has_erased = False
    """Something sealed is gone, if this work is kept."""

    def head(self) -> LogHead:
        """The end of the chain; nobody else moves it while this work is done, so it is read once."""
        if self._end is None:
            self._end = super().head()
        return self._end

    def nodes(self, tree: str, which: Sequence[tuple[int, int]]) -> list[bytes]:
        """Nodes to build on.

        Raises: DamagedError where one is missing: a tree is not built on a gap.
        """
        found = super().nodes(tree, which)
        if not all(found):
            raise broken_tree(tree)
        return found

    def put_entry(self, entry: StoredEntry) -> None:
        """The next entry, and the head moved onto it.

        Raises: ConflictError when it does not follow the last one.
        """
        with _refusing(f"Entry {entry.seq} does not follow the last one."):
            self._connection.execute(_PUT_ENTRY, records.entry_row(self._collection, entry))
        more = 1 if entry.book_seq == 1 else 0
        moved = self._connection.execute(
            _MOVE_HEAD, {"own_collection": self._collection, "before": entry.seq - 1, "more": more}
        )
        if moved.rowcount != 1:
            raise ConflictError(sentence=f"The head did not move onto entry {entry.seq}.")
        self._end = None

    def put_nodes(self, tree: str, nodes: Iterable[tuple[int, int, bytes]]) -> None:
        """Nodes that have become whole; in the tree of heads also such as have changed.

        Raises: ConflictError for a node of the tree of entries that is there already, for those never change.
        """
        new = self._not_changed(list(nodes)) if tree == HEADS else nodes
        rows = records.node_rows(self._collection, tree, new)
        if rows:
            with _refusing(f"A node of the tree of {tree} is there already. Run verify, then rebuild."):
                self._connection.execute(_PUT_NODE, rows)

    def _not_changed(self, nodes: list[tuple[int, int, bytes]]) -> list[tuple[int, int, bytes]]:
        """Change the nodes that are there, and give back those that are not."""
        ours = {"own_collection": self._collection, "own_tree": HEADS}
        rows = [{**ours, "own_place": records.place(level, index), "hash": found} for level, index, found in nodes]
        if rows and self._connection.execute(_CHANGE_NODE, rows).rowcount == len(rows):
            return []
        there = super().nodes(HEADS, [(level, index) for level, index, _ in nodes])
        return [node for node, old in zip(nodes, there, strict=True) if not old]

    def put_book_head(self, head: BookHead) -> None:
        """The end of a book's chain, moved by one entry.

        Raises: ConflictError when it would not move by one.
        """
        if head.seq == 1:
            with _refusing(f"Book {head.book} or number {head.no} is there already."):
                self._connection.execute(_PUT_BOOK_HEAD, records.book_head_row(self._collection, head))
            return
        moved = self._connection.execute(
            _MOVE_BOOK_HEAD,
            {
                "own_collection": self._collection,
                "own_book": head.book,
                "own_no": head.no,
                "before": head.seq - 1,
                "leaf": bytes.fromhex(head.leaf),
            },
        )
        if moved.rowcount != 1:
            raise ConflictError(sentence=f"Entry {head.seq} of book {head.book} does not follow its last one.")

    def put_sealed(self, values: Iterable[SealedValue]) -> None:
        """Salts and values of an entry's sealed fields."""
        rows = [records.sealed_row(self._collection, value) for value in values]
        if rows:
            with _refusing("A sealed value of this name is kept for this entry already."):
                self._connection.execute(_PUT_SEALED, rows)

    def erase_sealed(self, seq: int, names: Sequence[str]) -> None:
        """Salt and value of these fields are gone; their rows stay, empty.

        Raises: NotFoundError for a field that was never kept.
        """
        for name in names:
            place = {"own_collection": self._collection, "own_seq": seq, "own_name": name}
            if self._connection.execute(_ERASE, place).rowcount == 0:
                raise NotFoundError(what="sealed field", name=f"{name} of entry {seq}")
        self._connection.info[SCRUB] = self.has_erased = True

    def put_receipt(self, receipt: Receipt) -> None:
        """What an idempotency key did.

        Raises: ConflictError when it was used before.
        """
        with _refusing(f"The key {receipt.key} was used before."):
            self._connection.execute(_PUT_RECEIPT, records.receipt_row(self._collection, receipt))

    def forget_receipts(self, seqs: Sequence[int]) -> None:
        """The requests that made these entries can no longer be told from others."""
        for seq in seqs:
            self._connection.execute(_FORGET, {"own_collection": self._collection, "own_seq": seq})
        self._connection.info[SCRUB] = True

    def put_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        """One more signed checkpoint.

        Raises: ConflictError when it covers less than the one before it, or more than there is.
        """
        number = self._connection.execute(_LAST_NO, {"collection": self._collection}).scalar_one() + 1
        with _refusing(f"A checkpoint over {checkpoint.size} entries does not follow the last one."):
            self._connection.execute(_PUT_CHECKPOINT, records.checkpoint_row(self._collection, number, checkpoint))

    def project(self, book: Book, history: Sequence[Moment]) -> None:
        """The book's rows in the lists."""
        projector.project(self._connection, self._collection, book, history)

    def put_many(self, many: ManyBooks) -> None:
        """Some new books with everything of them but their places in the search.

        Raises: ConflictError where they do not follow the last entry, or something of them is there already.
        """
        with _refusing("Some of these books are there already, or do not follow the last entry."):
            put_many(self._connection, self._collection, many)
        self._end = None

    def find_places(self, first: int, count: Callable[[int], None]) -> None:
        """Every book from that number on gets its place in the search; `count` is told how many have one."""
        find_places(self._connection, self._collection, first, count)

    def clear_views(self) -> None:
        """No rows are left in the lists; each book is then projected anew."""
        projector.clear(self._connection, self._collection)

    def put_token(self, token: StoredToken) -> None:
        """One more token.

        Raises: ConflictError when its id or hash is there already.
        """
        with _refusing(f"There is a token {token.id} already."):
            self._connection.execute(_PUT_TOKEN, records.token_row(self._collection, token))

    def revoke_token(self, token: str, when: datetime) -> None:
        """The token is good for nothing from now on; a second time changes nothing.

        Raises: NotFoundError.
        """
        place = {"own_collection": self._collection, "own_id": token, "when": moment_text(when)}
        if self._connection.execute(_REVOKE, place).rowcount == 0 and all(each.id != token for each in self.tokens()):
            raise NotFoundError(what="token", name=token)
