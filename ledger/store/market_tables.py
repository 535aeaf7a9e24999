"""The tables of what the market told: comparables by their issue, prospects, rates. What they hold is JSON."""

from typing import Any, Final

from sqlalchemy import Column, ForeignKeyConstraint, Index, Table, Text
from sqlmodel import SQLModel

from ledger.store.bench_tables import beside_table
from ledger.store.tables import KEYED

__all__ = ["COMPARABLE", "MARKET", "PROSPECT", "RATE"]

_HOW: Final[dict[str, Any]] = dict(KEYED)

COMPARABLE: Final = Table(
    "comparable",
    SQLModel.metadata,
    Column("collection_id", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("issue", Text, nullable=False),
    Column("made", Text, nullable=False),
    Column("data", Text, nullable=False),
    ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
    Index("comparable_issue", "collection_id", "issue"),
    **_HOW,
)
"""One sale of an issue; the column has its key, so that the sales of one issue are read alone."""

PROSPECT: Final = beside_table("prospect", "made")

RATE: Final = beside_table("rate", "made")

MARKET: Final = (COMPARABLE, PROSPECT, RATE)
