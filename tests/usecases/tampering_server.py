"""The same small ledger on a PostgreSQL server, and somebody there who may do everything and changes it."""

import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, cast

import psycopg
from sqlalchemy import make_url

from ledger.settings import Settings
from ledger.store.postgres_guards import SCHEMA
from tests.postgres import Database, drop, empty_database, twin
from tests.usecases.tampering import Bench, a_bench

_BYTES = re.compile(r"x'([0-9a-f]*)'")
_DROPPED = re.compile(r"PRAGMA foreign_keys = OFF; DROP TABLE (\w+)")
_ZEROS = re.compile(r"zeroblob\((\d+)\)")


@dataclass
class ServerBench(Bench):
    """As `Bench`; the folder holds the pictures and no database."""

    database_: Database | None = None

    @property
    def on_server(self) -> Database:
        """The addresses of its database."""
        assert self.database_ is not None
        return self.database_

    def copied(self, folder: Path) -> "ServerBench":
        """The same ledger in another folder and another database."""
        shutil.copytree(Path(self.settings.folder).parent, folder)
        made = twin(self.on_server)
        settings = Settings(folder=str(folder / "data"), keys=str(folder / "keys"), database=made.application)
        return replace(self, settings=settings, database_=made)

    def behind_its_back(self, change: Callable[[sqlite3.Connection], Any], *, guards: bool = True) -> None:
        """Take the guards off, change, put the guards back as if nothing had been."""
        path = f"-c search_path={SCHEMA} -c slipsheet.collection="
        with psycopg.connect(self.on_server.above, options=path) as db:
            # A superuser is held by no row security, and a replay by no key of another table.
            db.execute("SET session_replication_role = replica")
            taken = db.execute(_GUARDS, [SCHEMA]).fetchall() if guards else []
            for table, name in taken:
                db.execute(f"ALTER TABLE {table} DISABLE TRIGGER {name}")
            change(cast("sqlite3.Connection", _Tool(db)))
            for table, name in taken:
                db.execute(f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}")

    def set_aside(self) -> Database:
        """A backup of the database."""
        return twin(self.on_server)

    def put_back(self, kept: object) -> None:
        """That backup in the place of what is there now."""
        assert isinstance(kept, Database)
        drop(self.on_server)
        renamed = make_url(self.on_server.above).database
        with psycopg.connect(self.on_server.server, autocommit=True) as db:
            db.execute(f"ALTER DATABASE {make_url(kept.above).database} RENAME TO {renamed}")


_GUARDS = (
    "SELECT relname, tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE relnamespace = to_regnamespace(%s) AND NOT tgisinternal"
)


def _spoken(statement: str) -> str:
    """What is said to a file in the words of a server."""
    said = _ZEROS.sub(r"decode(repeat('00', \1), 'hex')", statement)
    said = _BYTES.sub(r"decode('\1', 'hex')", said)
    return _DROPPED.sub(r"DROP TABLE \1 CASCADE", said)


class _Tool:
    """A connection that is spoken to as to one of SQLite."""

    def __init__(self, connection: "psycopg.Connection[Any]") -> None:
        self._connection = connection

    def execute(self, statement: str, values: Sequence[object] = ()) -> "psycopg.Cursor[Any]":
        said = _spoken(statement)
        if values:
            said = said.replace("%", "%%").replace("?", "%s")
        return self._connection.execute(said, values or None)

    def executescript(self, statements: str) -> None:
        self._connection.execute(_spoken(statements))


@contextmanager
def a_server_bench(folder: Path) -> Iterator[ServerBench]:
    """As `a_bench`, on the server of the tests."""
    with empty_database() as database:
        made = a_bench(folder, database=database.application)
        yield ServerBench(
            settings=made.settings, first=made.first, second=made.second, anchor=made.anchor, database_=database
        )
