"""What a log has in common with published ranges, swings and seasons: shares of what is known, and no verdict."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.climate_held import Held
from ledger.rules import climate
from ledger.rules.climate import Ends, Range

__all__ = ["Day", "RangeShare", "days_of", "seasons_of", "shares_of", "swings_of"]

DAY: Final = climate.SECONDS_A_DAY
MONTH: Final = 30
"""Days; months of one length, from the first day that is logged."""
YEAR: Final = 12
"""Months without which there are no seasons to speak of."""
_HUNDRED: Final = 100
_PER_MILLE: Final = 1000


@dataclass(frozen=True, kw_only=True)
class RangeShare:
    """How much lay in a published range: a label, and no verdict. Units: thousandths."""

    range: Range
    per_mille: int


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the logger's clock: what is known of it, and how far it went. Units: s, hundredths."""

    start: int
    known: int
    celsius: tuple[int, int]
    rh: tuple[int, int]
    sums: tuple[int, int] = (0, 0)
    """Temperature and humidity, each by the seconds for which it stood."""


def shares_of(times: Counter[tuple[int, int]]) -> Iterator[RangeShare]:
    """Of the known time, in each published range."""
    known = times.total()
    if not known:
        return
    for each in climate.ranges():
        inside = sum(
            seconds for (celsius, rh), seconds in times.items() if each.holds(celsius / _HUNDRED, rh / _HUNDRED)
        )
        yield RangeShare(range=each, per_mille=inside * _PER_MILLE // known)


def days_of(inside: Iterable[Held]) -> Iterator[Day]:
    """Day by day, each with the readings that lie in it.

    Requires: readings in the order of time that do not overlap.
    """
    found: dict[int, list[Held]] = {}
    for each in inside:
        at, end = each.start, each.start + each.seconds
        while at < end:
            midnight = (at // DAY + 1) * DAY
            found.setdefault(at // DAY, []).append(Held(at, min(end, midnight) - at, each.celsius, each.rh))
            at = midnight
    for day, readings in sorted(found.items()):
        warm, damp = [each.celsius for each in readings], [each.rh for each in readings]
        yield Day(
            start=day * DAY,
            known=sum(each.seconds for each in readings),
            celsius=(min(warm), max(warm)),
            rh=(min(damp), max(damp)),
            sums=(
                sum(each.celsius * each.seconds for each in readings),
                sum(each.rh * each.seconds for each in readings),
            ),
        )


def swings_of(days: Sequence[Day]) -> Iterator[RangeShare]:
    """Of the days known by nine tenths, those that went no further from their middle than a type of control allows."""
    whole = [each for each in days if _mostly(each.known, 1)]
    if not whole:
        return
    for kind in climate.swings():
        warm, damp = kind.celsius[1] or 0.0, kind.rh[1] or 0.0
        calm = sum(
            each.celsius[1] - each.celsius[0] <= 2 * warm * _HUNDRED and each.rh[1] - each.rh[0] <= 2 * damp * _HUNDRED
            for each in whole
        )
        yield RangeShare(range=kind, per_mille=calm * _PER_MILLE // len(whole))


def seasons_of(days: Sequence[Day]) -> Iterator[RangeShare]:
    """Of the months known by nine tenths, those whose mean lies no further from the mean of all than a type allows.

    Keeps: of less than twelve such months nothing is said; the mean of all stands for the set point, our reading.
    """
    means = list(_months(days))
    if len(means) < YEAR:
        return
    middle = [sum(each[of] for each in means) / len(means) for of in (0, 1)]
    for kind in climate.seasons():
        calm = sum(
            _lies(warm - middle[0], kind.celsius)
            and _lies(damp - middle[1], kind.rh)
            and (kind.warmest is None or warm <= kind.warmest)
            for warm, damp in means
        )
        yield RangeShare(range=kind, per_mille=calm * _PER_MILLE // len(means))


def _months(days: Sequence[Day]) -> Iterator[tuple[float, float]]:
    """The mean temperature and humidity of each. Units: degrees Celsius, per cent."""
    months: dict[int, list[Day]] = {}
    for each in days:
        months.setdefault((each.start - days[0].start) // DAY // MONTH, []).append(each)
    for month in months.values():
        known = sum(each.known for each in month)
        if _mostly(known, MONTH):
            warm, damp = (sum(each.sums[of] for each in month) / known / _HUNDRED for of in (0, 1))
            yield warm, damp


def _mostly(known: int, days: int) -> bool:
    """Nine tenths of so many days are known."""
    return known * 10 >= DAY * days * 9


def _lies(apart: float, allowed: Ends) -> bool:
    below, above = allowed
    return (below is None or apart >= -below) and (above is None or apart <= above)
