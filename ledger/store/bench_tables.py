"""The tables of the bench: loads that are under way, and recipes. What they hold is JSON, read by `bench`."""

from typing import Any, Final

from sqlalchemy import Column, ForeignKeyConstraint, Table, Text
from sqlmodel import SQLModel

from ledger.store.tables import KEYED

__all__ = ["BENCH", "LOAD", "RECIPE"]

_HOW: Final[dict[str, Any]] = dict(KEYED)


def _table(name: str, moment: str) -> Table:
    return Table(
        name,
        SQLModel.metadata,
        Column("collection_id", Text, primary_key=True),
        Column("id", Text, primary_key=True),
        Column(moment, Text, nullable=False),
        Column("data", Text, nullable=False),
        ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
        **_HOW,
    )


LOAD: Final = _table("load", "started")
"""A row is there until an entry tells what was done, or the load was called off."""

RECIPE: Final = _table("recipe", "made")

BENCH: Final = (LOAD, RECIPE)
