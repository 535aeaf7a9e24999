"""Where words stand in columns, in order from the top down, beside leaders that bend to get there."""

from collections.abc import Iterator, Sequence

from web.leaders import Laid, Wanted

__all__ = ["in_columns", "side_by_side"]

WAYS = 3
"""Ways that are tried."""
BESIDE = 5.0
"""From one leader to the next at the side of a column. Units: px."""


def in_columns(wanted: Sequence[Wanted], low: float, high: float) -> Iterator[tuple[Laid, ...]]:
    """Ways to place all in columns, at the left of leaders that bend to get there: from the widest, a few that are higher.

    `low` and `high` are how far to the left and to the right words may reach.
    Keeps: from left to right the leaders have the order of their marks, so that none crosses another.
    Requires: in order of x.
    Units: px.
    """
    count, found = len(wanted), 0
    room = high - low - BESIDE * count
    narrowest = min((each.width for each in wanted), default=0.0)
    for most in range(1, count + 1):
        if -(-count // most) * narrowest > room:
            continue  # so few in each are more columns than there is room for
        columns = _columns(wanted, most)
        wide = [max([each.width for each in column]) + BESIDE * len(column) for column in columns]
        if sum(wide) <= high - low:
            yield tuple(_in_these(columns, wide, low, high))
            found += 1
        if found == WAYS:
            return


def _in_these(columns: Sequence[Sequence[Wanted]], wide: Sequence[float], low: float, high: float) -> list[Laid]:
    rights = side_by_side([column[-1].x for column in columns], wide, low, high)
    laid = []
    for column, right in zip(columns, rights, strict=True):
        y = 0.0
        for behind, each in zip(reversed(range(len(column))), column, strict=True):
            laid.append(Laid(right - BESIDE * behind, y, left=True))
            y += each.height
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
