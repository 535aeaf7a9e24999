"""Guards: what no statement may do to the ledger, held by the database itself and by every connection of the program.

Triggers alone do not hold (REPLACE goes past them, and they can be dropped), so each connection also refuses by itself.
"""

import sqlite3
from collections.abc import Mapping
from typing import Final

from sqlalchemy import Connection, text

__all__ = ["drop_guards", "guard_reading", "guard_writing", "make_guards", "missing_guards"]


def _trigger(name: str, moment: str, says: str, when: str = "") -> tuple[str, str]:
    condition = f" WHEN {when}" if when else ""
    body = f"BEGIN SELECT RAISE(ABORT, '{says}'); END"
    return name, f"CREATE TRIGGER {name} BEFORE {moment}{condition} {body}"


_SAME_COLLECTION: Final = "NEW.collection_id IS OLD.collection_id"
_SIZE: Final = "(SELECT size FROM head WHERE collection_id = NEW.collection_id)"
_THERE: Final = "EXISTS (SELECT 1 FROM entry WHERE collection_id = NEW.collection_id AND seq = NEW.size)"
_LAST: Final = "(SELECT {0} FROM checkpoint WHERE collection_id = NEW.collection_id ORDER BY no DESC LIMIT 1)"

TRIGGERS: Final[Mapping[str, str]] = dict(
    (
        _trigger("entry_insert", "INSERT ON entry", "an entry follows the last one", f"NEW.seq IS NOT {_SIZE} + 1"),
        _trigger("entry_update", "UPDATE ON entry", "an entry is never changed"),
        _trigger("entry_delete", "DELETE ON entry", "an entry is never taken out"),
        _trigger("head_insert", "INSERT ON head", "a ledger begins empty", "NEW.size IS NOT 0 OR NEW.books IS NOT 0"),
        _trigger(
            "head_update",
            "UPDATE ON head",
            "a head moves by one entry",
            f"NOT ({_SAME_COLLECTION} AND NEW.size IS OLD.size + 1 AND NEW.books - OLD.books IN (0, 1) AND {_THERE})",
        ),
        _trigger("head_delete", "DELETE ON head", "a head is never taken out"),
        _trigger("collection_update", "UPDATE ON collection", "a collection keeps its name"),
        _trigger("collection_delete", "DELETE ON collection", "a collection is never taken out"),
        _trigger(
            "sealed_value_update",
            "UPDATE ON sealed_value",
            "a sealed value is erased or stays",
            f"NOT ({_SAME_COLLECTION} AND NEW.seq IS OLD.seq AND NEW.name IS OLD.name"
            " AND NEW.salt IS NULL AND NEW.value IS NULL)",
        ),
        _trigger("sealed_value_delete", "DELETE ON sealed_value", "the row of a sealed value stays when it is erased"),
        _trigger(
            "receipt_update",
            "UPDATE ON receipt",
            "a receipt is only made to forget its request",
            f"NOT ({_SAME_COLLECTION} AND NEW.key IS OLD.key AND NEW.first IS OLD.first AND NEW.count IS OLD.count"
            " AND NEW.salt IS NULL AND NEW.request IS NULL)",
        ),
        _trigger("receipt_delete", "DELETE ON receipt", "a receipt is never taken out"),
        _trigger(
            "checkpoint_insert",
            "INSERT ON checkpoint",
            "a checkpoint covers no less than the one before it, and no more than there is",
            f"NEW.no IS NOT coalesce({_LAST.format('no')}, 0) + 1"
            f" OR NEW.size < coalesce({_LAST.format('size')}, 0) OR NEW.size > {_SIZE}",
        ),
        _trigger("checkpoint_update", "UPDATE ON checkpoint", "a checkpoint is never changed"),
        _trigger("checkpoint_delete", "DELETE ON checkpoint", "a checkpoint is never taken out"),
        _trigger(
            "token_update",
            "UPDATE ON token",
            "a token is only revoked",
            f"NOT ({_SAME_COLLECTION} AND NEW.id IS OLD.id AND NEW.hashed IS OLD.hashed AND NEW.scopes IS OLD.scopes"
            " AND NEW.expires IS OLD.expires AND OLD.revoked IS NULL AND NEW.revoked IS NOT NULL)",
        ),
        _trigger("token_delete", "DELETE ON token", "a token is never taken out"),
    )
)
"""Each guard of the database by its name, as the statement that makes it."""

_READ_TRIGGERS: Final = text("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")


