"""A copy of a collection's database as one file of SQLite, taken beside a server that goes on writing."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Final

from ledger.errors import StoreError
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, LOCK, SqliteStore, Store, open_store
from ledger.store.log import open_log
from ledger.store.transfer import transfer

__all__ = ["copy_to"]

_PAGES: Final = 4096
"""Copied between two looks at whether to go on: 16 MiB."""
_PASSING: Final = ("DELETE FROM session", "DELETE FROM waiting_form", "DELETE FROM feed", "DELETE FROM link")
"""What ends with the program that it was for, and secret addresses: one that was renewed since is not to come back."""

Progress = Callable[[int, int], None]


def copy_to(store: Store, collection: str, folder: Path, progress: Progress | None = None) -> Path:
    """The file, whole and by itself: nothing of it lies in a write-ahead log.

    Requires: an empty folder.
    Raises: StoreError.
    """
    path = folder / DATABASE
    try:
        if isinstance(store, SqliteStore):
            _backed_up(store.path, path, progress)
        else:
            _brought_over(store, collection, folder, progress)
        _closed(path)
    except sqlite3.Error as error:
        raise StoreError(problem=str(error)) from error
    return path


def _backed_up(source: Path, path: Path, progress: Progress | None) -> None:
    """Page by page, in one reading transaction. Source: sqlite.org, Online Backup API."""

    def told(_status: int, remaining: int, total: int) -> None:
        if progress is not None:
            progress(total - remaining, total)

    uri = f"{source.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(uri, uri=True)) as reading, closing(sqlite3.connect(path)) as writing:
        # Within a transaction of its own the copy is of one state, however long it takes.
        reading.execute("BEGIN")
        reading.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        reading.backup(writing, pages=_PAGES, progress=told)


def _brought_over(store: Store, collection: str, folder: Path, progress: Progress | None) -> None:
    made = open_store(folder)
    try:
        with store.snapshot(collection) as connection:
            transfer(connection, collection, made, progress)
        open_log(collection, made, EventCodec())
    finally:
        made.close()
    (folder / LOCK).unlink()


def _closed(path: Path) -> None:
    """A file of its own, from which what ends is gone without a trace."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA secure_delete = ON")
        for statement in _PASSING:
            connection.execute(statement)
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA synchronous = FULL")
