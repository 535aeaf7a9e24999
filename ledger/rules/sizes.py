"""How large a book is drawn: as measured, and where nobody measured, as books of its time commonly are; which times."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Final

from ledger.rules._tables import table

__all__ = ["Size", "era_of", "eras", "holder_reach", "size_of"]

HOLDER: Final = "holder"
NOT_DATED: Final = 1970
"""A book whose year is not known is drawn as those in the middle of the table."""


@dataclass(frozen=True)
class Size:
    """Width and height of a closed book, and whether both were measured on it.

    Units: mm.
    """

    width_mm: Decimal
    height_mm: Decimal
    measured: bool


@lru_cache(maxsize=1024)
def size_of(width_mm: str | None, height_mm: str | None, year: int | None) -> Size:
    """The size it was measured at; a side that was not measured is that of books of its year.

    Copies vary by several millimetres, so a common size says nothing of a trimmed edge.
    Source: common practice, no source.
    """
    common = next(each for each in _common() if (year or NOT_DATED) <= each[0])
    width = Decimal(common[1]) if width_mm is None else Decimal(width_mm)
    height = Decimal(common[2]) if height_mm is None else Decimal(height_mm)
    return Size(width, height, width_mm is not None and height_mm is not None)


def era_of(first_year: int, last_year: int) -> str | None:
    """Id of the row whose years hold both; None where they lie in two.

    Source: common practice, no source.
    """
    first, last = (_era(year) for year in (first_year, last_year))
    return first if first == last else None


@cache
def eras() -> dict[str, str]:
    """The times of the table by their ids, the oldest first, each in words.

    Source: common practice, no source.
    """
    return {row.id: row.text("title") for row in table("sizes").rows if row.id != HOLDER}


def _era(year: int) -> str:
    rows = [row for row in table("sizes").rows if row.id != HOLDER]
    return next(row.id for row in rows if year <= row.whole("last_year"))


@cache
def holder_reach() -> tuple[int, int]:
    """How far a holder reaches beyond the book on each side, and at either end.

    Units: mm.
    Source: common practice, no source.
    """
    row = table("sizes").row(HOLDER)
    assert row is not None
    return row.whole("width_mm"), row.whole("height_mm")


@cache
def _common() -> tuple[tuple[int, int, int], ...]:
    """Last year, width and height, the oldest first."""
    rows = [row for row in table("sizes").rows if row.id != HOLDER]
    return tuple((row.whole("last_year"), row.whole("width_mm"), row.whole("height_mm")) for row in rows)
