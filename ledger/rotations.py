"""A plan of rotation as it is kept beside the ledger: who hangs when, when each swap is due, and which was done.

Nothing in it is an entry. A swap that is done writes the placements; until then the plan is only meant. What light does to
a book is kept as it was known when the plan was made; where the ledger knew nothing and it was typed, that is kept too.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final

from ledger.care import CareRow
from ledger.events._parts import Answer
from ledger.rules.rotation import Hanging, Rows, Spot, Wish, days_hung

__all__ = [
    "TYPED",
    "YEAR",
    "Rotation",
    "RotationBook",
    "RotationSpot",
    "Span",
    "Standing",
    "Swap",
    "wish_of",
]

YEAR: Final = 365
"""Days a yearly limit is for."""
TYPED: Final = "typed"
"""How a figure is known that the ledger knew nothing of."""


class Standing(StrEnum):
    """How far a plan has come."""

    PROPOSED = "proposed"
    ACCEPTED = "accepted"


@dataclass(frozen=True, kw_only=True)
class Span:
    """The least, the middle and the most that something can be, exactly."""

    low: Fraction
    middle: Fraction
    high: Fraction

    def __add__(self, other: "Span") -> "Span":
        """Light adds up."""
        return Span(low=self.low + other.low, middle=self.middle + other.middle, high=self.high + other.high)

    def times(self, factor: int | Fraction) -> "Span":
        """So many times as much."""
        return Span(low=self.low * factor, middle=self.middle * factor, high=self.high * factor)


NOTHING: Final = Span(low=Fraction(0), middle=Fraction(0), high=Fraction(0))


@dataclass(frozen=True, kw_only=True)
class RotationSpot:
    """One spot: where it is, and the light that falls there in a day."""

    id: str
    room: str
    wall: str
    x_cm: str
    y_cm: str
    light: Span
    """On and off hours together; the plan is made with the middle. Units: lx h a day."""
    known: str = TYPED
    """How it is known."""
    filtered: Answer = Answer.UNSURE
    """Ultraviolet is filtered out before it falls on the book."""

    @property
    def where(self) -> tuple[str, str, Decimal, Decimal]:
        """So that 60 and 60.0 are one spot."""
        return self.room, self.wall, Decimal(self.x_cm), Decimal(self.y_cm)


@dataclass(frozen=True, kw_only=True)
class RotationBook:
    """One book of the plan: what fades it, what it took so far, and what is asked of it."""

    book: str
    fade: Span | None
    """The dose to a just noticeable fade; None where light does it nothing. Units: lx h."""
    filtered: Span | None = None
    """The dose where ultraviolet is filtered out; None where it is the same. Units: lx h."""
    taken_for: str = TYPED
    """The class that the doses are of."""
    taken: Span | None = None
    """Light counted so far; None is not known. Light from before it was counted is never known. Units: lx h."""
    had: Span | None = None
    """Which part of a just noticeable fade that was; None is not known."""
    taken_typed: bool = False
    """Its owner said so; the ledger knew nothing."""
    unknown_days: int = 0
    """Days here of which the light is not known."""
    always: bool = False
    pinned: str | None = None
    """The one spot where it may hang."""
    days_a_year: int | None = None
    lux_hours_a_year: int | None = None
    """Limits of a year; a plan of up to a year may use all of one, a longer one its part of each."""

    def doses(self, filtered: Answer) -> tuple[Span, ...]:
        """Those that may count where ultraviolet is filtered out, is not, or nobody knows."""
        if self.fade is None:
            return ()
        without = self.filtered or self.fade
        return {Answer.YES: (without,), Answer.NO: (self.fade,), Answer.UNSURE: (self.fade, without)}[filtered]

    def a_day(self, spot: RotationSpot) -> Span:
        """Which part of a just noticeable fade a day at the spot is.

        Keeps: what is not known to be filtered counts in the middle as that which fades sooner, as everywhere here.
        Source: share = lux hours / dose to a just noticeable fade.
        """
        doses = self.doses(spot.filtered)
        if not doses:
            return NOTHING
        return Span(
            low=spot.light.low / max(each.high for each in doses),
            middle=spot.light.middle / min(each.middle for each in doses),
            high=spot.light.high / min(each.low for each in doses),
        )


@dataclass(frozen=True, kw_only=True)
class Swap:
    """One swap of a plan: when it is due, and what became of it."""

    number: int
    """From 0."""
    due: date
    until: date
    """The day on which the next is due, or the plan ends."""
    act: str | None
    """The act that wrote it; None while none did, empty where all hung there already."""
    passed_over: bool
    """A later one was done, and this one not."""
    row: tuple[str, ...]

    @property
    def open(self) -> bool:
        """It is still to be done."""
        return self.act is None and not self.passed_over


@dataclass(frozen=True, kw_only=True)
class Rotation:
    """A plan as it is kept."""

    row: CareRow
    starts: date
    periods: tuple[int, ...]
    spots: tuple[RotationSpot, ...]
    books: tuple[RotationBook, ...]
    apart: tuple[tuple[str, str], ...]
    rows: Rows
    standing: Standing = Standing.PROPOSED
    least_possible: Fraction
    """No plan of this wish has a smaller largest share."""
    exact: bool
    """None is better than this one."""
    by_hand: bool = False
    """Its owner changed it."""
    done: Mapping[int, str] = field(default_factory=dict)
    """The act of each swap that was done."""

    @property
    def id(self) -> str:
        """Its own."""
        return self.row.id

    @property
    def ends(self) -> date:
        """The day after its last."""
        return self.starts + timedelta(days=sum(self.periods))

    @property
    def swaps(self) -> tuple[Swap, ...]:
        """All of them, in order."""
        last, found, due = max(self.done, default=-1), [], self.starts
        for number, days in enumerate(self.periods):
            until, act = due + timedelta(days=days), self.done.get(number)
            passed = act is None and number < last
            found.append(Swap(number=number, due=due, until=until, act=act, passed_over=passed, row=self.rows[number]))
            due = until
        return tuple(found)

    @property
    def next_swap(self) -> Swap | None:
        """The first that is still to be done."""
        return next((each for each in self.swaps if each.open), None)

    @property
    def largest(self) -> Fraction:
        """The largest share over all books at its end, with the middle of each band."""
        return max(each.middle for each in self.bands().values())

    def bands(self) -> Mapping[str, Span]:
        """Each book's share at the end of the plan, as far as light was counted."""
        own = {each.book: each for each in self.books}
        found = {each.book: each.had or NOTHING for each in self.books}
        for days, row in zip(self.periods, self.rows, strict=True):
            for spot, book in zip(self.spots, row, strict=True):
                found[book] += own[book].a_day(spot).times(days)
        return found

    def days(self) -> Mapping[str, int]:
        """Days each book hangs in the plan."""
        return days_hung(wish_of(self), self.rows)


