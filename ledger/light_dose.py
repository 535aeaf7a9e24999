"""How much light a book has had here: lux hours from where it was kept, and what is not known of it.

Dates are as exact as they are: where they leave open when a book was hung, the least and the most that they allow.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from ledger.book import Book
from ledger.events.placement import Placement, Spot
from ledger.events.room import Room
from ledger.history import Moment, states
from ledger.light_spot import DARK, NOTHING, UNKNOWN, DayLight, Known, light_at, where_of
from ledger.rules.light import Extent, LightRules

__all__ = ["RoomStays", "Segment", "Stay", "Total", "light_on", "rooms_of", "segments_of", "stays_of", "total_of"]

_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class Stay:
    """From when on something was so: it began on one of these days; `seq` is the entry that says so."""

    first: date
    last: date
    seq: int
    placement: Placement | None = None
    """Where the book was put; None where that is not known."""
    here: bool = True
    """It is the collector's; else nobody here knows what light it has."""
    open: bool = False
    """Nothing says how long before it began."""

    @property
    def middle(self) -> date:
        """Half way between."""
        return self.first + (self.last - self.first) // 2


@dataclass(frozen=True, kw_only=True)
class Segment:
    """Days on which the same may have been so: all that it may have been, and what it most likely was."""

    begins: date
    days: int
    may_be: tuple[DayLight, ...]
    likely: DayLight


@dataclass(frozen=True, kw_only=True)
class Total:
    """What days came to, and of how many of them the light is not known."""

    extent: Extent
    days: int
    """All of them."""
    unknown_days: int
    """Days of which it may be, or is, not known."""


RoomStays = Mapping[str, Sequence[tuple[Stay, Room]]]
"""How each room was, one statement after the other, by its id."""


def stays_of(book: Book, moments: Sequence[Moment], until: date) -> tuple[Stay, ...]:
    """Where the book was, one after the other; what an entry does not change makes no new stay.

    Requires: moments in the order of happening, as everywhere here.
    """
    folded = states(book.id, book.no, moments)
    placements = {each.entry.seq: each.event for each in moments if isinstance(each.event, Placement)}
    kept: list[tuple[Moment, Book]] = []
    before: object = None
    for moment, state in zip(moments, folded[1:], strict=True):
        key = (state.held, state.here, state.missing_since is None, state.placed_by)
        if key != before and (state.held or kept):
            kept.append((moment, state))
            before = key
    spans = _spans([moment for moment, _ in kept], until)
    return tuple(
        Stay(
            first=first,
            last=last,
            seq=moment.entry.seq,
            placement=placements.get(state.placed_by or 0) if state.here and state.missing_since is None else None,
            here=state.held,
            open=is_open,
        )
        for (moment, state), (first, last, is_open) in zip(kept, spans, strict=True)
    )


def rooms_of(moments: Sequence[Moment], until: date) -> RoomStays:
    """How each room was, one statement after the other."""
    found: dict[str, list[tuple[Moment, Room]]] = {}
    for moment in moments:
        if moment.in_force and isinstance(moment.event, Room):
            found.setdefault(moment.event.room, []).append((moment, moment.event))
    made = {}
    for name, stated in found.items():
        spans = _spans([moment for moment, _ in stated], until)
        made[name] = tuple(
            (Stay(first=first, last=last, seq=moment.entry.seq, open=is_open), room)
            for (moment, room), (first, last, is_open) in zip(stated, spans, strict=True)
        )
    return made


def _spans(moments: Sequence[Moment], until: date) -> list[tuple[date, date, bool]]:
    """Between which days each happened, narrowed by what came before and after; whether nothing says how early.

    Keeps: what has no date, and nothing before it that has one, counts from the first day on which it must have been so.
    """
    last, lasts = until, []
    for moment in reversed(moments):
        on = moment.event.on
        told = moment.entry.recorded.date() if on is None else on.latest_day
        last = min(last, told)
        lasts.append(last)
    first: date | None = None
    spans = []
    for moment, latest in zip(moments, reversed(lasts), strict=True):
        on = moment.event.on
        if on is not None:
            first = on.earliest_day if first is None else max(first, on.earliest_day)
        begin = latest if first is None else min(first, latest)
        spans.append((begin, latest, first is None))
    return spans


