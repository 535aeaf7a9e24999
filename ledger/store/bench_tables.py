"""The tables of the bench: loads under way, recipes, tools, calendar feeds. What they hold is JSON, read by `bench`."""

from typing import Any, Final

from sqlalchemy import Column, ForeignKeyConstraint, Table, Text
from sqlmodel import SQLModel

from ledger.store.tables import KEYED

__all__ = ["BENCH", "FEED", "LOAD", "RECIPE", "TOOL", "beside_table"]

_HOW: Final[dict[str, Any]] = dict(KEYED)


def beside_table(name: str, moment: str) -> Table:
    """A table beside the ledger, of JSON under an id, with the moment it began under that name."""
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


LOAD: Final = beside_table("load", "started")
"""A row is there until an entry tells what was done, or the load was called off."""

RECIPE: Final = beside_table("recipe", "made")

TOOL: Final = beside_table("tool", "made")
"""Presses and hot tools, with what they were measured at."""

FEED: Final = beside_table("feed", "made")
"""The secret address of a calendar; only the hash of the secret is kept."""

BENCH: Final = (LOAD, RECIPE, TOOL, FEED)
