"""Drawings of a climate: a log day by day, and what aged a book side by side. Units: px."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from ledger.climate_log import DAY, Figures
from ledger.climate_ranges import Day as LogDay
from ledger.rules.ageing import Band
from ledger.rules.climate import limit

__all__ = ["BAR", "AgeingBar", "Scale", "StripDrawing", "ageing_bars", "strip_of"]

DAYS_MOST: Final = 366
"""The last days that are drawn; the figures above them are of all."""
_WIDE: Final = 2
HEIGHT: Final = 120
"""Of one of the two strips."""
BAR: Final = 520
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """Figures from the least to the most that are drawn, with a line at some of them."""

    low: int
    high: int
    lines: tuple[tuple[int, int], ...]
    """From above, and the figure."""

    def y(self, value: float) -> float:
        """From above."""
        return round(HEIGHT * (self.high - value) / (self.high - self.low), 1)


@dataclass(frozen=True, kw_only=True)
class StripDrawing:
    """Both figures over the days, as paths; days without readings have none."""

    width: int
    height: int
    celsius: str
    rh: str
    damp: str
    """Marks of days above 65 per cent and not above 75."""
    wet: str
    """Marks of days above 75 per cent."""
    warm_lines: tuple[tuple[int, int], ...]
    rh_lines: tuple[tuple[int, int], ...]
    months: tuple[tuple[int, str], ...]
    """From the left, and the month."""
    days: int
    known: int
    wet_days: int


def strip_of(figures: Figures) -> StripDrawing | None:
    """The last year of a log; None where nothing is known."""
    if not figures.days:
        return None
    last = figures.days[-1].start
    first = max(figures.start // DAY * DAY, last - (DAYS_MOST - 1) * DAY)
    days = [each for each in figures.days if each.start >= first]
    warm = _scale([value for each in days for value in each.celsius], 5)
    damp = _rh_scale([value for each in days for value in each.rh])
    held, wet = limit("damp-held").rh * 100, limit("damp").rh * 100
    width = ((last - first) // DAY + 1) * _WIDE
    return StripDrawing(
        width=width,
        height=HEIGHT,
        celsius=_path((_x(each, first), warm.y(each.celsius[1] / 100), warm.y(each.celsius[0] / 100)) for each in days),
        rh=_path((_x(each, first), damp.y(each.rh[1] / 100), damp.y(each.rh[0] / 100)) for each in days),
        damp=_marks([each for each in days if held < each.rh[1] <= wet], first),
        wet=_marks([each for each in days if each.rh[1] > wet], first),
        warm_lines=warm.lines,
        rh_lines=damp.lines,
        months=_months(first, last),
        days=(last - first) // DAY + 1,
        known=len(days),
        wet_days=sum(each.rh[1] > wet for each in days),
    )


def _x(day: LogDay, first: int) -> int:
    return (day.start - first) // DAY * _WIDE + _WIDE // 2


def _scale(values: Sequence[int], step: int) -> Scale:
    low = min(values) // 100 // step * step
    high = (max(values) // 100 // step + 1) * step
    lines = ((HEIGHT * (high - each) // (high - low), each) for each in range(low, high + 1, step))
    return Scale(low=low, high=high, lines=tuple(lines))


def _rh_scale(values: Sequence[int]) -> Scale:
    """Always with 65 and 75 on it."""
    low, high = min(30, min(values) // 1000 * 10), max(80, (max(values) // 1000 + 1) * 10)
    lines = ((HEIGHT * (high - each) // (high - low), each) for each in (25, 50, 65, 75) if each >= low)
    return Scale(low=low, high=high, lines=tuple(lines))


def _path(reaches: Iterable[tuple[int, float, float]]) -> str:
    """A stroke for each day; one that did not move is a dot."""
    return "".join(f"M{x} {top}V{max(bottom, round(top + 1, 1))}" for x, top, bottom in reaches)


def _marks(days: Iterable[LogDay], first: int) -> str:
    return "".join(f"M{_x(each, first)} {HEIGHT + 4}v8" for each in days)


def _months(first: int, last: int) -> tuple[tuple[int, str], ...]:
    found = list[tuple[int, str]]()
    day = first
    while day <= last:
        when = _EPOCH + timedelta(seconds=day)
        if when.day == 1:
            found.append(((day - first) // DAY * _WIDE, f"{when:%b}"))
        day += DAY
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class AgeingBar:
    """One kind of ageing: a bar from the least to the most, and a mark at the middle; without a width there is none."""

    x: float
    width: float
    middle: float


def ageing_bars(bands: Sequence[Band | None]) -> tuple[AgeingBar, ...]:
    """All of them on one scale from zero to the most; what is not known has no bar."""
    most = max((band.high for band in bands if band is not None), default=0.0)

    def place(value: float) -> float:
        return round(value / most * BAR, 1) if most else 0.0

    return tuple(
        AgeingBar(
            x=place(band.low) if band else 0.0,
            width=max(1.0, round(place(band.high) - place(band.low), 1)) if band else 0.0,
            middle=place(band.middle) if band else -1.0,
        )
        for band in bands
    )
