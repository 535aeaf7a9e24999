"""What a climate log comes to over a time: how much is known, how paper ages in it, how damp it was and for how long.

Every figure is of the time that is known; what is not known is counted and never filled.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from ledger.climate_held import Held, within
from ledger.rules import climate
from ledger.rules.ageing import Band
from ledger.rules.climate import Range

__all__ = ["Damp", "Day", "Extent", "Figures", "RangeShare", "Warned", "figures_of"]

DAY: Final = climate.SECONDS_A_DAY
_HUNDRED: Final = 100
_PER_MILLE: Final = 1000


class Warned(StrEnum):
    """What a humidity means that lasts; not a finding of mould."""

    NOT_KNOWN = "not known"
    NONE = "none"
    HELD = "damp for days"
    DAMP = "damp"


@dataclass(frozen=True, kw_only=True)
class Extent:
    """The least, the mean and the most of a figure over the time that is known."""

    low: float
    mean: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Damp:
    """How damp it was at a surface so much colder than the air; zero is the air itself. Units: kelvin, days."""

    colder: float
    above_65: float
    above_75: float
    mould: float
    """Above the humidity from which on mould can begin to grow."""
    longest_65: float
    """The longest time on end above 65 per cent; a time that is not known ends it."""
    warning: Warned


@dataclass(frozen=True, kw_only=True)
class RangeShare:
    """How much of the known time lay in a published range: a label, and no verdict. Units: thousandths."""

    range: Range
    per_mille: int


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the logger's clock: what is known of it, and how far it went. Units: s, hundredths."""

    start: int
    known: int
    celsius: tuple[int, int]
    rh: tuple[int, int]


@dataclass(frozen=True, kw_only=True)
class Figures:
    """All of it, of one place over one time. Units: s of the logger's clock."""

    start: int
    end: int
    known: int
    equivalent: Band
    """Days at 20 degrees and 50 per cent that age as much as the known time."""
    multiplier: Band | None
    """How many times as long paper lasts as at 20 degrees and 50 per cent; None where nothing is known."""
    celsius: Extent | None
    rh: Extent | None
    dew_point: Extent | None
    grams: Extent | None
    untried: int
    """Seconds at humidities at which the formula was not tried."""
    damp: tuple[Damp, ...]
    """The air first, then surfaces that are colder."""
    ranges: tuple[RangeShare, ...]
    swings: tuple[RangeShare, ...]
    """Of days that are known by nine tenths."""
    days: tuple[Day, ...]

    @property
    def coverage_per_mille(self) -> int:
        """Share of the time that is known."""
        return self.known * _PER_MILLE // (self.end - self.start) if self.end > self.start else 0

    @property
    def warning(self) -> Warned:
        """The gravest of the air and of the surface that is least colder.

        Surfaces that are colder still are told and warned of by themselves: nobody knows whether they are that cold.
        """
        return max((each.warning for each in self.damp[:2]), key=list(Warned).index)


def figures_of(readings: Sequence[Held], start: int, end: int, colder: Sequence[float] = ()) -> Figures:
    """What they come to over that time; `colder` are surfaces told beside the air. Units: s, kelvin.

    Requires: readings in the order of time that do not overlap.
    """
    inside = list(within(readings, start, end))
    times: Counter[tuple[int, int]] = Counter()
    for each in inside:
        times[each.celsius, each.rh] += each.seconds
    known = times.total()
    equivalent = climate.equivalent_days(
        (celsius / _HUNDRED, rh / _HUNDRED, seconds) for (celsius, rh), seconds in times.items()
    )
    days = tuple(_days(inside))
    return Figures(
        start=start,
        end=end,
        known=known,
        equivalent=equivalent,
        multiplier=climate.mean_multiplier(equivalent, known),
        celsius=_extent((celsius / _HUNDRED, seconds) for (celsius, _), seconds in times.items()),
        rh=_extent((rh / _HUNDRED, seconds) for (_, rh), seconds in times.items()),
        dew_point=_extent(
            (dew, seconds)
            for (celsius, rh), seconds in times.items()
            if (dew := climate.dew_point(celsius / _HUNDRED, rh / _HUNDRED)) is not None
        ),
        grams=_extent(
            (climate.absolute_humidity(celsius / _HUNDRED, rh / _HUNDRED), seconds)
            for (celsius, rh), seconds in times.items()
        ),
        untried=sum(seconds for (_, rh), seconds in times.items() if not climate.tried(rh / _HUNDRED)),
        damp=tuple(_damp(inside, times, each) for each in (0.0, *colder)),
        ranges=tuple(_shares(times, known)),
        swings=tuple(_swings(days)),
        days=days,
    )


