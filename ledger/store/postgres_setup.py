"""Prepares a database on a PostgreSQL server, as its owner: tables, guards, and a role that may do no more than it must."""

from typing import Any, Final

from sqlalchemy import URL, Connection, text
from sqlalchemy.exc import DBAPIError

from ledger.errors import StoreError, UnfitStoreError
from ledger.store.inventory import REMADE, mend_of, missing_tables, problem_of
from ledger.store.migrations import VERSION, migrate
from ledger.store.postgres import LOCK_CLASS, database_url, engine_for
from ledger.store.postgres_guards import SCHEMA, make_guards
from ledger.store.read_models import make_read_models, shape_of
from ledger.store.row_tables import BOOK_ROW

__all__ = ["prepare"]

_ROLE: Final = text("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = :role")
_VERSION: Final = text(f"SELECT to_regclass('{SCHEMA}.alembic_version') IS NOT NULL")


def prepare(owner: str, application: str) -> None:
    """The database is as this program needs it, and the application's role can work with it and not undo it.

    Everything is done in one transaction, and a second time changes nothing. The role is made if it is not there, with
    the password in its address.
    Raises: UnfitStoreError, StoreError.
    """
    by, to = database_url(owner), database_url(application)
    if by.username == to.username:
        mend = "The application works as a role of its own, which cannot take the guards away. Name another one."
        raise UnfitStoreError(path=str(to.database), problem="owner and application are the same role", mend=mend)
    engine = engine_for(by)
    try:
        with engine.connect() as connection, connection.begin():
            connection.execute(text("SELECT pg_advisory_xact_lock(:class, 0)"), {"class": LOCK_CLASS})
            _prepare(connection, to)
    except DBAPIError as error:
        raise StoreError(problem=str(error.orig).strip()) from error
    finally:
        engine.dispose()


def _prepare(connection: Connection, to: URL) -> None:
    role = str(to.username)
    _make_role(connection, to, role)
    run = connection.exec_driver_sql
    run(f"CREATE SCHEMA IF NOT EXISTS {SCHEMA}")
    run("CREATE EXTENSION IF NOT EXISTS pg_trgm")
    found = _version(connection)
    if found > VERSION:
        mend = "Use the newer program; this one would not see all of it."
        problem = f"it was written by a newer program (version {found})"
        raise UnfitStoreError(path=str(to.database), problem=problem, mend=mend, found=found, known=VERSION)
    migrate(connection)
    for table in REMADE:
        table.create(connection, checkfirst=True)
    if missing := missing_tables(connection, lists=False):
        raise UnfitStoreError(path=str(to.database), problem=problem_of(missing), mend=mend_of(missing))
    # Row security holds the owner too, and what is noted of the read models goes with their tables.
    run("ALTER TABLE read_model DISABLE ROW LEVEL SECURITY")
    make_read_models(connection)
    run(f"COMMENT ON TABLE {BOOK_ROW.name} IS '{shape_of(connection)}'")
    make_guards(connection, role)


def _make_role(connection: Connection, to: URL, role: str) -> None:
    above = connection.execute(_ROLE, {"role": role}).scalar_one_or_none()
    if above:
        problem = f"the role {role} stands above all guards"
        raise UnfitStoreError(path=str(to.database), problem=problem, mend="Name a role that is no superuser.")
    if above is None:
        quote = connection.dialect.identifier_preparer.quote
        connection.exec_driver_sql(f"CREATE ROLE {quote(role)} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOBYPASSRLS")
        if to.password is not None:
            # Hashed on this side, for a server may log the statements that it is sent.
            below: Any = connection.connection.driver_connection
            hashed = below.pgconn.encrypt_password(to.password.encode(), role.encode(), b"scram-sha-256").decode()
            connection.exec_driver_sql(f"ALTER ROLE {quote(role)} PASSWORD '{hashed}'")


def _version(connection: Connection) -> int:
    if not connection.execute(_VERSION).scalar_one():
        return 0
    return int(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
