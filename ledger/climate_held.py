"""Readings of a climate log, each with the time for which it stands; several logs as one."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.logger_file import Part, held_for

__all__ = ["Held", "held", "merged", "within"]


class Held(NamedTuple):
    """A reading and the time for which it stands. Units: s of the logger's clock, hundredths of a degree and of a per cent."""

    start: int
    seconds: int
    celsius: int
    rh: int


def held(parts: Iterable[Part], interval: int | None) -> Iterator[Held]:
    """Readings with both figures, each with the time for which it stands.

    Requires: parts of one channel in the order of their months; a channel of one reading has no interval and holds nothing.
    """
    if interval is None:
        return
    at, celsius, rh = 0, None, None
    for part in parts:
        for second, next_celsius, next_rh in zip(part.seconds, part.celsius, part.rh, strict=True):
            stamp = part.start + second
            if celsius is not None and rh is not None:
                yield Held(at, held_for(stamp - at, interval), celsius, rh)
            at, celsius, rh = stamp, next_celsius, next_rh
    if celsius is not None and rh is not None:
        yield Held(at, held_for(interval, interval), celsius, rh)


def within(readings: Iterable[Held], start: int, end: int) -> Iterator[Held]:
    """The share of each that lies in a time."""
    for each in readings:
        first, last = max(each.start, start), min(each.start + each.seconds, end)
        if last > first:
            yield Held(first, last - first, each.celsius, each.rh)


def merged(logs: Sequence[Sequence[Held]]) -> list[Held]:
    """One log of several: of two that know the same time the one that comes first counts.

    Requires: each in the order of time.
    """
    found: list[Held] = []
    for log in logs:
        found = sorted([*found, *_beside(log, found)]) if found else list(log)
    return found


def _beside(log: Sequence[Held], taken: Sequence[Held]) -> Iterator[Held]:
    """What lies outside of all that is taken."""
    place = 0
    for each in log:
        at, end = each.start, each.start + each.seconds
        while place < len(taken) and taken[place].start + taken[place].seconds <= at:
            place += 1
        ahead = place
        while at < end:
            until = taken[ahead].start if ahead < len(taken) else end
            if until > at:
                yield Held(at, min(until, end) - at, each.celsius, each.rh)
            if ahead >= len(taken):
                break
            at = max(at, taken[ahead].start + taken[ahead].seconds)
            ahead += 1
