"""How the words of a lane are laid: straight below their marks, above and below them in turn, or in columns."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final, NamedTuple

from web.axis import Axis
from web.columns import in_columns
from web.lane_marks import AIR, PITCH, WIDTHS, Mark, Point, Told, height_of, items_of, points_of
from web.leaders import ENDLESS, Box, Laid, Wanted, lay, least_depth

__all__ = ["NAMES", "Lane", "lane_of"]

NAMES, NAME_FOOT = 96.0, 28.0
"""Width of the names at the left of the lanes, below which words may stand; and where a name ends. Units: px."""
TOP = 14.0
"""From the top of a lane, or from what stands there, to its marks. Units: px."""
LOW = 90.0
"""Words no deeper than this are laid well enough. Units: px."""
NEAR = 10.0
"""From a mark to the nearest words. Units: px."""
FOOT = 4.0
"""Below the lowest words. Units: px."""
EMPTY = 38.0
"""Least height below the marks. Units: px."""
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


class Ground(NamedTuple):
    """Where a lane is laid. Units: px."""

    top: float
    """Below what stands at its top."""
    plot: float

    @property
    def low(self) -> float:
        """How far to the left words may reach."""
        return AIR - NAMES

    @property
    def high(self) -> float:
        """How far to the right."""
        return self.plot + AIR


class Laying(NamedTuple):
    """One way to lay a lane, before it is drawn. Units: px."""

    price: float
    """What it must save in height to be worth it."""
    base: float
    height: float
    bend: float
    """Where every leader is straight above or below its foot at the latest."""
    words: Sequence[float]
    """Where the words of each mark begin."""
    laid: Sequence[Laid]


class Found(NamedTuple):
    """The cheapest laying of one turn, and how wide its words are."""

    cost: float
    turn: int
    width: float
    laying: Laying

    @property
    def is_low(self) -> bool:
        """Low enough to go without what would be tried after it."""
        return self.laying.height - self.laying.base <= LOW


def lane_of(entries: Sequence[Told], line: Axis, plot: float, top: float = 0.0) -> Lane:
    """A lane in the lowest of the ways in which its words can be laid, a plainer way before a lower one.

    Units: plot and top px: the least width of the plot, and what stands above the marks.
    """
    points = points_of(entries, line, plot)
    found = _Trying(points, Ground(top, plot)).best()
    return _drawn(found.laying, points, found.width, plot)


class _Trying:
    """The ways of laying one lane, in turn."""

    def __init__(self, points: Sequence[Point], ground: Ground) -> None:
        self._points, self._ground = points, ground
        self._wanted: dict[float, list[Wanted]] = {}
        self._found: dict[int, Found | None] = {}

    def best(self) -> Found:
        """The cheapest of all, or of those up to the first that is low and cheaper than all before it.

        What lies so close that it must cost more than columns do is put off, and tried only where that can still matter.
        """
        best, put_off = None, dict[int, float]()
        for turn in range(len(TURNS)):
            least = self._least(turn)
            if least > self._limit(least):
                put_off[turn] = least
                continue
            best = _cheaper(best, self._tried(turn))
            if best is not None and best.is_low:
                for other in (each for each, least in put_off.items() if least <= best.cost):
                    best = _cheaper(best, self._tried(other))
                if best is not None and best.is_low:
                    break
        assert best is not None  # columns have room on any plot
        return best

    def _least(self, turn: int) -> float:
        """What it costs at least; nothing, where it may turn out to be low."""
        (_, least), (place, width) = TURNS[turn]
        deep = least(self._words(width), self._ground)
        return deep + place * NARROWER if deep else 0.0

    def _limit(self, least: float) -> float:
        """What columns of the widest words cost; they are laid only where something may cost as much."""
        found = self._tried(COLUMNS) if least else None
        return found.cost if found else ENDLESS

    def _tried(self, turn: int) -> Found | None:
        if turn not in self._found:
            (way, _), (place, width) = TURNS[turn]
            best = None
            for laying in way(self._words(width), self._ground):
                cost = laying.height + laying.price + place * NARROWER
                best = _cheaper(best, Found(cost, turn, width, laying))
            self._found[turn] = best
        return self._found[turn]

    def _words(self, width: float) -> list[Wanted]:
        if width not in self._wanted:
            plot = self._ground.plot
            self._wanted[width] = [Wanted(each.x / 100 * plot, height_of(each, width), width) for each in self._points]
        return self._wanted[width]


def _cheaper(one: Found | None, two: Found | None) -> Found | None:
    """Of two that cost the same the one whose turn came first."""
    if one is None or two is None:
        return one or two
    return two if (two.cost, two.turn) < (one.cost, one.turn) else one


Layings = Iterator[Laying]


def _straight(wanted: Sequence[Wanted], ground: Ground) -> Layings:
    """Below the marks, at straight leaders."""
    name: Box = (-NAMES, 0.0, 0.0, NAME_FOOT - TOP - NEAR)
    laid = lay(wanted, ground.low, ground.high, () if ground.top else (name,))
    if laid is not None:
        yield _below(0.0, ground.top + TOP, 0.0, wanted, laid)


def _least_straight(wanted: Sequence[Wanted], ground: Ground) -> float:
    deep = NEAR + least_depth(wanted) + FOOT
    return ground.top + TOP + deep if deep > LOW else 0.0


def _both(wanted: Sequence[Wanted], ground: Ground) -> Layings:
    """In turn below the marks and above them, at straight leaders."""
    below, above = wanted[::2], wanted[1::2]
    down = lay(below, ground.low, ground.high)
    up = lay(above, 0.0, ground.high) if down is not None else None
    if above and down is not None and up is not None:
        base = ground.top + TOP + NEAR + max(at.y + each.height for at, each in zip(up, above, strict=True))
        laid = [(up if index % 2 else down)[index // 2] for index in range(len(wanted))]
        words = [
            base - NEAR - at.y - each.height if index % 2 else base + NEAR + at.y
            for index, (at, each) in enumerate(zip(laid, wanted, strict=True))
        ]
        yield Laying(BOTH, base, _height(base, words, wanted), base, words, laid)


def _least_both(wanted: Sequence[Wanted], ground: Ground) -> float:
    deep = NEAR + least_depth(wanted[::2]) + FOOT
    return BOTH + ground.top + TOP + NEAR + least_depth(wanted[1::2]) + deep if deep > LOW else 0.0


def _columns(wanted: Sequence[Wanted], ground: Ground) -> Layings:
    """In columns, to which the leaders bend."""
    for laid in in_columns(wanted, ground.low, ground.high):
        far = max([abs(at.x - each.x) for at, each in zip(laid, wanted, strict=True)], default=0.0)
        yield _below(BENT + far * ASIDE, ground.top + TOP, min(FALL_LEAST + far * FALL, FALL_MOST), wanted, laid)


def _not_known(_wanted: Sequence[Wanted], _ground: Ground) -> float:
    return 0.0


TURNS: Final = tuple(
    product(((_straight, _least_straight), (_both, _least_both), (_columns, _not_known)), enumerate(WIDTHS))
)
"""Ways of laying with what each costs at least, a plainer one before a lower one; each with wide words first."""
COLUMNS: Final = 2 * len(WIDTHS)
"""The turn of the widest columns."""


def _below(price: float, base: float, fall: float, wanted: Sequence[Wanted], laid: Sequence[Laid]) -> Laying:
    """All words below their marks."""
    words = [base + fall + NEAR + at.y for at in laid]
    return Laying(price, base, _height(base, words, wanted), base + fall, words, laid)


def _height(base: float, words: Sequence[float], wanted: Sequence[Wanted]) -> float:
    bottom = max([y + each.height for y, each in zip(words, wanted, strict=True) if y > base], default=0.0)
    return max(bottom + FOOT, base + EMPTY)


def _drawn(laying: Laying, points: Sequence[Point], width: float, plot: float) -> Lane:
    """The marks with their words in that way."""
    marks = []
    for point, at, words in zip(points, laying.laid, laying.words, strict=True):
        above = words < laying.base
        marks.append(
            Mark(
                x=point.x,
                span=point.span,
                known=point.known,
                rise=point.rise,
                boxes=point.boxes,
                in_force=point.in_force,
                foot=point.x if above else at.x / plot * 100,
                bend=laying.bend,
                end=words + (4 if above else PITCH),
                words=words,
                height=height_of(point, width),
                left=at.left,
                items=items_of(point, width),
                more=point.more,
            )
        )
    return Lane(base=laying.base, height=laying.height, marks=tuple(marks))
