"""Engines: a data folder opened for one writing process, or beside it for reading only."""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from pathlib import Path
from typing import Any, Final, Protocol, TypeVar

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool, QueuePool

from ledger.errors import ClosedError, NotFoundError, StoreError, UnfitStoreError
from ledger.store.folder_lock import FolderLock
from ledger.store.guards import drop_guards, guard_reading, guard_writing, make_guards
from ledger.store.inventory import REMADE, mend_of, missing_tables, naming_damage, problem_of
from ledger.store.migrations import VERSION, migrate
from ledger.store.read_models import make_read_models
from ledger.store.row_tables import BOOK_ROW
from ledger.store.single_writer import SingleWriter, driver

__all__ = ["APPLICATION_ID", "DATABASE", "LOCK", "MOVED", "SqliteStore", "Store", "open_read_only", "open_store"]

T = TypeVar("T")

DATABASE: Final = "slipsheet.sqlite3"
MOVED: Final = "slipsheet.moved.sqlite3"
"""What the database of a folder is called once its ledger has moved on, so that nobody goes on writing to it."""

LOCK: Final = "slipsheet.lock"
APPLICATION_ID: Final = 0x534C4950
"""Bytes 68 to 71 of the file say SLIP. Source: sqlite.org, Database File Format, section 1.3.15."""

_FIRST_READ: Final = "SELECT 1 FROM collection LIMIT 1"

_WAIT_MS: Final = 250
"""How long a statement waits for a lock that another program holds; nobody else should hold one for long."""

_CAREFUL: Final = ("PRAGMA trusted_schema = OFF", "PRAGMA cell_size_check = ON", f"PRAGMA busy_timeout = {_WAIT_MS}")
_DURABLE: Final = ("PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL", "PRAGMA secure_delete = ON")
_WRITING: Final = (
    *_CAREFUL,
    *_DURABLE,
    "PRAGMA foreign_keys = ON",
    "PRAGMA recursive_triggers = ON",
    "PRAGMA wal_autocheckpoint = 0",
    # Up to 32 MiB of the file: the indexes into which many books are put at once, with keys in no order.
    "PRAGMA cache_size = -32768",
)
_READING: Final = (
    *_CAREFUL,
    "PRAGMA query_only = ON",
    "PRAGMA wal_autocheckpoint = 0",
    # 16 MiB of the file for each connection: the indexes of a long list.
    "PRAGMA cache_size = -16384",
)


class Store(Protocol):
    """Where the collections lie: one writing transaction at a time for each, and snapshots beside it.

    Raises: StoreError when the store failed below; ClosedError afterwards.
    """

    def write(self, collection: str, work: Callable[[Connection], T]) -> T:
        """What the work returned, once all it wrote is durable; if it raised, nothing of it is kept."""
        ...

    def snapshot(self, collection: str) -> AbstractContextManager[Connection]:
        """A connection that reads and sees one unchanging state."""
        ...

    def close(self) -> None:
        """Finish what is waiting and let go of everything."""
        ...


def open_store(folder: Path, *, mend: bool = False) -> "SqliteStore":
    """The data folder, made if it is not there, with this process as its owner.

    Keeps: a file of an older version is brought up to this one; guards are made anew after that, and otherwise only
    when asked to `mend`, so that a verification can tell that one was taken away. So are tables of what is worked out
    from the entries; no others ever are.
    Raises: BusyError, UnfitStoreError, StoreError.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with ExitStack() as undo:
        lock = FolderLock(folder / LOCK)
        undo.callback(lock.release)
        path = folder / DATABASE
        with _failing():
            _prepare(path, mend=mend)
            writing = _engine(path, "rwc", _WRITING, guard_writing, "BEGIN IMMEDIATE")
            writer = SingleWriter(writing.connect())
        undo.pop_all()
    return SqliteStore(path, _reading(path), writer, lock)


def open_read_only(folder: Path) -> "SqliteStore":
    """The data folder for reading, beside a process that may be writing to it; nothing in it is changed.

    Raises: NotFoundError, UnfitStoreError, StoreError.
    """
    path = folder / DATABASE
    if not path.is_file():
        raise NotFoundError(what="database", name=str(path))
    engine = _reading(path)
    with _failing(), engine.connect() as connection:
        _refuse_unfit(connection, path, writing=False)
    return SqliteStore(path, engine, None, None)


class SqliteStore:
    """A data folder on SQLite.

    Keeps: only the writer's connection writes or folds the write-ahead log; none is used after a fork.
    """

    def __init__(self, path: Path, reading: Engine, writer: SingleWriter | None, lock: FolderLock | None) -> None:
        self.path = path
        self._reading, self._writer, self._lock = reading, writer, lock
        self._process = os.getpid()
        self._closed = False

    def write(self, collection: str, work: Callable[[Connection], T]) -> T:  # noqa: ARG002 - all collections share the writer
        """As `Store.write`."""
        self._require_open()
        if self._writer is None:
            raise ClosedError(problem="it was opened for reading only")

        def telling(connection: Connection) -> T:
            with naming_damage(connection):
                return work(connection)

        return self._writer.do(telling)

    @contextmanager
    def snapshot(self, collection: str) -> Iterator[Connection]:  # noqa: ARG002 - one snapshot holds all collections
        """As `Store.snapshot`."""
        self._require_open()
        with _failing(), self._reading.connect() as connection, connection.begin(), naming_damage(connection):
            # The state is fixed by the first read, not by BEGIN.
            connection.exec_driver_sql(_FIRST_READ).all()
            yield connection

    def close(self) -> None:
        """As `Store.close`."""
        if self._process != os.getpid():
            return
        self._closed = True
        # The writer is the last to close, for only it may fold the write-ahead log in and take it away.
        self._reading.dispose()
        if self._writer is not None:
            self._writer.close()
        if self._lock is not None:
            self._lock.release()

    def _require_open(self) -> None:
        if self._process != os.getpid():
            raise ClosedError(problem="it was opened by the process this one was forked from")
        if self._closed or (self._writer is not None and not self._writer.is_open):
            raise ClosedError


@contextmanager
def _failing() -> Iterator[None]:
    """What fails below is told as the store's failure."""
    try:
        yield
    except DBAPIError as error:
        raise StoreError(problem=str(error.orig)) from error
    except UnicodeDecodeError as error:
        # What SQLite says of a damaged schema may have the damage in it.
        raise StoreError(problem="a text in the file is damaged") from error


