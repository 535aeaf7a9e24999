"""Where words stand beside their leaders, so that no word lies on another and no leader crosses a word.

A leader runs straight down from its mark; its words begin at its foot, at its right or its left. Of marks that lie close
together the words at the right go the deeper the further left their mark is, those at the left the other way round.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from types import MappingProxyType
from typing import Final, NamedTuple

__all__ = [
    "ENDLESS",
    "Box",
    "Laid",
    "Wanted",
    "lay",
    "least_depth",
    "text_width",
    "wrapped",
]

Box = tuple[float, float, float, float]
"""Left, right, top, bottom."""
ENDLESS: Final = float("inf")
Run = tuple[float, int]
"""What the marks up to here cost, and where their last run begins."""

_WIDE_AS: Final[Mapping[float, str]] = MappingProxyType(
    {
        3.0: " ,.:;\N{NO-BREAK SPACE}",
        3.5: "!'ijl|",
        4.5: "()I[]`{}/\\",
        5.5: '*-fr"Jt',
        7.0: "1^z?_csvxy\N{DEGREE SIGN}",
        8.0: "+<=>ak~#$27FLbdeghnopqu",
        9.0: "345ESTZ0689APXY",
        10.0: "BCDKRUVGHNOQ\N{HORIZONTAL ELLIPSIS}",
        10.5: "&w",
        12.0: "@%Mm",
    }
)
"""Letters by how wide they are in the sans at 13 px, rounded up; measured. All others count as the widest. Units: px."""
_WIDTHS: Final[Mapping[str, float]] = MappingProxyType({each: wide for wide, all_ in _WIDE_AS.items() for each in all_})
_WIDEST: Final = 13.5


class Wanted(NamedTuple):
    """Words to be laid: where their leader is, how high they are, and how wide. Units: px."""

    x: float
    height: float
    width: float


class Laid(NamedTuple):
    """Where they lie: where the foot of their leader is, how far down, and on which side of it they stand. Units: px."""

    x: float
    y: float
    left: bool


@lru_cache(maxsize=8192)
def text_width(text: str) -> float:
    """About how wide a text is at 13 px in the sans, rather too wide than too narrow. Units: px."""
    return sum(_WIDTHS.get(each, _WIDEST) for each in text)


@lru_cache(maxsize=2048)
def wrapped(text: str, width: float, lines: int = 2) -> tuple[str, ...]:
    """A text in lines no wider than this; what does not fit ends in an ellipsis.

    Keeps: nothing is parted at a no-break space.
    Units: width px.
    """
    made: list[str] = []
    for word in text.split(" "):
        longer = f"{made[-1]} {word}" if made else word
        if made and text_width(longer) <= width:
            made[-1] = longer
        elif len(made) < lines:
            made.append(word)
        else:
            made[-1] = f"{made[-1].rstrip(',;:')} …"
            break
    return tuple(_cut(line, width) for line in made)


def lay(wanted: Sequence[Wanted], low: float, high: float, taken: Sequence[Box] = ()) -> tuple[Laid, ...] | None:
    """A place for each; None where they lie too close at an end to be laid without crossing.

    `low` and `high` are how far to the left and to the right words may reach; nothing is laid on what is `taken`.
    Requires: in order of x, no two at the same; no leader runs through what is taken.
    Units: px.
    """
    runs = _runs(wanted, low, high)
    if runs is None:
        return None
    boxes = list(taken)
    feet: list[tuple[float, float]] = []
    laid: dict[int, Laid] = {}
    for first, last, left in runs:
        order = range(first, last + 1)
        for index in order if left else reversed(order):
            each = wanted[index]
            start, stop = (each.x - each.width, each.x) if left else (each.x, each.x + each.width)
            y = _free(start, stop, each.height, boxes, feet)
            laid[index] = Laid(each.x, y, left)
            boxes.append((start, stop, y, y + each.height))
            feet.append((each.x, y + each.height))
    return tuple(laid[index] for index in range(len(wanted)))


def least_depth(wanted: Sequence[Wanted]) -> float:
    """How deep the words go at least that `lay` lays.

    Of marks that are closer together than their words are wide, the first ones can have theirs at the left and all others
    at the right; on either side they lie one below the other.
    Requires: in order of x.
    Units: px.
    """
    depth, at, chain = 0.0, 0.0, list[float]()
    for each in wanted:
        if chain and each.x - at >= each.width:
            depth, chain = max(depth, _least_half(chain)), []
        chain.append(each.height)
        at = each.x
    return max(depth, _least_half(chain))


def _least_half(heights: Sequence[float]) -> float:
    """The greater part of a pile that is parted so that it is as low as can be."""
    whole, up_to = sum(heights), [0.0, *accumulate(heights)]
    return min(max(part, whole - part) for part in up_to)


def _cut(line: str, width: float) -> str:
    """One word that is wider than a line loses its end."""
    if text_width(line) <= width:
        return line
    while line and text_width(f"{line} …") > width:
        line = line[:-1]
    return f"{line.rstrip()}…"


def _free(low: float, high: float, height: float, boxes: Sequence[Box], feet: Sequence[tuple[float, float]]) -> float:
    """The highest place at which a box covers no other and no leader."""
    y = max([foot for x, foot in feet if low < x < high], default=0.0)
    beside = [(top, bottom) for left, right, top, bottom in boxes if left < high and low < right and bottom > y]
    for top, bottom in sorted(beside):
        if y + height <= top:
            break
        y = max(y, bottom)
    return y


def _runs(wanted: Sequence[Wanted], low: float, high: float) -> list[tuple[int, int, bool]] | None:
    """Which stand at the left of their leaders and which at the right, in runs, with the fewest on top of each other.

    Keeps: where words at the right are followed by words at the left, the widest of all fits between their leaders.
    """
    gaps = [ENDLESS, *(two.x - one.x for one, two in pairwise(wanted))]
    widest = max((each.width for each in wanted), default=0.0)
    right = _Side(
        fits=[each.x + each.width <= high for each in wanted],
        close=[gap < each.width for gap, each in zip(gaps[1:], wanted, strict=False)],
        turns=[0.0] * len(wanted),
        price=0.0,
    )
    left = _Side(
        fits=[each.x - each.width >= low for each in wanted],
        close=[gap < each.width for gap, each in zip(gaps[1:], wanted[1:], strict=True)],
        turns=[None if gap < widest else 1.0 if gap < 2 * widest else 0.0 for gap in gaps],
        price=0.1,
    )
    for last in range(len(wanted)):
        found = right.best_run(last, left.best), left.best_run(last, right.best)
        right.best.append(found[0])
        left.best.append(found[1])
    return _way_back(right, left)


class _Side:
    """What stands on one side of its leaders, worked out from the first mark to the last.

    `fits` says of each mark whether its words have room on this side, `close` of each and the next whether their words
    cannot lie side by side; `turns` is what it costs to begin a run at a mark, None where none can begin.
    """

    def __init__(self, *, fits: list[bool], close: list[bool], turns: Sequence[float | None], price: float) -> None:
        self._fits, self._close, self._turns, self._price = fits, close, turns, price
        self.best: list[Run | None] = [(0.0, 0)]
        """Of every number of marks, what they cost if the last stands here."""

    def best_run(self, last: int, others: Sequence[Run | None]) -> Run | None:
        """The cheapest beginning of a run that ends here: what it costs in all, and where it begins.

        Marks too close for their words to lie side by side are a chain, of which each lies deeper than the one before:
        a chain costs the sum of its depths, so that two short ones cost less than a long one.
        """
        found, cost, chain = None, 0.0, 0
        for first in range(last, -1, -1):
            if not self._fits[first]:
                break
            if first < last:
                chain = chain + 1 if self._close[first] else 0
            cost += chain + self._price
            if found is not None and cost >= found[0]:
                break  # a longer run costs no less
            before, turn = others[first], self._turns[first]
            if before is not None and turn is not None:
                total = before[0] + cost + turn
                if found is None or total < found[0]:
                    found = (total, first)
        return found


def _way_back(right: _Side, left: _Side) -> list[tuple[int, int, bool]] | None:
    """The runs of the cheapest way, in order; None where there is none."""
    at = len(right.best) - 1
    sides = [side for side in (right, left) if side.best[at] is not None]
    side = min(sides, key=lambda each: (each.best[at] or (0.0, 0))[0], default=None)
    if side is None:
        return None
    runs = []
    while at:
        found = side.best[at]
        assert found is not None  # every run that was kept has a beginning
        runs.append((found[1], at - 1, side is left))
        at, side = found[1], right if side is left else left
    return runs[::-1]
