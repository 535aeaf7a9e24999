"""The ticks of an axis of time: days, months or years, as close as they can be told apart, some with their figures."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from enum import StrEnum
from functools import cache
from typing import NamedTuple

from web.leaders import text_width
from web.wording import t

__all__ = ["Tick", "Unit", "ticks_of", "unit_of"]

CLOSEST = 4.5
"""Pixels between two ticks at least."""
APART = 8.0
"""Pixels between two figures at least."""
BOLDER = 1.06
"""How much wider a strong figure is than a plain one, at most."""


class Unit(StrEnum):
    """What one tick counts."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"
    DECADE = "decade"


YEARS = frozenset({Unit.YEAR, Unit.DECADE})
_DAYS = {Unit.DAY: 1.0, Unit.MONTH: 30.44, Unit.YEAR: 365.25, Unit.DECADE: 3652.5}
Part = tuple[date, date, float, float]
"""A stretch: first day, last day, and where they lie in per cent."""


class Tick(NamedTuple):
    """One tick, in per cent; `word` is its figure, empty where there is no room for one."""

    x: float
    word: str
    strong: bool
    """It begins a year, or the stretch."""


def unit_of(begin: date, end: date, room: float) -> Unit:
    """The finest unit whose ticks can still be told apart.

    Units: room px.
    """
    days = (end - begin).days
    return next((unit for unit in Unit if room / days * _DAYS[unit] >= CLOSEST), Unit.DECADE)


def ticks_of(parts: Sequence[Part], plot: float) -> tuple[Tick, ...]:
    """The ticks of all stretches; figures where there is room, the most telling first.

    Units: plot px.
    """
    wanted = [each for part in parts for each in _wanted(part, plot)]
    taken: list[tuple[float, float]] = []
    kept: set[tuple[float, str]] = set()
    for _, x, word in sorted(each for each in wanted if each[2]):
        left = x / 100 * plot - 2
        right = left + text_width(word) * BOLDER + APART
        if right - APART <= plot + APART and all(right <= low or high <= left for low, high in taken):
            taken.append((left, right))
            kept.add((x, word))
    return tuple(
        Tick(x, word if (x, word) in kept else "", strong=rank <= 1 and (x, word) in kept) for rank, x, word in wanted
    )


def _wanted(part: Part, plot: float) -> Iterator[tuple[int, float, str]]:
    """How telling each tick's figure is, the most telling 0; where it lies; and what it says."""
    begin, end, start, stop = part
    pace = (stop - start) / (end - begin).days
    unit = unit_of(begin, end, (stop - start) / 100 * plot)
    for place, day in enumerate(_days(begin, end, unit)):
        x = start + pace * (day - begin).days
        if place == 0:
            whole, new_year = _whole(day, unit), (date(day.year + 1, 1, 1) - day).days * pace / 100 * plot
            if unit in YEARS or new_year > text_width(whole) * BOLDER + APART:
                yield 0, x, whole
                continue
        yield _rank(day, unit), x, _word(day, unit)


def _days(begin: date, end: date, unit: Unit) -> Iterator[date]:
    day = _floor(begin, unit)
    while day < end:
        if day >= begin:
            yield day
        day = _following(day, unit)


def _floor(day: date, unit: Unit) -> date:
    match unit:
        case Unit.DAY:
            return day
        case Unit.MONTH:
            return day.replace(day=1)
        case Unit.YEAR:
            return date(day.year, 1, 1)
        case Unit.DECADE:
            return date(day.year // 10 * 10, 1, 1)


def _following(day: date, unit: Unit) -> date:
    match unit:
        case Unit.DAY:
            return day + timedelta(days=1)
        case Unit.MONTH:
            return date(day.year + day.month // 12, day.month % 12 + 1, 1)
        case Unit.YEAR:
            return date(day.year + 1, 1, 1)
        case Unit.DECADE:
            return date(day.year + 10, 1, 1)


def _rank(day: date, unit: Unit) -> int:
    """A year's beginning tells more than a month's, a tenth day more than a fifth."""
    if unit in YEARS:
        steps = (100, 50, 10, 5, 2)
        return next((2 + place for place, step in enumerate(steps) if day.year % step == 0), 2 + len(steps))
    if day.day == 1:
        return 1 if day.month == 1 else 2 + (day.month - 1) % 6 % 3
    return 5 if day.day % 10 == 0 else 6


def _word(day: date, unit: Unit) -> str:
    match unit:
        case Unit.DAY if day.day == 1:
            return month(day.month) if day.month > 1 else _whole(day, Unit.MONTH)
        case Unit.DAY:
            return str(day.day) if day.day % 5 == 0 and day.day < 30 else ""  # noqa: PLR2004  (30 stands too near 1)
        case Unit.MONTH:
            return month(day.month) if day.month > 1 else _whole(day, unit)
        case _:
            return str(day.year)


def _whole(day: date, unit: Unit) -> str:
    """The same with all that is needed to know it, as the first of a stretch says it."""
    match unit:
        case Unit.DAY:
            return t("book.axis.day", day=day.day, month=month(day.month), year=day.year)
        case Unit.MONTH:
            return t("book.axis.month", month=month(day.month), year=day.year)
        case _:
            return str(day.year)


@cache
def month(number: int) -> str:
    """The month in three letters."""
    return t(f"book.months.{number}")