def _prepare(path: Path, *, mend: bool) -> None:
    """Bring the file up to this program: on a connection of its own, since only here may tables be made."""
    engine = _engine(path, "rwc", _CAREFUL, None, "BEGIN IMMEDIATE")
    with engine.connect() as connection:
        with connection.begin():
            version = _refuse_unfit(connection, path, writing=True)
        # Only now: even the journal's mode is written into the file, and it may have been somebody else's.
        driver(connection).executescript(";".join(_DURABLE))
        with connection.begin():
            if version == VERSION:
                _refuse_gaps(connection, path, mend=mend)
            else:
                drop_guards(connection)
                migrate(connection)
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
            make_read_models(connection)
            # Without it SQLite takes every list for a short one, and goes through all of a long one for a rare word.
            connection.exec_driver_sql("PRAGMA analysis_limit = 400")
            connection.exec_driver_sql(f"ANALYZE {BOOK_ROW.name}")
            if version < VERSION or mend:
                make_guards(connection)


def _refuse_gaps(connection: Connection, path: Path, *, mend: bool) -> None:
    """Every table is there, or was made anew; the lists are seen to behind this."""
    for table in REMADE if mend else ():
        table.create(connection, checkfirst=True)
    missing = missing_tables(connection, lists=False)
    if missing:
        raise UnfitStoreError(path=str(path), problem=problem_of(missing), mend=mend_of(missing))


def _refuse_unfit(connection: Connection, path: Path, *, writing: bool) -> int:
    """The file's version, when it is one this program can work with."""
    owner = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    version = int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    tables = connection.exec_driver_sql("SELECT count(*) FROM sqlite_schema").scalar_one()
    facts: dict[str, Any] = {"path": str(path), "found": version, "known": VERSION}
    if owner != APPLICATION_ID and (tables or not writing):
        raise UnfitStoreError(problem="it is not a ledger of this program", mend="Name another folder.", **facts)
    if version > VERSION:
        mend = "Start the newer program; this one would not see all of it."
        raise UnfitStoreError(problem=f"it was written by a newer program (version {version})", mend=mend, **facts)
    if version < VERSION and not writing:
        mend = "Start the program once on this folder, which brings it up to date."
        raise UnfitStoreError(problem=f"it is of an older version ({version})", mend=mend, **facts)
    return version


def _reading(path: Path) -> Engine:
    return _engine(path, "ro", _READING, guard_reading, "BEGIN")


def _engine(
    path: Path, mode: str, pragmas: tuple[str, ...], guard: Callable[[sqlite3.Connection], None] | None, begin: str
) -> Engine:
    """An engine whose connections are set up and guarded before anything else, and which begins by itself."""

    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(
            f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, check_same_thread=False
        )
        for pragma in pragmas:
            connection.execute(pragma).close()
        if guard is not None:
            guard(connection)
        return connection

    # A connection that writes serves one thread and is then gone; those that read wait for the next reader.
    pool: dict[str, Any] = {"poolclass": NullPool}
    if mode == "ro":
        pool = {"poolclass": QueuePool, "pool_size": 4, "max_overflow": -1, "pool_use_lifo": True}
    # What a statement was given may be a sealed value, and an error is written to a log.
    engine = create_engine("sqlite+pysqlite://", creator=connect, hide_parameters=True, **pool)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(begin)

    return engine
