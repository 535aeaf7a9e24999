"""What is assumed of each choice: how likely harm is, what it takes, what a sale keeps back, how long it takes."""

from dataclasses import dataclass

from ledger.rules._tables import Row, TableError, table
from ledger.rules.worth import WHOLE, Choice

__all__ = ["Assumed", "assumed"]


@dataclass(frozen=True, kw_only=True)
class Assumed:
    """What is assumed of a choice unless it is said otherwise.

    Units: per mille of what the book would bring; days.
    """

    choice: Choice
    title: str
    risk_per_mille: int
    """How likely the book is harmed."""
    harm_takes_per_mille: int
    """What harm takes of its value."""
    sale_keeps_per_mille: int
    """What a sale keeps back."""
    days: int
    sources: tuple[str, ...]


def assumed(choice: Choice, row: Row | None = None) -> Assumed:
    """What is assumed of a choice; `row` is the one that counts in a collection, the shipped one left out.

    Raises: TableError. Source: our assumption, editable by a ruling.
    """
    found = table("worth").row(choice.value) if row is None else row
    if found is None:
        raise TableError(where="worth", problem=f"there is no row {choice.value}")
    names = ("risk_per_mille", "harm_takes_per_mille", "sale_keeps_per_mille")
    figures = {name: found.whole(name) for name in names}
    days = found.whole("days")
    if any(not 0 <= each <= WHOLE for each in figures.values()) or days < 0:
        raise TableError(where=f"worth, row {found.id}", problem="a share is not from 0 to 1000, or days are below 0")
    return Assumed(choice=choice, title=found.text("title"), days=days, sources=found.sources, **figures)
