"""The log of one collection: works that write, one after another, and snapshots that read."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TypeVar

from sqlalchemy import Connection, insert, select
from sqlalchemy.exc import IntegrityError

from ledger.errors import ConflictError
from ledger.ports import Codec
from ledger.proof.checkpoint import origin_of
from ledger.proof.envelope import moment_text
from ledger.store.engine import Store
from ledger.store.read_before import ReadBefore
from ledger.store.read_models import made_for, note_shape, shape_of
from ledger.store.reader import SqlReader
from ledger.store.rebuild import rebuild
from ledger.store.shelf import Counted
from ledger.store.tables import COLLECTION, HEAD
from ledger.store.writer import SqlWriter

__all__ = ["SqlLog", "collections", "make_collection", "open_log"]

T = TypeVar("T")


class SqlLog:
    """As `ports.Log`, over a store that may hold several collections."""

    def __init__(self, collection: str, store: Store, codec: Codec) -> None:
        self._collection, self._store, self._codec = collection, store, codec
        self._before, self._counted = ReadBefore(), Counted()

    def write(self, work: Callable[[SqlWriter], T]) -> T:
        """What the work returned, once all it wrote is durable; if it raised, nothing of it is kept.

        Requires: it is not called from within a work.
        Raises: what the work raised; StoreError when the store failed, ClosedError afterwards.
        """

        def within(connection: Connection) -> tuple[T, bool]:
            writer = SqlWriter(connection, self._collection, self._codec, self._before)
            return work(writer), writer.has_erased

        done, has_erased = self._store.write(self._collection, within)
        if has_erased:
            # Whoever still reads the state before goes on with the old ones, and they end with him.
            self._before = ReadBefore()
        return done

    @contextmanager
    def read(self) -> Iterator[SqlReader]:
        """A reader of the state at this moment."""
        # Taken before the state is fixed, so that none is ever filled from a state before an erasure and kept beyond it.
        before = self._before
        with self._store.snapshot(self._collection) as connection:
            yield SqlReader(connection, self._collection, self._codec, before, self._counted)

    def rebuild(self) -> int:
        """How many books there are, after all that is worked out from the entries was made anew: trees, heads, lists.

        Raises: ConflictError where an entry is damaged, MalformedError where one cannot be read; then nothing is changed.
        """
        books = self._store.write(
            self._collection, lambda connection: rebuild(connection, self._collection, self._codec)
        )
        self._before, self._counted = ReadBefore(), Counted()
        return books


def collections(store: Store) -> list[str]:
    """The collections of a store, the oldest first."""
    with store.snapshot("") as connection:
        return list(connection.scalars(select(COLLECTION.c.collection_id).order_by(COLLECTION.c.created)))


def make_collection(store: Store, collection: str, created: datetime) -> None:
    """An empty collection of that name.

    Raises: MalformedError when it is no collection's id; ConflictError when it is there already.
    """
    origin = origin_of(collection)

    def within(connection: Connection) -> None:
        connection.execute(
            insert(COLLECTION), {"collection_id": collection, "created": moment_text(created), "origin": origin}
        )
        connection.execute(insert(HEAD), {"collection_id": collection, "size": 0, "books": 0})
        note_shape(connection, collection)

    try:
        store.write(collection, within)
    except IntegrityError as error:
        raise ConflictError(sentence=f"There is a collection {collection} already.") from error


def open_log(collection: str, store: Store, codec: Codec) -> SqlLog:
    """The log of a collection that is there, its read models made anew when this program makes them otherwise.

    Raises: NotFoundError.
    """
    log = SqlLog(collection, store, codec)
    with store.snapshot(collection) as connection:
        SqlReader(connection, collection, codec).head()
        stale = made_for(connection, collection) != shape_of(connection)
    if stale:
        log.rebuild()
    return log