def wish_of(plan: Rotation) -> Wish:
    """What the plan was made of, as the rules read it."""
    whole = sum(plan.periods)
    return Wish(
        spots=tuple(Spot(id=each.id, a_day=each.light.middle) for each in plan.spots),
        books=tuple(_hanging(each, plan.spots, whole) for each in plan.books),
        periods=plan.periods,
        apart=plan.apart,
    )


def _hanging(book: RotationBook, spots: Iterable[RotationSpot], days: int) -> Hanging:
    limit = None if book.lux_hours_a_year is None else Fraction(_in_plan(book.lux_hours_a_year, days))
    doses = {each.id: min((dose.middle for dose in book.doses(each.filtered)), default=None) for each in spots}
    return Hanging(
        id=book.book,
        fade=None if book.fade is None else book.fade.middle,
        at={spot: dose for spot, dose in doses.items() if dose is not None},
        share=Fraction(0) if book.had is None else book.had.middle,
        always=book.always,
        pinned=book.pinned,
        most_days=None if book.days_a_year is None else _in_plan(book.days_a_year, days),
        most_lux_hours=limit,
    )


def _in_plan(a_year: int, days: int) -> int:
    """What a plan of so many days may use of a yearly limit. Source: our assumption."""
    return a_year if days <= YEAR else a_year * days // YEAR
