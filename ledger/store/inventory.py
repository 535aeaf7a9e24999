"""What is in the database: the tables that must be there, those that are not, and what this program never made."""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Final

from sqlalchemy import Connection, Table, text
from sqlalchemy.exc import DBAPIError

from ledger.damage import MissingTable
from ledger.errors import DamagedError
from ledger.store.account_tables import ACCOUNTS
from ledger.store.beside_tables import BESIDE
from ledger.store.guards import TRIGGERS
from ledger.store.postgres_guards import BODIES
from ledger.store.read_models import SEARCH_INDEX
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, SEARCH_PARTS, WORD_ROW
from ledger.store.tables import BOOK_HEAD, KEPT, NODE, READ_MODEL, TOKEN

__all__ = ["REMADE", "mend_of", "missing_tables", "naming_damage", "problem_of", "strangers"]

REMADE: Final[tuple[Table, ...]] = (NODE, BOOK_HEAD, READ_MODEL)
"""Tables of what is worked out from the entries, which a rebuild makes anew as it makes the lists."""

_STEPS: Final = "alembic_version"
_TABLES: Final = (*(each.name for each in (*KEPT, *ACCOUNTS, *BESIDE)), _STEPS)
_LISTS: Final = (BOOK_ROW.name, PICTURE_ROW.name, COST_ROW.name, WORD_ROW.name, BOOK_SEARCH.name, *SEARCH_PARTS)
_ANEW: Final = frozenset((*(each.name for each in REMADE), *_LISTS))
_APART: Final = frozenset(
    (*(each.name for each in (*ACCOUNTS, *BESIDE)), _STEPS, TOKEN.name, READ_MODEL.name, *_LISTS),
)

_INDEXED: Final = (*KEPT, *ACCOUNTS, *BESIDE, BOOK_ROW, PICTURE_ROW, COST_ROW, WORD_ROW)
_INDEXES: Final = frozenset((SEARCH_INDEX, *(str(index.name) for each in _INDEXED for index in each.indexes)))
_MADE: Final = {
    "table": {*_TABLES, *_LISTS},
    "index": _INDEXES,
    "trigger": TRIGGERS.keys(),
    "server trigger": BODIES.keys(),
}
_READ: Final = {
    "sqlite": text("SELECT type, name FROM sqlite_schema ORDER BY type, name"),
    "postgresql": text(
        "SELECT CASE relkind WHEN 'r' THEN 'table' WHEN 'i' THEN 'index' ELSE 'view' END AS type, relname AS name"
        " FROM pg_class WHERE relnamespace = to_regnamespace('slipsheet') AND relkind <> 't'"
        " AND NOT EXISTS (SELECT FROM pg_constraint WHERE conindid = pg_class.oid)"
        " UNION ALL SELECT 'server trigger', tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
        " WHERE relnamespace = to_regnamespace('slipsheet') AND NOT tgisinternal ORDER BY type, name"
    ),
}
"""On a server the guards speak for triggers, and the index of a key goes with its key."""

_COLUMN: Final = re.compile(r"no such column|has no column named|column .* does not exist")
_BACKUP: Final = "Put back a backup that is whole."
_OWN: Final = "sqlite_"
"""How the names begin that SQLite keeps for itself. Source: sqlite.org, CREATE TABLE, section 2."""


def missing_tables(connection: Connection, *, lists: bool = True) -> list[MissingTable]:
    """Tables that are not there; without `lists` only such as are never made by the way."""
    there = {row.name for row in connection.execute(_READ[connection.dialect.name]) if row.type == "table"}
    listed = [name for name in _LISTS if connection.dialect.name == "sqlite" or name not in SEARCH_PARTS]
    return [
        MissingTable(name=name, remade=name in _ANEW, apart=name in _APART)
        for name in (*_TABLES, *(listed if lists else ()))
        if name not in there
    ]


def strangers(connection: Connection) -> list[str]:
    """Tables, views, indexes and triggers that this program never made, each as its kind and its name."""
    found = [(str(row.type), str(row.name)) for row in connection.execute(_READ[connection.dialect.name])]
    return [f"{kind} {name}" for kind, name in found if name not in _MADE.get(kind, ()) and not name.startswith(_OWN)]


def problem_of(missing: Sequence[MissingTable]) -> str:
    """That these are missing, as a sentence takes it up."""
    *others, last = (each.name for each in missing)
    return f"its tables {', '.join(others)} and {last} are missing" if others else f"its table {last} is missing"


def mend_of(missing: Sequence[MissingTable]) -> str:
    """What puts them back."""
    if all(each.remade for each in missing):
        return "Stop the program and run rebuild, which makes anew what is missing."
    return _BACKUP


@contextmanager
def naming_damage(connection: Connection) -> Iterator[None]:
    """What fails because a table or a column is not there says which one it is, and the mend.

    Raises: DamagedError.
    """
    try:
        yield
    except DBAPIError as error:
        if missing := _missing_after(connection):
            raise DamagedError(what="The database", problem=problem_of(missing), mend=mend_of(missing)) from error
        if _COLUMN.search(str(error.orig)):
            raise DamagedError(what="The database", problem=str(error.orig), mend=_BACKUP) from error
        raise


def _missing_after(connection: Connection) -> list[MissingTable]:
    """The tables that are not there, after a statement failed: a server answers nothing more in that transaction."""
    if connection.dialect.name == "sqlite":
        return missing_tables(connection)
    if connection.invalidated:
        return []
    with connection.engine.connect() as another:
        return missing_tables(another)
