"""What a plan of rotation is asked for with: spots, books, days; figures are typed only where the ledger knows none."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from ledger.errors import Problem
from ledger.events._spelling import SHORT_ID
from ledger.rules.rotation import PERIODS_MOST

__all__ = ["DAYS_MOST", "LUX_HOURS_MOST", "BookSaid", "RotationSaid", "SpotSaid", "flaws_of_said", "flaws_of_spot"]

DAYS_MOST: Final = 366 * 5
LUX_HOURS_MOST: Final = 10**10
"""More than ten thousand years in a dark corner, and more than 100 years in the sun."""
_MEASURE: Final = re.compile(r"(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?")
_FIRST_YEAR, _LAST_YEAR = 1900, 2200


@dataclass(frozen=True, kw_only=True)
class SpotSaid:
    """One spot; its light is what the ledger knows of it, unless it is typed."""

    id: str
    room: str
    wall: str
    x_cm: str
    y_cm: str
    lux_hours_a_day: str | None = None
    """Typed: a decimal; on and off hours together. Units: lx h."""

    @property
    def where(self) -> tuple[str, str, Decimal, Decimal]:
        """So that 60 and 60.0 are one spot."""
        return self.room, self.wall, Decimal(self.x_cm), Decimal(self.y_cm)


@dataclass(frozen=True, kw_only=True)
class BookSaid:
    """One book that may hang; its doses follow from its class and its light so far is counted, unless they are typed."""

    book: str
    fade: tuple[int, int, int] | None = None
    """Typed: the band of the dose to a just noticeable fade, least, middle, most. Units: lx h."""
    taken: int | None = None
    """Typed: light so far. Units: lx h."""
    always: bool = False
    pinned: str | None = None
    """The one spot where it may hang."""
    days_a_year: int | None = None
    lux_hours_a_year: int | None = None
    within_limit: bool = False
    """The yearly limit of its class counts too."""


@dataclass(frozen=True, kw_only=True)
class RotationSaid:
    """What a plan is to be made of."""

    starts: date
    periods: tuple[int, ...]
    """Units: days each."""
    spots: tuple[SpotSaid, ...]
    books: tuple[BookSaid, ...]
    apart: tuple[tuple[str, str], ...] = ()


def flaws_of_said(said: RotationSaid) -> list[Problem]:
    """What a plan's numbers and places may not be; what a wish may not be is said by its own rules."""
    found = []
    if not _FIRST_YEAR <= said.starts.year <= _LAST_YEAR:
        found.append(Problem(field="starts", sentence="Plan from a day of this century."))
    if len(said.periods) <= PERIODS_MOST and not 0 < sum(said.periods) <= DAYS_MOST:
        found.append(Problem(field="periods", sentence=f"A plan is 1 to {DAYS_MOST} days long. Shorten it."))
    spots = [problem for place, spot in enumerate(said.spots) for problem in flaws_of_spot(place, spot)]
    if not spots and len({each.where for each in said.spots}) < len(said.spots):
        spots.append(Problem(field="spots", sentence="Two of the spots are one and the same. Name each once."))
    books = [problem for place, book in enumerate(said.books) for problem in _flaws_of_book(place, book)]
    return [*found, *spots, *books]


def flaws_of_spot(place: int, spot: SpotSaid) -> Iterator[Problem]:
    """What a spot's figures and names may not be."""
    for name in ("x_cm", "y_cm", "lux_hours_a_day"):
        value = getattr(spot, name)
        if value is not None and not _MEASURE.fullmatch(value):
            sentence = "Write a number such as 400 or 62.5, with up to three decimals."
            yield Problem(field=f"spots.{place}.{name}", sentence=sentence)
    for name in ("room", "wall"):
        if not re.fullmatch(SHORT_ID, getattr(spot, name)):
            sentence = "Give its short id: lower-case letters, digits and hyphens, up to 40."
            yield Problem(field=f"spots.{place}.{name}", sentence=sentence)


def _flaws_of_book(place: int, book: BookSaid) -> Iterator[Problem]:
    numbers: Mapping[str, int | None] = {
        "taken": book.taken,
        "days_a_year": book.days_a_year,
        "lux_hours_a_year": book.lux_hours_a_year,
    }
    for name, value in numbers.items():
        if value is not None and not 0 <= value <= LUX_HOURS_MOST:
            yield Problem(field=f"books.{place}.{name}", sentence=f"Write a whole number up to {LUX_HOURS_MOST}.")
    if book.fade is not None:
        low, middle, high = book.fade
        if not 0 < low <= middle <= high <= LUX_HOURS_MOST:
            sentence = (
                f"The band runs from its least over its middle to its most, above nothing and up to {LUX_HOURS_MOST}. "
                "Put them in order."
            )
            yield Problem(field=f"books.{place}.fade", sentence=sentence)
