"""Whether the guards of a database are there, whichever database it is."""

from sqlalchemy import Connection

from ledger.store import guards, postgres_guards

__all__ = ["missing_guards"]


def missing_guards(connection: Connection) -> list[str]:
    """Guards that are not there as they were made, and such as nobody here made."""
    if connection.dialect.name == "postgresql":
        return postgres_guards.missing_guards(connection)
    return guards.missing_guards(connection)
