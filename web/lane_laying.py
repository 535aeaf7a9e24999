"""How the words of a lane are laid: straight below their marks, above and below them in turn, or in columns."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import product

from ledger.history import Moment
from web.axis import Axis
from web.lane_marks import AIR, PITCH, Mark, mark_of, together
from web.leaders import Box, Laid, Wanted, in_columns, lay

__all__ = ["NAMES", "Lane", "lane_of"]

WIDTHS = (152.0, 120.0, 96.0)
"""Widths that words beside a leader may take, with the air around them; narrower ones are more lines. Units: px."""
NAMES, NAME_FOOT = 96.0, 28.0
"""Width of the names at the left of the lanes, below which words may stand; and where a name ends. Units: px."""
TOP = 14.0
"""From the top of a lane, or from what stands there, to its marks. Units: px."""
LOW = 90.0
"""Words no deeper than this are laid well enough. Units: px."""
NEAR = 10.0
"""From a mark to the nearest words. Units: px."""
EMPTY = 38.0
"""Least height below the marks. Units: px."""
RISES = (0.0, 5.0, 10.0)
"""Where overlapping spans are drawn. Units: px."""
FALL, FALL_LEAST, FALL_MOST = 0.16, 14.0, 70.0
"""How far a leader falls for each px it bends aside, at least and at most. Units: px."""
NARROWER, BOTH, BENT, ASIDE = 14.0, 14.0, 44.0, 0.3
"""What a way of laying must save in height to be worth it: narrower words, words on both sides, bent leaders, and every
px that a leader bends. Units: px; our assumption, chosen by eye on books of 1 to 60 entries."""


@dataclass(frozen=True)
class Lane:
    """Marks with their words laid. Units: px."""

    base: float
    """Where the marks lie."""
    height: float
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class Ground:
    """Where a lane is laid. Units: px."""

    top: float
    """Below what stands at its top."""
    plot: float
    width: float
    """Of the words."""

    @property
    def low(self) -> float:
        """How far to the left words may reach."""
        return AIR - NAMES

    @property
    def high(self) -> float:
        """How far to the right."""
        return self.plot + AIR

    def wanted(self, marks: Sequence[Mark]) -> list[Wanted]:
        """What is to be laid for these marks."""
        return [Wanted(each.x / 100 * self.plot, each.height, self.width) for each in marks]


def lane_of(moments: Sequence[Moment], line: Axis, plot: float, top: float = 0.0) -> Lane:
    """A lane in the lowest of the ways in which its words can be laid, a plainer way before a lower one.

    Units: plot and top px: the least width of the plot, and what stands above the marks.
    """
    groups = together(moments, line, plot)
    by_width = cache(lambda width: _risen([mark_of(group, line, plot, width) for group in groups]))
    best: tuple[float, Lane] | None = None
    for way, (place, width) in product((_straight, _both, _columns), enumerate(WIDTHS)):
        for price, lane in way(by_width(width), Ground(top, plot, width)):
            cost = lane.height + price + place * NARROWER
            if best is None or cost < best[0]:
                best = cost, lane
        if best is not None and best[1].height - best[1].base <= LOW:
            break
    assert best is not None  # columns have room on any plot
    return best[1]


Ways = Iterator[tuple[float, Lane]]
"""Ways to lay a lane, each with its price."""


def _straight(marks: Sequence[Mark], ground: Ground) -> Ways:
    """Below the marks, at straight leaders."""
    name: Box = (-NAMES, 0.0, 0.0, NAME_FOOT - TOP - NEAR)
    laid = lay(ground.wanted(marks), ground.low, ground.high, () if ground.top else (name,))
    if laid is not None:
        yield 0.0, _lane(_down(marks, laid, ground.top + TOP, ground.plot, 0.0), ground.top + TOP)


def _both(marks: Sequence[Mark], ground: Ground) -> Ways:
    """In turn below the marks and above them, at straight leaders."""
    below, above = marks[::2], marks[1::2]
    down = lay(ground.wanted(below), ground.low, ground.high)
    up = lay(ground.wanted(above), 0.0, ground.high)
    if above and down is not None and up is not None:
        base = ground.top + TOP + NEAR + max(at.y + each.height for at, each in zip(up, above, strict=True))
        raised = [
            replace(
                each,
                foot=each.x,
                bend=base,
                words=(words := base - NEAR - at.y - each.height),
                end=words + 4,
                left=at.left,
            )
            for each, at in zip(above, up, strict=True)
        ]
        yield BOTH, _lane([*_down(below, down, base, ground.plot, 0.0), *raised], base)


def _columns(marks: Sequence[Mark], ground: Ground) -> Ways:
    """In columns, to which the leaders bend."""
    wanted, base = ground.wanted(marks), ground.top + TOP
    for laid in in_columns(wanted, ground.low, ground.high):
        far = max((abs(at.x - each.x) for at, each in zip(laid, wanted, strict=True)), default=0.0)
        fall = min(FALL_LEAST + far * FALL, FALL_MOST)
        yield BENT + far * ASIDE, _lane(_down(marks, laid, base, ground.plot, fall), base)


def _down(marks: Sequence[Mark], laid: Sequence[Laid], base: float, plot: float, fall: float) -> list[Mark]:
    """The marks with their words below them."""
    return [
        replace(
            each,
            foot=at.x / plot * 100,
            bend=base + fall,
            words=(words := base + fall + NEAR + at.y),
            end=words + PITCH,
            left=at.left,
        )
        for each, at in zip(marks, laid, strict=True)
    ]


def _lane(marks: Sequence[Mark], base: float) -> Lane:
    bottom = max((each.words + each.height for each in marks if each.words > base), default=0.0)
    return Lane(base=base, height=max(bottom + 4, base + EMPTY), marks=tuple(sorted(marks, key=lambda each: each.x)))


def _risen(marks: Sequence[Mark]) -> list[Mark]:
    """Each span as far up as lets those that overlap lie beside each other, while there is room."""
    risen: list[Mark] = []
    for mark in marks:
        under = [
            other.rise
            for other in risen
            if mark.span and other.span and other.span[1] > mark.span[0] and mark.span[1] > other.span[0]
        ]
        risen.append(replace(mark, rise=next((rise for rise in RISES if rise not in under), RISES[-1])))
    return risen
