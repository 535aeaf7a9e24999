"""Where words stand beside their leaders, so that no word lies on another and no leader crosses a word.

A leader runs straight down from its mark; its words begin at its foot, at its right or its left. Of marks that lie close
together the words at the right go the deeper the further left their mark is, those at the left the other way round.
Where that would go too deep the leaders bend and the words stand in columns, in order from the top down.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

__all__ = ["Box", "Laid", "Wanted", "in_columns", "lay", "side_by_side", "text_width", "wrapped"]

WAYS = 3
"""Ways in columns that are tried."""
Box = tuple[float, float, float, float]
"""Left, right, top, bottom."""
Run = tuple[float, int]
"""What the marks up to here cost, and where their last run begins."""

BESIDE = 5.0
"""From one leader to the next at the side of a column. Units: px."""

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


@dataclass(frozen=True)
class Wanted:
    """Words to be laid: where their leader is, how high they are, and how wide. Units: px."""

    x: float
    height: float
    width: float


@dataclass(frozen=True)
class Laid:
    """Where they lie: where the foot of their leader is, how far down, and on which side of it they stand. Units: px."""

    x: float
    y: float
    left: bool


@cache
def text_width(text: str) -> float:
    """About how wide a text is at 13 px in the sans, rather too wide than too narrow. Units: px."""
    return sum(_WIDTHS.get(each, _WIDEST) for each in text)


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


def in_columns(wanted: Sequence[Wanted], low: float, high: float) -> Iterator[tuple[Laid, ...]]:
    """Ways to place all in columns, at the left of leaders that bend to get there: from the widest, a few that are higher.

    `low` and `high` are how far to the left and to the right words may reach.
    Keeps: from left to right the leaders have the order of their marks, so that none crosses another.
    Requires: in order of x.
    Units: px.
    """
    found = 0
    for most in range(1, len(wanted) + 1):
        columns = _columns(wanted, most)
        wide = [max(each.width for each in column) + BESIDE * len(column) for column in columns]
        if sum(wide) <= high - low and found < WAYS:
            found += 1
            yield tuple(_in_these(columns, wide, low, high))


def _in_these(columns: Sequence[Sequence[Wanted]], wide: Sequence[float], low: float, high: float) -> list[Laid]:
    rights = side_by_side([column[-1].x for column in columns], wide, low, high)
    laid = [
        Laid(right - BESIDE * (len(column) - 1 - row), sum(each.height for each in column[:row]), left=True)
        for column, right in zip(columns, rights, strict=True)
        for row in range(len(column))
    ]
    first = columns[0][0]
    room = rights[1] - wide[1] if len(rights) > 1 else high
    if len(columns[0]) == 1 and rights[0] > first.x and first.x + first.width <= room:
        # The left end alone pushed it aside: at the right of a straight leader it has room.
        laid[0] = Laid(first.x, 0.0, left=False)
    return laid


def _columns(wanted: Sequence[Wanted], most: int) -> list[list[Wanted]]:
    """The marks in columns of so many at most; one that lies far enough from the others begins its own."""
    columns: list[list[Wanted]] = []
    for each in wanted:
        if not columns or len(columns[-1]) == most or each.x - columns[-1][0].x > each.width + BESIDE * most:
            columns.append([])
        columns[-1].append(each)
    return columns


def side_by_side(wished: Sequence[float], wide: Sequence[float], low: float, high: float) -> list[float]:
    """The right edges of what stands side by side within bounds, each as near as can be to where it is wished.

    Requires: all of it together is no wider than the bounds.
    Units: px.
    """
    rights: list[float] = []
    for wish, width in zip(wished, wide, strict=True):
        rights.append(max(wish, (rights[-1] if rights else low) + width))
    limit = high
    for place in reversed(range(len(rights))):
        rights[place] = min(rights[place], limit)
        limit = rights[place] - wide[place]
    return rights


def _cut(line: str, width: float) -> str:
    """One word that is wider than a line loses its end."""
    if text_width(line) <= width:
        return line
    while line and text_width(f"{line} …") > width:
        line = line[:-1]
    return f"{line.rstrip()}…"


def _free(low: float, high: float, height: float, boxes: Sequence[Box], feet: Sequence[tuple[float, float]]) -> float:
    """The highest place at which a box covers no other and no leader."""
    beside = [(top, bottom) for left, right, top, bottom in boxes if left < high and low < right]
    below = max((foot for x, foot in feet if low < x < high), default=0.0)
    for y in sorted({below, *(bottom for _, bottom in beside if bottom > below)}):
        if all(y + height <= top or bottom <= y for top, bottom in beside):
            return y
    raise AssertionError("below every box there is room")


def _runs(wanted: Sequence[Wanted], low: float, high: float) -> list[tuple[int, int, bool]] | None:
    """Which stand at the left of their leaders and which at the right, in runs, with the fewest on top of each other.

    Keeps: where words at the right are followed by words at the left, the widest of all fits between their leaders.
    """
    widest = max((each.width for each in wanted), default=0.0)
    best: list[dict[bool, Run | None]] = [{False: (0.0, 0), True: (0.0, 0)}]
    for last in range(len(wanted)):
        best.append({left: _best_run(wanted, last, best, (low, high, widest), left=left) for left in (False, True)})
    if all(each is None for each in best[-1].values()):
        return None
    runs, at = [], len(wanted)
    left = min(best[-1], key=lambda side: (best[-1][side] or (float("inf"), 0))[0])
    while at:
        found = best[at][left]
        assert found is not None  # every run that was kept has a beginning
        runs.append((found[1], at - 1, left))
        at, left = found[1], not left
    return runs[::-1]


def _best_run(
    wanted: Sequence[Wanted],
    last: int,
    best: Sequence[dict[bool, Run | None]],
    bounds: tuple[float, float, float],
    *,
    left: bool,
) -> Run | None:
    """The cheapest beginning of a run that ends here: what it costs in all, and where it begins.

    Marks too close for their words to lie side by side are a chain, of which each lies deeper than the one before: a
    chain costs the sum of its depths, so that two short ones cost less than a long one.
    """
    low, high, widest = bounds
    found, cost, chain = None, 0.0, 0
    for first in range(last, -1, -1):
        each = wanted[first]
        if (each.x - each.width < low) if left else (each.x + each.width > high):
            break
        if first < last:
            beside = wanted[first + 1]
            chain = chain + 1 if beside.x - each.x < (beside if left else each).width else 0
        cost += chain + (0.1 if left else 0.0)
        before = best[first][not left]
        gap = each.x - wanted[first - 1].x if first else float("inf")
        if before is None or (left and gap < widest):
            continue
        total = before[0] + cost + (1 if left and gap < 2 * widest else 0)
        if found is None or total < found[0]:
            found = (total, first)
    return found