def segments_of(stays: Sequence[Stay], rooms: RoomStays, rules: LightRules, until: date) -> tuple[Segment, ...]:
    """The days from the first stay on, cut wherever what may have been so changes."""
    if not stays:
        return ()
    named = {each.placement.room for each in stays if each.placement is not None}
    versions = [each for name in named if name for each, _ in rooms.get(name, ())]
    cuts = {day for each in (*stays, *versions) for day in (each.first, each.middle, each.last)}
    days = sorted({day for day in cuts if stays[0].first <= day < until} | {stays[0].first, until})
    spots = _Spots(stays, rooms, rules)
    return tuple(
        Segment(
            begins=begin,
            days=(end - begin).days,
            may_be=tuple(dict.fromkeys(spots.may_be(begin))),
            likely=next(iter(spots.may_be(begin, likely=True)), DARK),
        )
        for begin, end in pairwise(days)
    )


def light_on(stays: Sequence[Stay], rooms: RoomStays, rules: LightRules, day: date) -> DayLight | None:
    """The light it most likely has that day; None where it is not here."""
    place = next(iter(_on(stays, day, likely=True)), None)
    if place is None or not stays[place].here:
        return None
    return next(iter(_Spots(stays, rooms, rules).may_be(day, likely=True)))


class _Spots:
    """The light of every stay in every state of its room, each worked out once."""

    def __init__(self, stays: Sequence[Stay], rooms: RoomStays, rules: LightRules) -> None:
        self._stays, self._rooms, self._rules = stays, rooms, rules
        self._falls: dict[tuple[int, int | None], DayLight] = {}

    def may_be(self, day: date, *, likely: bool = False) -> Iterator[DayLight]:
        """The light of every stay that it may have been in that day, in every state its room may have been in."""
        for place in _on(self._stays, day, likely=likely):
            if place is None:
                yield DARK
                continue
            placement = self._stays[place].placement
            if placement is None:
                yield UNKNOWN
            elif placement.spot is not Spot.WALL:
                yield DARK
            else:
                stated = [each for each, _ in self._rooms.get(placement.room or "", ())]
                for version in _on(stated, day, likely=likely):
                    yield self._light(place, placement, version)

    def _light(self, place: int, placement: Placement, version: int | None) -> DayLight:
        if (place, version) not in self._falls:
            there = {} if version is None else {placement.room or "": self._rooms[placement.room or ""][version][1]}
            self._falls[place, version] = light_at(where_of(placement), there, self._rules)
        return self._falls[place, version]


def _on(stays: Sequence[Stay], day: date, *, likely: bool) -> Iterator[int | None]:
    """Which of them it may have been that day; None is before the first."""
    begins = [(each.middle, each.middle) if likely else (each.first, each.last) for each in stays]
    if not begins or begins[0][1] > day:
        yield None
    for place, (first, _) in enumerate(begins):
        ends = begins[place + 1][1] if place + 1 < len(begins) else date.max
        if first <= day < ends:
            yield place


def total_of(segments: Sequence[Segment], weigh: Callable[[DayLight], Extent]) -> Total:
    """The days added up; `weigh` says what one day of a light that is known comes to.

    Keeps: where it may be that nothing is known, the least is nothing, and the day is counted as one not known.
    """
    whole, days, unknown = NOTHING, 0, 0
    for each in segments:
        weights = [weigh(light) for light in each.may_be if light.known is not Known.NOT_KNOWN]
        is_open = len(weights) < len(each.may_be)
        low = 0.0 if is_open or not weights else min(one.low for one in weights)
        high = max((one.high for one in weights), default=0.0)
        likely = 0.0 if each.likely.known is Known.NOT_KNOWN else weigh(each.likely).middle
        whole += Extent(low=low, middle=likely, high=high).times(each.days)
        days, unknown = days + each.days, unknown + (each.days if is_open else 0)
    return Total(extent=whole, days=days, unknown_days=unknown)
