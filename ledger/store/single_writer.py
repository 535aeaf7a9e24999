"""The single writer: a thread that does all writing, many works in one transaction, one flush for all of them."""

import logging
import sqlite3
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from queue import Empty, SimpleQueue
from threading import Lock, Thread, current_thread
from time import monotonic
from typing import Any, Final, TypeVar

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, IntegrityError

from ledger.errors import ClosedError, StoreError

__all__ = ["GROUP_MOST", "SCRUB", "SingleWriter", "driver", "is_fatal"]

T = TypeVar("T")

GROUP_MOST: Final = 64
"""Works that share one transaction at most, so that the first of them does not wait long."""

FOLD_EVERY: Final = 100
"""Groups after which the write-ahead log is folded into the database file."""

SCRUB: Final = "scrub"
"""Set in a connection's `info` by a work that erased something: nothing of it may stay in the write-ahead log."""

SCRUB_AGAIN: Final = 1.0
"""Seconds until it is tried again, when a reader was in the way."""

_FATAL: Final = frozenset(
    {
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_NOMEM,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_CORRUPT,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PROTOCOL,
        sqlite3.SQLITE_NOTADB,
    }
)
_LOG: Final = logging.getLogger(__name__)


def is_fatal(error: BaseException) -> bool:
    """The store itself failed, as against a work that was refused or went wrong."""
    if isinstance(error, StoreError):
        return True
    if not isinstance(error, DBAPIError) or isinstance(error, IntegrityError):
        return False
    code = getattr(error.orig, "sqlite_errorcode", None)
    # An operational error that names no code did not come from a statement, so nothing is known of it.
    return isinstance(error.orig, sqlite3.OperationalError) if code is None else code & 0xFF in _FATAL


def driver(connection: Connection) -> sqlite3.Connection:
    """The connection below, for what cannot be said inside a transaction."""
    below = connection.connection.driver_connection
    assert isinstance(below, sqlite3.Connection)
    return below


@dataclass(frozen=True)
class _Waiting:
    """A work in the queue, and where its caller waits for what came of it."""

    work: Callable[[Connection], Any]
    outcome: Future[Any] = field(default_factory=Future)


class SingleWriter:
    """Does works one after another and answers when they are durable.

    Keeps: a work that raises takes back only its own writes. After the first failure of the store itself nothing more is
    tried: what was waiting fails with StoreError, what comes later with ClosedError.
    Requires: a connection that nobody else uses, whose transactions begin with the write lock.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._queue: SimpleQueue[_Waiting | None] = SimpleQueue()
        self._gate = Lock()
        self._open = True
        self._groups = 0
        self._scrub_from = 0.0
        self._thread = Thread(target=self._run, name="slipsheet-writer", daemon=True)
        self._thread.start()

    @property
    def is_open(self) -> bool:
        """Works are still taken."""
        return self._open

    def do(self, work: Callable[[Connection], T]) -> T:
        """What the work returned, once it is durable.

        Raises: what the work raised; StoreError, ClosedError.
        """
        assert current_thread() is not self._thread, "a work cannot wait for another work"
        waiting = _Waiting(work)
        with self._gate:
            if not self._open:
                raise ClosedError
            self._queue.put(waiting)
        result: T = waiting.outcome.result()
        return result

    def close(self) -> None:
        """Do what is waiting, fold the write-ahead log into the database, and stop."""
        with self._gate:
            if self._open:
                self._open = False
                self._queue.put(None)
        self._thread.join()

    def _run(self) -> None:
        while (group := self._next_group()) is not None:
            if group and not self._commit(group):
                return
            if not self._tidy():
                return
        self._end()

    def _next_group(self) -> list[_Waiting] | None:
        """The works that wait; none of them when it is time to scrub again, None when there will be no more."""
        try:
            first = self._queue.get(timeout=SCRUB_AGAIN if SCRUB in self._connection.info else None)
        except Empty:
            return []
        if first is None:
            return None
        group = [first]
        while len(group) < GROUP_MOST:
            try:
                waiting = self._queue.get_nowait()
            except Empty:
                break
            if waiting is None:
                self._queue.put(None)
                break
            group.append(waiting)
        return group

    def _commit(self, group: list[_Waiting]) -> bool:
        """Do the group in one transaction and answer; False when the store failed."""
        try:
            with self._connection.begin():
                answers = [self._done(waiting) for waiting in group]
        except BaseException as error:  # noqa: BLE001 - whatever it is, nobody may be told that his work is kept
            self._fail(error, group)
            return False
        for answer in answers:
            answer()
        return True

    def _done(self, waiting: _Waiting) -> Callable[[], None]:
        """Do one work inside a savepoint; the answer is given only when the group is durable."""
        below = driver(self._connection)
        below.execute("SAVEPOINT work").close()
        try:
            result = waiting.work(self._connection)
        except BaseException as error:
            if is_fatal(error):
                raise
            below.execute("ROLLBACK TO work").close()
            below.execute("RELEASE work").close()
            refused = error
            return lambda: waiting.outcome.set_exception(refused)
        below.execute("RELEASE work").close()
        return lambda: waiting.outcome.set_result(result)

    def _tidy(self) -> bool:
        """Fold the write-ahead log now and then, and at once after an erasure; False when the store failed."""
        self._groups += 1
        try:
            if SCRUB in self._connection.info and monotonic() >= self._scrub_from:
                # A reader may still need the old pages, and works do not wait for it for long.
                if self._fold("TRUNCATE"):
                    del self._connection.info[SCRUB]
                else:
                    self._scrub_from = monotonic() + SCRUB_AGAIN
            elif self._groups % FOLD_EVERY == 0:
                self._fold("PASSIVE")
        except BaseException as error:  # noqa: BLE001 - as for a commit
            self._fail(error, [])
            return False
        return True

    def _fold(self, how: str) -> bool:
        busy, _, _ = driver(self._connection).execute(f"PRAGMA wal_checkpoint({how})").fetchone()
        return not busy

    def _fail(self, error: BaseException, group: list[_Waiting]) -> None:
        """Answer everyone who waits with the failure, and never touch the database again."""
        _LOG.error("the store failed and is closed", exc_info=error)
        with self._gate:
            self._open = False
        problem = str(getattr(error, "orig", None) or error) or type(error).__name__
        while True:
            try:
                waiting = self._queue.get_nowait()
            except Empty:
                break
            if waiting is not None:
                group.append(waiting)
        self._drop_connection()
        for waiting in group:
            failure = StoreError(problem=problem)
            failure.__cause__ = error
            waiting.outcome.set_exception(failure)

    def _end(self) -> None:
        try:
            self._fold("TRUNCATE")
            self._connection.close()
        except Exception as error:  # noqa: BLE001 - everything acknowledged is durable already
            _LOG.warning("the write-ahead log was not folded at the end", exc_info=error)
            self._drop_connection()

    def _drop_connection(self) -> None:
        try:
            self._connection.invalidate()
            self._connection.close()
        except Exception as error:  # noqa: BLE001 - it is given up in any case
            _LOG.warning("the writer's connection did not close", exc_info=error)
