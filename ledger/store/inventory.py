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
from ledger.store.guards import TRIGGERS
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, PICTURE_ROW, SEARCH_PARTS
from ledger.store.tables import BOOK_HEAD, KEPT, NODE, READ_MODEL, TOKEN

__all__ = ["REMADE", "mend_of", "missing_tables", "naming_damage", "problem_of", "strangers"]

REMADE: Final[tuple[Table, ...]] = (NODE, BOOK_HEAD, READ_MODEL)
"""Tables of what is worked out from the entries, which a rebuild makes anew as it makes the lists."""

_STEPS: Final = "alembic_version"
_TABLES: Final = (*(each.name for each in (*KEPT, *ACCOUNTS)), _STEPS)
_LISTS: Final = (BOOK_ROW.name, PICTURE_ROW.name, BOOK_SEARCH.name, *SEARCH_PARTS)
_ANEW: Final = frozenset((*(each.name for each in REMADE), *_LISTS))
_APART: Final = frozenset(
    (*(each.name for each in ACCOUNTS), _STEPS, TOKEN.name, READ_MODEL.name, *_LISTS),
)

_INDEXED: Final = (*KEPT, *ACCOUNTS, BOOK_ROW, PICTURE_ROW)
_INDEXES: Final = frozenset(str(index.name) for each in _INDEXED for index in each.indexes)
_MADE: Final = {"table": {*_TABLES, *_LISTS}, "index": _INDEXES, "trigger": TRIGGERS.keys(), "view": frozenset[str]()}
_READ: Final = text("SELECT type, name FROM sqlite_schema ORDER BY type, name")
_COLUMN: Final = re.compile(r"no such column|has no column named")
_BACKUP: Final = "Put back a backup that is whole."
_OWN: Final = "sqlite_"
"""How the names begin that SQLite keeps for itself. Source: sqlite.org, CREATE TABLE, section 2."""


def missing_tables(connection: Connection, *, lists: bool = True) -> list[MissingTable]:
    """Tables that are not there; without `lists` only such as are never made by the way."""
    there = {row.name for row in connection.execute(_READ) if row.type == "table"}
    return [
        MissingTable(name=name, remade=name in _ANEW, apart=name in _APART)
        for name in (*_TABLES, *(_LISTS if lists else ()))
        if name not in there
    ]


def strangers(connection: Connection) -> list[str]:
    """Tables, views, indexes and triggers that this program never made, each as its kind and its name."""
    found = [(str(row.type), str(row.name)) for row in connection.execute(_READ)]
    return [f"{kind} {name}" for kind, name in found if name not in _MADE[kind] and not name.startswith(_OWN)]


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
        if missing := missing_tables(connection):
            raise DamagedError(what="The database", problem=problem_of(missing), mend=mend_of(missing)) from error
        if _COLUMN.search(str(error.orig)):
            raise DamagedError(what="The database", problem=str(error.orig), mend=_BACKUP) from error
        raise
