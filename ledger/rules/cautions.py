"""Cautions for hands, eyes and lungs, shown where the step is entered."""

from dataclasses import dataclass
from functools import cache

from ledger.rules._tables import table

__all__ = ["Caution", "caution", "cautions"]


@dataclass(frozen=True)
class Caution:
    """One caution, ending with the advice to follow local codes and to ask a paper conservator."""

    key: str
    title: str
    text: str


@cache
def cautions() -> dict[str, Caution]:
    """Every caution, by key.

    Source: the row's own.
    """
    return {row.id: Caution(row.id, row.text("title"), row.text("text")) for row in table("cautions").rows}


def caution(key: str) -> Caution:
    """The caution of that key; a key that is not in the table is a fault of this program."""
    return cautions()[key]
