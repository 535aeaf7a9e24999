"""How many days a year each spot allows each book: spots from the top, a column for every class the books are taken for."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.light_share import Prospect
from ledger.rules.light import Sensitivity
from ledger.usecases.rotation_known import KnownLight, year_there
from ledger.usecases.rotation_spots import HasPlace
from web.light_words import class_words, days_words
from web.wording import t

__all__ = ["DaysGroup", "DaysTable", "days_table"]


@dataclass(frozen=True, kw_only=True)
class DaysGroup:
    """Books that are taken for the same: what a spot allows one it allows the others."""

    words: str
    books: tuple[tuple[str, str], ...]
    """Their ids and names."""


@dataclass(frozen=True, kw_only=True)
class DaysTable:
    """The whole table."""

    groups: tuple[DaysGroup, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    """Each spot's name, and what it allows the books of each group."""


def days_table(known: KnownLight, spots: Sequence[tuple[HasPlace, str]], books: Sequence[tuple[str, str]]) -> DaysTable:
    """Of these spots, each with its name, and these books by their ids and names."""
    groups: dict[Sensitivity, list[tuple[str, str]]] = {}
    for each in books:
        groups.setdefault(known.books[each[0]].standing.book, []).append(each)
    return DaysTable(
        groups=tuple(DaysGroup(words=class_words(of), books=tuple(own)) for of, own in groups.items()),
        rows=tuple(
            (name, tuple(_words(year_there(known, spot.where, own[0][0])) for own in groups.values()))
            for spot, name in spots
        ),
    )


def _words(there: Prospect) -> str:
    """Days in a band, and how many copies would fill the spot for a year."""
    said = days_words(there.days)
    if there.days is None or there.copies is None or there.copies == 1:
        return said
    return t("rotation.days_and_copies", days=said, copies=there.copies)
