"""Where a book was and for how long, as far as dates say it, and what each kind of place and all heat did to its paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from ledger.book import Book
from ledger.dose import Heat
from ledger.events.placement import Placement, Spot
from ledger.history import Moment
from ledger.rules.ageing import Band

__all__ = ["Ageing", "Air", "LogUsed", "Stay", "StayAir", "known_from", "seconds_of", "stays_of"]

_EPOCH: Final = date(1970, 1, 1).toordinal()
_DAY: Final = 86_400


@dataclass(frozen=True, kw_only=True)
class Stay:
    """A time in one spot, from the last day on which it can have begun to the first on which it can have ended.

    Units: s from the start of 1970, whole days.
    """

    entry: int
    spot: Spot
    room: str | None
    wall: str | None
    start: int
    end: int


@dataclass(frozen=True, kw_only=True)
class LogUsed:
    """A climate log that tells of a stay: its entry, the digest of its file, and how that is to be read."""

    entry: int
    file: str
    channel: int
    unit: str
    dates: str
    room: str
    wall: str | None
    """Null is in the room."""


@dataclass(frozen=True, kw_only=True)
class StayAir:
    """A stay, how much of it a climate log knows, and what that much did. Units: s."""

    stay: Stay
    known: int
    equivalent: Band
    logs: tuple[LogUsed, ...] = ()
    """In the order in which they count where several know the same time."""


@dataclass(frozen=True, kw_only=True)
class Air:
    """All stays of one kind together. Units: s."""

    stays: tuple[StayAir, ...]
    lasted: int
    known: int
    equivalent: Band

    @property
    def coverage_per_mille(self) -> int:
        """Share of the time for which a log is there."""
        return self.known * 1000 // self.lasted if self.lasted else 0


@dataclass(frozen=True, kw_only=True)
class Ageing:
    """What aged one book here, side by side. Units: s."""

    book: str
    heat: Heat
    wall: Air
    storage: Air
    elsewhere: int
    """Time here in no place that is written down, or of which the dates leave it open; nothing is known of it."""
    since: int | None
    """From here on the book was in the collection; None where that is not known."""
    until: int
    """To here it is counted."""

    @property
    def logs(self) -> tuple[LogUsed, ...]:
        """Every log that tells of it, once, by its entry."""
        used = {log.entry: log for air in (self.wall, self.storage) for stay in air.stays for log in stay.logs}
        return tuple(used[entry] for entry in sorted(used))


def stays_of(moments: Sequence[Moment], states: Sequence[Book], now: int) -> list[Stay]:
    """Every stay whose days are known; a time that vague dates leave open belongs to none.

    Requires: moments in the order of happening, the states before the first and after each.
    """
    found: list[Stay] = []
    begun: tuple[int, Placement, int] | None = None
    for moment, before, after in zip(moments, states, states[1:], strict=False):
        if after.placed_by == before.placed_by:
            continue
        on = moment.event.on
        if begun is not None:
            # Without a date it may have ended at once.
            end = begun[2] if on is None else seconds_of(on.earliest_day)
            found += _stay(*begun, end)
        event = moment.event
        placed = isinstance(event, Placement) and after.placed_by == moment.entry.seq and on is not None
        begun = (moment.entry.seq, event, seconds_of(on.latest_day)) if placed else None  # type: ignore[assignment, union-attr]  # `placed` says so
    return found + (_stay(*begun, now) if begun is not None else [])


def _stay(entry: int, event: Placement, start: int, end: int) -> list[Stay]:
    if end <= start:
        return []
    return [Stay(entry=entry, spot=event.spot, room=event.room, wall=event.wall, start=start, end=end)]


def known_from(moments: Sequence[Moment], states: Sequence[Book]) -> int | None:
    """The first day on which the book was here for certain."""
    for moment, after in zip(moments, states[1:], strict=False):
        if after.held and moment.event.on is not None:
            return seconds_of(moment.event.on.latest_day)
    return None


def seconds_of(day: date) -> int:
    """The start of a day of the logger's clock. Units: s from the start of 1970."""
    return (day.toordinal() - _EPOCH) * _DAY