def _extent(figures: Iterable[tuple[float, int]]) -> Extent | None:
    low = high = total = weight = 0.0
    for value, seconds in figures:
        low, high = (min(low, value), max(high, value)) if weight else (value, value)
        total, weight = total + value * seconds, weight + seconds
    return Extent(low=low, mean=total / weight, high=high) if weight else None


@lru_cache(maxsize=65_536)
def _surface(celsius: int, rh: int, colder: float) -> float:
    warm = celsius / _HUNDRED
    return climate.rh_at(warm, rh / _HUNDRED, warm - colder) if colder else rh / _HUNDRED


def _damp(inside: Sequence[Held], times: Counter[tuple[int, int]], colder: float) -> Damp:
    held_limit, damp_limit = climate.limit("damp-held"), climate.limit("damp")
    above_65 = above_75 = mould = 0
    for (celsius, rh), seconds in times.items():
        there = _surface(celsius, rh, colder)
        above_65 += seconds if there > held_limit.rh else 0
        above_75 += seconds if there > damp_limit.rh else 0
        mould += seconds if there > climate.critical_rh(celsius / _HUNDRED - colder) else 0
    longest = _longest(inside, colder, held_limit.rh)
    if not times:
        warning = Warned.NOT_KNOWN
    elif above_75:
        warning = Warned.DAMP
    else:
        warning = Warned.HELD if longest >= held_limit.days * DAY else Warned.NONE
    return Damp(
        colder=colder,
        above_65=above_65 / DAY,
        above_75=above_75 / DAY,
        mould=mould / DAY,
        longest_65=longest / DAY,
        warning=warning,
    )


def _longest(inside: Sequence[Held], colder: float, limit: float) -> int:
    longest = run = 0
    until: int | None = None
    for each in inside:
        if _surface(each.celsius, each.rh, colder) <= limit:
            run, until = 0, None
            continue
        run = run + each.seconds if until == each.start else each.seconds
        until = each.start + each.seconds
        longest = max(longest, run)
    return longest


def _shares(times: Counter[tuple[int, int]], known: int) -> Iterator[RangeShare]:
    if not known:
        return
    for each in climate.ranges():
        inside = sum(
            seconds for (celsius, rh), seconds in times.items() if each.holds(celsius / _HUNDRED, rh / _HUNDRED)
        )
        yield RangeShare(range=each, per_mille=inside * _PER_MILLE // known)


def _days(inside: Iterable[Held]) -> Iterator[Day]:
    found: dict[int, list[Held]] = defaultdict(list)
    for each in inside:
        at, end = each.start, each.start + each.seconds
        while at < end:
            midnight = (at // DAY + 1) * DAY
            found[at // DAY].append(Held(at, min(end, midnight) - at, each.celsius, each.rh))
            at = midnight
    for day, readings in sorted(found.items()):
        warm, damp = [each.celsius for each in readings], [each.rh for each in readings]
        known = sum(each.seconds for each in readings)
        yield Day(start=day * DAY, known=known, celsius=(min(warm), max(warm)), rh=(min(damp), max(damp)))


def _swings(days: Sequence[Day]) -> Iterator[RangeShare]:
    """Days that went no further from their middle than a type of control allows."""
    whole = [each for each in days if each.known * 10 >= DAY * 9]
    if not whole:
        return
    for kind in climate.swings():
        warm, damp = kind.celsius[1] or 0.0, kind.rh[1] or 0.0
        calm = sum(
            each.celsius[1] - each.celsius[0] <= 2 * warm * _HUNDRED and each.rh[1] - each.rh[0] <= 2 * damp * _HUNDRED
            for each in whole
        )
        yield RangeShare(range=kind, per_mille=calm * _PER_MILLE // len(whole))