def drop_guards(connection: Connection) -> None:
    """No trigger is left: a migration that makes a table anew drops some, and stumbles over those that name it.

    Requires: a connection that may drop triggers, in the transaction that makes the guards again
    """
    for name, _ in connection.execute(_READ_TRIGGERS).all():
        connection.exec_driver_sql(f"DROP TRIGGER {connection.dialect.identifier_preparer.quote(name)}")


def make_guards(connection: Connection) -> None:
    """Every guard anew, and no trigger beside them.

    Requires: a connection that may create and drop triggers
    """
    drop_guards(connection)
    for statement in TRIGGERS.values():
        connection.exec_driver_sql(statement)


def missing_guards(connection: Connection) -> list[str]:
    """Guards that are not there as they were made."""
    found = {row.name: row.sql for row in connection.execute(_READ_TRIGGERS)}
    return sorted(name for name, statement in TRIGGERS.items() if found.get(name) != statement)


_HARMLESS: Final = frozenset(
    {
        sqlite3.SQLITE_SELECT,
        sqlite3.SQLITE_READ,
        sqlite3.SQLITE_RECURSIVE,
        sqlite3.SQLITE_TRANSACTION,
        sqlite3.SQLITE_SAVEPOINT,
    }
)
_ASKED: Final = frozenset(
    {"application_id", "data_version", "integrity_check", "quick_check", "read_uncommitted", "user_version"}
)
"""Settings that may be read; none may be set. The search of SQLite asks for `data_version`, SQLAlchemy for
`read_uncommitted`."""

_READ_MODELS: Final = frozenset({"book_row", "picture_row", "cost_row", "word_row", "read_model"})
_SEARCH: Final = "book_search"
_GROWING: Final = frozenset(
    {"collection", "entry", "head", "node", "book_head", "sealed_value", "receipt", "checkpoint", "token"}
    | {"person", "session", "waiting_form", "load", "recipe", "tool", "feed", "record", "link", "stamp"}
    | {"comparable", "prospect", "rate", "care", "rotation", "climate", "climate_part"}
)
_CHANGING: Final[Mapping[str, frozenset[str]]] = {
    "head": frozenset({"size", "books"}),
    "node": frozenset({"hash"}),
    "book_head": frozenset({"no", "seq", "leaf"}),
    "sealed_value": frozenset({"salt", "value"}),
    "receipt": frozenset({"salt", "request"}),
    "token": frozenset({"revoked"}),
    "person": frozenset({"password", "preferences"}),
    "session": frozenset({"used"}),
}
_REMADE: Final = frozenset({"node", "book_head"})
"""Worked out from the entries, so a rebuild makes them anew."""
_PASSING: Final = frozenset(
    {"session", "waiting_form", "load", "recipe", "tool", "feed", "link", "record", "comparable", "prospect", "rate"}
    | {"care", "rotation", "climate", "climate_part"}
)
"""No part of the ledger: they end."""


def guard_writing(connection: sqlite3.Connection) -> None:
    """From now on the connection prepares no statement that could change what was written."""
    connection.set_authorizer(_may_write)


def guard_reading(connection: sqlite3.Connection) -> None:
    """From now on the connection prepares no statement that writes."""
    connection.set_authorizer(_may_read)


def _may_read(action: int, first: str | None, second: str | None, _database: str | None, _by: str | None) -> int:
    if action in _HARMLESS:
        allowed = True
    elif action == sqlite3.SQLITE_FUNCTION:
        allowed = second != "load_extension"
    elif action == sqlite3.SQLITE_UPDATE:
        # Opening the search table asks for this. A statement that tried it would still be refused by SQLite itself:
        # the schema is only written to by statements that need other permissions too, or with `writable_schema` on.
        allowed = first == "sqlite_master"
    else:
        allowed = action == sqlite3.SQLITE_PRAGMA and second is None and first in _ASKED
    return sqlite3.SQLITE_OK if allowed else sqlite3.SQLITE_DENY


def _may_write(action: int, first: str | None, second: str | None, database: str | None, by: str | None) -> int:
    table = first or ""
    ours = table in _READ_MODELS or table == _SEARCH or table.startswith(f"{_SEARCH}_")
    match action:
        case sqlite3.SQLITE_INSERT:
            allowed = ours or table in _GROWING
        case sqlite3.SQLITE_UPDATE if table != "sqlite_master":
            allowed = ours or (second or "") in _CHANGING.get(table, ())
        case sqlite3.SQLITE_DELETE:
            allowed = ours or table in _REMADE | _PASSING
        case sqlite3.SQLITE_PRAGMA if first == "wal_checkpoint":
            allowed = True
        case _:
            return _may_read(action, first, second, database, by)
    return sqlite3.SQLITE_OK if allowed else sqlite3.SQLITE_DENY
