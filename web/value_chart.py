"""The drawing of a fair value: steps of equal width, prices on a logarithmic scale, sales as points, the fit as a stair."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from ledger.rules.fair_price import Value, value_at
from ledger.rules.fair_value import Fit, money_of
from ledger.rules.grades import Grade, grades
from web import filters

__all__ = ["Chart", "Dot", "Line", "Stair", "Tick", "chart_of"]

HEIGHT: Final = 340.0
"""Of the part with prices. Units: px."""
TOP: Final = 14.0
BARS: Final = 46.0
"""Of the part with the forecast, below. Units: px."""
WIDE: Final = 100 / 25
"""A step. Units: per cent."""
NAMED: Final = ("1.0", "2.0", "4.0", "6.0", "8.0", "9.4", "10.0")
_LEAST_R, _MOST_R = 2.5, 6.5
_SPREAD: Final = 1.3
"""How far points of one step stand apart from its middle at most. Units: per cent."""
_ROOM: Final = 0.08


@dataclass(frozen=True)
class Dot:
    """One sale that counts. Units: `x` per cent, the rest px."""

    x: float
    y: float
    r: float
    unlike: bool
    """Brought from the other holder or page tone."""
    label: str


@dataclass(frozen=True)
class Stair:
    """The fit at one step. Units: `x` and `width` per cent, the rest px."""

    x: float
    width: float
    mid: float
    top: float
    bottom: float
    sold: bool
    """There were sales of this very grade."""
    rise: float | None
    """Where the step before it lies; None at the first."""


@dataclass(frozen=True)
class Tick:
    """A grade below the drawing, or a price beside it."""

    at: float
    word: str


@dataclass(frozen=True)
class Line:
    """A grade of this book, or a share of its forecast. Units: `x` per cent, `height` px."""

    x: float
    height: float
    word: str


@dataclass(frozen=True, kw_only=True)
class Chart:
    """All of it. Units: px, and per cent across."""

    height: float
    floor: float
    """Where the steps stand."""
    bars_floor: float
    stairs: tuple[Stair, ...]
    dots: tuple[Dot, ...]
    steps: tuple[Tick, ...]
    ticks: tuple[float, ...]
    prices: tuple[Tick, ...]
    now: Line | None
    outlook: tuple[Line, ...]


def chart_of(
    fit: Fit, names: Mapping[str, str], now: Grade | None, outlook: Mapping[Grade, int] | None
) -> Chart | None:
    """The drawing; None where there were too few sales. `names` says each sale by its id."""
    if not fit.enough:
        return None
    values = {grade.step: value for grade in grades() if (value := value_at(fit, grade)) is not None}
    logs = [log for _, _, log in fit.weights]
    low = min(*logs, *(math.log(max(1, each.low.minor)) for each in values.values()))
    high = max(*logs, *(math.log(each.high.minor) for each in values.values()))
    scale = _Scale(low, max(high, low + 0.1))
    floor = TOP + HEIGHT
    return Chart(
        height=floor + (BARS + 44 if outlook else 30),
        floor=floor,
        bars_floor=floor + 30 + BARS,
        stairs=tuple(_stairs(fit, values, scale)),
        dots=tuple(_dots(fit, names, scale)),
        steps=tuple(Tick(_middle(Grade(text).step), text) for text in NAMED),
        ticks=tuple(_middle(each.step) for each in grades()),
        prices=tuple(_prices(fit, scale)),
        now=None if now is None else Line(_middle(now.step), HEIGHT, now.text),
        outlook=tuple(_bars(outlook or {})),
    )


@dataclass(frozen=True)
class _Scale:
    low: float
    high: float

    def y(self, log: float) -> float:
        """Where a logarithm of a price lies. Units: px."""
        room = (self.high - self.low) * _ROOM
        return TOP + HEIGHT * (self.high + room - log) / (self.high - self.low + 2 * room)


def _middle(step: int) -> float:
    return (step + 0.5) * WIDE


def _stairs(fit: Fit, values: Mapping[int, Value], scale: _Scale) -> Iterator[Stair]:
    before = None
    sold = {each.step for each in fit.levels}
    for step, value in sorted(values.items()):
        mid, top, bottom = (scale.y(math.log(max(1, each.minor))) for each in (value.mid, value.high, value.low))
        yield Stair(step * WIDE, WIDE, mid, top, bottom, step in sold, before)
        before = mid


def _dots(fit: Fit, names: Mapping[str, str], scale: _Scale) -> Iterator[Dot]:
    """Points of one step stand side by side in turns, so that none hides another; area goes by weight."""
    told = {sale: (weight, log) for sale, weight, log in fit.weights}
    most = max(weight for weight, _ in told.values())
    for level in fit.levels:
        for place, sale in enumerate(sorted(level.sales, key=lambda each: told[each][1])):
            weight, log = told[sale]
            aside = ((place * 2) % 5 - 2) / 2 * _SPREAD if len(level.sales) > 1 else 0.0
            r = _LEAST_R + (_MOST_R - _LEAST_R) * math.sqrt(weight / most)
            yield Dot(_middle(level.step) + aside, scale.y(log), r, sale in fit.shifted, names.get(sale, ""))


def _prices(fit: Fit, scale: _Scale) -> Iterator[Tick]:
    """Round amounts: one, two and five times a power of ten, fewer where they would touch."""
    steps = [math.log(each * 10**power) for power in range(16) for each in (1, 2, 5)]
    inside = [log for log in steps if scale.low <= log <= scale.high]
    last = math.inf
    for log in inside:
        y = scale.y(log)
        if last - y >= 22:  # noqa: PLR2004 - px that a line of words takes
            yield Tick(y, _short(fit, log))
            last = y


def _short(fit: Fit, log: float) -> str:
    """An amount without its currency, and without decimals that are none."""
    amount, _, decimals = filters.money(money_of(log, fit.currency)).split("\N{NO-BREAK SPACE}")[0].partition(".")
    return amount if not decimals.strip("0") else f"{amount}.{decimals}"


def _bars(outlook: Mapping[Grade, int]) -> Iterable[Line]:
    most = max(outlook.values(), default=1)
    for grade, weight in sorted(outlook.items()):
        yield Line(_middle(grade.step), BARS * weight / most, f"{weight / 10:g}\N{NO-BREAK SPACE}%")
