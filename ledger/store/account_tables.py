"""The tables of accounts: people, the sessions they are in, and forms that wait for them to sign in."""

from typing import Any, Final

from sqlalchemy import Column, ForeignKeyConstraint, Index, LargeBinary, Table, Text
from sqlmodel import SQLModel

from ledger.store.tables import KEYED

__all__ = ["ACCOUNTS", "PERSON", "SESSION", "WAITING_FORM"]

_HOW: Final[dict[str, Any]] = dict(KEYED)


def _of_person() -> ForeignKeyConstraint:
    return ForeignKeyConstraint(["collection_id", "person"], ["person.collection_id", "person.id"])


PERSON: Final = Table(
    "person",
    SQLModel.metadata,
    Column("collection_id", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("created", Text, nullable=False),
    Column("password", Text),
    Column("preferences", Text, nullable=False),
    ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
    **_HOW,
)
"""Preferences are JSON; the password is a slow hash, or nothing."""

SESSION: Final = Table(
    "session",
    SQLModel.metadata,
    Column("collection_id", Text, primary_key=True),
    Column("hashed", LargeBinary, primary_key=True),
    Column("person", Text, nullable=False),
    Column("started", Text, nullable=False),
    Column("used", Text, nullable=False),
    Column("confirmed", Text),
    Column("phone", Text),
    _of_person(),
    **_HOW,
)
"""A row is there while its session is in force, and is taken out when it ends; `phone` names one that was paired."""

WAITING_FORM: Final = Table(
    "waiting_form",
    SQLModel.metadata,
    Column("collection_id", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("person", Text, nullable=False),
    Column("back", Text, nullable=False),
    Column("action", Text, nullable=False),
    Column("fields", Text, nullable=False),
    Column("held", Text, nullable=False),
    _of_person(),
    Index("waiting_form_held", "collection_id", "person", "held"),
    **_HOW,
)
"""Fields are JSON: pairs of name and value, in the order in which they were sent."""

ACCOUNTS: Final = (PERSON, SESSION, WAITING_FORM)
