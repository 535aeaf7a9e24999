"""An outlook as a drawing: every step of the scale as wide as any other, own weights above the line, computed ones below.

Units: px of the drawing; the chances are hundredths.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.rules.grades import Grade, grades
from web.wording import t

__all__ = ["Bar", "Bracket", "Column", "OutlookDrawing", "Stamp", "hundredths", "outlook_drawing"]

COLUMN: Final = 50.0
BAR: Final = 38.0
MOST: Final = 190.0
"""Height of the greatest chance on either side."""
HEAD: Final = 62.0
"""Room above the bars, for the bracket of the ceiling and its words."""
FIGURE: Final = 22.0
"""Room for the figure at the end of a bar."""
ROW: Final = 34.0
"""Height of the row of grades."""
FOOT: Final = 20.0
SIDE: Final = 24.0
"""Room below the computed bars for the words that say what they are."""
LEAST: Final = Fraction(1, 200)
"""From here on a chance is a bar; what is less is told in words."""
AROUND: Final = 1
"""Steps shown on either side of what there is to see, where only a part is drawn."""
STAMP_ROOM: Final = 2
"""Steps kept free of own bars for the stamp of a result, where only a part is drawn."""
STAMP_AWAY: Final = 1.4
"""The middle of the stamp from the last bar, in steps."""
FEWEST: Final = 7


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One chance: where it stands, how high it is, and its figure."""

    x: float
    y: float
    height: float
    figure: str
    figure_y: float


@dataclass(frozen=True, kw_only=True)
class Column:
    """One step of the scale."""

    x: float
    middle: float
    word: str
    own: Bar | None
    computed: Bar | None
    result: bool
    """It is the grade that was given."""


@dataclass(frozen=True, kw_only=True)
class Bracket:
    """Up to which step the ceiling reaches, and its words; `end` when these stand left of its edge."""

    x: float
    end: bool
    words: str


@dataclass(frozen=True, kw_only=True)
class Stamp:
    """The result, beside the bars so that it covers none; its step is marked in the row of grades."""

    x: float
    word: str


@dataclass(frozen=True, kw_only=True)
class OutlookDrawing:
    """The whole, or only the part of the scale where there is something to see."""

    width: float
    height: float
    line: float
    """Upper edge of the row of grades; its lower edge is `below`."""
    below: float
    columns: tuple[Column, ...]
    bracket: Bracket | None
    tick: float | None
    """Left edge of the step at which it breaks even."""
    stamp: Stamp | None
    has_own: bool
    has_computed: bool


def hundredths(chance: Fraction) -> str:
    """A chance of a hundred as it is shown: whole, below one as such, and never more than was stated."""
    if chance == 0:
        return "0"
    if chance < Fraction(1, 100):
        return t("outlook.less_than_one")
    shown = round(chance * 100)
    if shown == 100 and chance < 1:  # noqa: PLR2004 - a hundred of a hundred is certain, and this is not
        return t("outlook.nearly_all")
    return str(shown)


def outlook_drawing(  # noqa: PLR0913 - what a drawing of one outlook may hold
    own: Mapping[Grade, Fraction],
    computed: Mapping[Grade, Fraction],
    *,
    ceiling: Grade | None = None,
    break_even: Grade | None = None,
    result: Grade | None = None,
    whole: bool = True,
) -> OutlookDrawing:
    """The outlook on its scale; `whole` draws all 25 steps, else only those around what there is to see.

    Requires: chances between 0 and 1.
    """
    marks = [each for each in (ceiling, break_even, result) if each is not None]
    first, last = (0, len(grades()) - 1) if whole else _part([*_seen(own), *_seen(computed), *marks])
    if result is not None and own and not whole:
        first, last = _with_room(first, last, _seen(own))
    greatest = max([*own.values(), *computed.values()], default=Fraction(0)) or Fraction(1)
    line = HEAD + FIGURE + (MOST if own else 0.0)
    deep = max((_height(each, greatest) for each in computed.values()), default=0.0)
    below = line + ROW
    width = (last - first + 1) * COLUMN
    columns = tuple(
        _column(step, (step - first) * COLUMN, (line, below), (own, computed), greatest, result=result)
        for step in range(first, last + 1)
    )
    return OutlookDrawing(
        width=width,
        height=below + (deep + FIGURE + SIDE if computed else 0.0) + FOOT,
        line=line,
        below=below,
        columns=columns,
        bracket=None if ceiling is None else _bracket(ceiling, first, width),
        tick=None if break_even is None else (break_even.step - first) * COLUMN,
        stamp=None if result is None else Stamp(x=_beside(own, first, width), word=str(result)),
        has_own=bool(own),
        has_computed=bool(computed),
    )


def _seen(chances: Mapping[Grade, Fraction]) -> list[Grade]:
    return [grade for grade, chance in chances.items() if chance >= LEAST]


def _part(there: list[Grade]) -> tuple[int, int]:
    """The first and the last step of the part that is drawn: never fewer than a handful."""
    top = len(grades()) - 1
    steps = [each.step for each in there] or [top // 2]
    first, last = max(0, min(steps) - AROUND), min(top, max(steps) + AROUND)
    short = max(0, FEWEST - (last - first + 1))
    first = max(0, first - short // 2)
    last = min(top, max(last, first + FEWEST - 1))
    return max(0, min(first, last - FEWEST + 1)), last


def _with_room(first: int, last: int, own: Sequence[Grade]) -> tuple[int, int]:
    """The part made wider, where it must be, so that the stamp has room on one side of the own bars."""
    low, high = (min(each.step for each in own), max(each.step for each in own)) if own else (first, first)
    if high + STAMP_ROOM < len(grades()):
        return first, max(last, high + STAMP_ROOM)
    return min(first, max(0, low - STAMP_ROOM)), last


def _beside(own: Mapping[Grade, Fraction], first: int, width: float) -> float:
    """The middle of the stamp: to the right of the own bars, or to their left where the scale ends."""
    there = [each.step - first for each in _seen(own)]
    if not there:
        return width / 2
    right = (max(there) + 0.5 + STAMP_AWAY) * COLUMN
    return right if right + COLUMN <= width else max(COLUMN, (min(there) + 0.5 - STAMP_AWAY) * COLUMN)


def _height(chance: Fraction, greatest: Fraction) -> float:
    return 0.0 if chance < LEAST else round(float(chance / greatest) * MOST, 1)


def _column(  # noqa: PLR0913 - one step with both its sides
    step: int,
    x: float,
    edges: tuple[float, float],
    chances: tuple[Mapping[Grade, Fraction], Mapping[Grade, Fraction]],
    greatest: Fraction,
    *,
    result: Grade | None,
) -> Column:
    grade, (line, below), left = Grade.at(step), edges, x + (COLUMN - BAR) / 2
    own, computed = (each.get(grade, Fraction(0)) for each in chances)
    up = down = None
    if high := _height(own, greatest):
        up = Bar(x=left, y=line - high, height=high, figure=hundredths(own), figure_y=line - high - 7)
    if high := _height(computed, greatest):
        down = Bar(x=left, y=below, height=high, figure=hundredths(computed), figure_y=below + high + 17)
    return Column(x=x, middle=x + COLUMN / 2, word=str(grade), own=up, computed=down, result=result == grade)


def _bracket(ceiling: Grade, first: int, width: float) -> Bracket:
    x = (ceiling.step - first + 1) * COLUMN
    return Bracket(x=x, end=x > width / 2, words=t("outlook.ceiling_at", grade=str(ceiling)))
