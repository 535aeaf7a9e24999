"""What care a book is due: to be counted, looked at, or housed anew, and on which day.

A day that is worked out from an interval of the table is an appointment, and says nothing of how long paper or plastic
last. Where nothing says since when, the day is not known: it is due, and no day is made up.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from itertools import pairwise
from typing import Final

from ledger.book import Book
from ledger.events.count import Count, Result
from ledger.events.custody import Custody, Direction
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.placement import Around, Housing, Placement
from ledger.events.slab import Slab
from ledger.events.submission import Submission
from ledger.history import Moment
from ledger.looks import look_due
from ledger.rules.care import CareRules
from ledger.when import When

__all__ = ["Ahead", "Care", "CareDue", "Planned", "cares_of"]


class Care(StrEnum):
    """What is due."""

    MISSING = "look for it"
    COUNT = "count"
    LOOK = "look"
    BEFORE = "look before"
    AFTER_MOVE = "look after a move"
    AFTER_WORK = "look after work"
    AFTER_TRIP = "look after a trip"
    HOUSING = "housing"


class Ahead(StrEnum):
    """What is planned for a book, so that it is looked at before."""

    MOVE = "move"
    PRESS = "press"
    TRIP = "trip"


@dataclass(frozen=True, kw_only=True)
class Planned:
    """Something that is to be done with a book on a day."""

    what: Ahead
    on: date
    made: datetime
    """When it was planned."""


@dataclass(frozen=True, kw_only=True)
class CareDue:
    """One thing that a book is due."""

    book: str
    care: Care
    on: date | None
    """None: it is due, and nothing says since when."""
    since: str | None
    """EDTF; what the day is counted from, as far as known."""
    noted: datetime
    """When what it rests on was written down."""
    around: Around | None = None
    """What it is kept in, of a housing."""
    material: str | None = None
    ahead: Ahead | None = None
    """What it is looked at before …"""
    before: date | None = None
    """… and on which day that is; a look counts from `on`."""
    by_table: bool = False
    """The day follows from an interval of the table; its owner fixed none."""


_DONE_BY: Final = {Ahead.MOVE: (Placement,), Ahead.PRESS: (Intervention,), Ahead.TRIP: (Custody, Submission)}


def cares_of(book: Book, moments: Sequence[Moment], rules: CareRules, planned: Iterable[Planned] = ()) -> list[CareDue]:
    """All that the book is due, sooner or later; nothing of one that is not here.

    Requires: the book is the fold of these moments, which are in the order of happening.
    """
    if not book.here:
        return []
    held = _Held(book, [each for each in moments if each.in_force], rules)
    return [*held.presence(), *held.looks(), *held.before(planned), *held.housings()]


class _Held:
    """A book that is here, and what happened to it."""

    def __init__(self, book: Book, moments: Sequence[Moment], rules: CareRules) -> None:
        self._book, self._moments, self._rules = book, moments, rules

    def presence(self) -> Iterator[CareDue]:
        """To be counted, or to be looked for."""
        counted = [each for each in self._moments if isinstance(each.event, Count)]
        if self._book.missing_since is not None and counted:
            yield self._due(Care.MISSING, counted[-1], None)
            return
        found = [
            each for each in counted if isinstance(each.event, Count) and each.event.result is not Result.NOT_FOUND
        ]
        yield self._after(Care.COUNT, found[-1] if found else self._came(), "count")

    def looks(self) -> Iterator[CareDue]:
        """Since the last look, and since what happened after it."""
        place, looks = -1, [n for n, each in enumerate(self._moments) if isinstance(each.event, Examination)]
        if looks:
            place = looks[-1]
        since = self._moments[place + 1 :]
        yield self._after(Care.LOOK, self._moments[place] if looks else self._came(), "look")
        placements = [each for each in self._moments if isinstance(each.event, Placement)]
        later = {each.entry.seq for each in since}
        moved = [now for was, now in pairwise(placements) if now.entry.seq in later and _where(was) != _where(now)]
        if moved:
            yield self._after(Care.AFTER_MOVE, moved[-1], "look-after-move")
        back = [each for each in since if _came_back(each)]
        if back:
            yield self._after(Care.AFTER_TRIP, back[-1], "look-after-trip")
        rested = look_due(self._moments)
        work = [each for each in self._moments if isinstance(each.event, Intervention)]
        if rested is not None and work:
            yield self._due(Care.AFTER_WORK, work[-1], rested)

    def before(self, planned: Iterable[Planned]) -> Iterator[CareDue]:
        """Looks before what is planned; what was written down since is no longer planned."""
        seen = [each.event.on for each in self._moments if isinstance(each.event, Examination)]
        last = max((each.latest_day for each in seen if each is not None), default=None)
        for each in planned:
            ordinal = each.on.toordinal() - self._rules.of(f"look-before-{each.what}").days
            first = date.fromordinal(max(1, ordinal))
            done = any(
                isinstance(moment.event, _DONE_BY[each.what]) and moment.entry.recorded >= each.made
                for moment in self._moments
            )
            if not done and (last is None or last < first):
                yield CareDue(
                    book=self._book.id, care=Care.BEFORE, on=first, since=None if last is None else str(last),
                    noted=each.made, ahead=each.what, before=each.on,
                )  # fmt: skip

    def housings(self) -> Iterator[CareDue]:
        """What the last placement says it is kept in."""
        placed = [each for each in self._moments if isinstance(each.event, Placement)]
        if not placed or not isinstance(placed[-1].event, Placement):
            return
        for each in placed[-1].event.housings:
            yield self._housing(placed[-1], each)

    def _housing(self, moment: Moment, kept: Housing) -> CareDue:
        on, by_table = None if kept.due is None else kept.due.earliest_day, False
        if on is None and kept.changed_on is not None:
            days = self._rules.of_housing(kept.around, kept.material).days
            on, by_table = _later(kept.changed_on, days), True
        return CareDue(
            book=self._book.id, care=Care.HOUSING, on=on, since=_text(kept.changed_on), noted=moment.entry.recorded,
            around=kept.around, material=kept.material.value, by_table=by_table,
        )  # fmt: skip

    def _came(self) -> Moment:
        """The entry that brought it into the collection, for what never happened since."""
        owned = self._book.ownerships[-1].taken_by
        return next(each for each in self._moments if each.entry.seq == owned)

    def _after(self, care: Care, moment: Moment, row: str) -> CareDue:
        """So many days after that; the earliest day it may have been."""
        on = moment.event.on
        day = None if on is None else _later(on, self._rules.of(row).days)
        return self._due(care, moment, day, by_table=True)

    def _due(self, care: Care, moment: Moment, day: date | None, *, by_table: bool = False) -> CareDue:
        return CareDue(
            book=self._book.id, care=care, on=day, since=_text(moment.event.on), noted=moment.entry.recorded,
            by_table=by_table,
        )  # fmt: skip


def _came_back(moment: Moment) -> bool:
    event = moment.event
    return isinstance(event, Slab) or (isinstance(event, Custody) and event.direction is Direction.BACK)


def _where(moment: Moment) -> tuple[object, ...]:
    event = moment.event
    assert isinstance(event, Placement)
    place = event.place.value if event.place is not None else None
    return event.spot, event.room, event.wall, event.x_cm, event.y_cm, place


def _later(when: When, days: int) -> date | None:
    """So many days after the earliest day it may have been; None where the calendar has none that late."""
    ordinal = when.earliest_day.toordinal() + days
    return date.fromordinal(ordinal) if ordinal <= date.max.toordinal() else None


def _text(when: When | None) -> str | None:
    return None if when is None else str(when)
