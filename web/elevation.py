"""A wall as it stands before you: every book where it hangs, at its own size, all walls of a page at one scale.

Units: names end in cm where they count from the left end of the wall and from the floor; all else is px of the drawing.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import floor
from typing import Final

from ledger.hanging import Reach
from ledger.views import HungRow
from web.copies import copy_of
from web.hung_lines import hung_line
from web.wall_shapes import Elevation, Figure, Hung, Named, Stretch
from web.wording import t

__all__ = ["elevations", "whole_wall"]

MM: Final = 10
CENTRE_CM: Final = 150.0
"""Middle of a book whose place on the wall is not known. Source: common practice, no source."""
GAP_CM: Final = 14.0
MARGIN_CM: Final = 20.0
BARE_CM: Final = 30.0
"""More bare wall than this between two margins is left out."""
ABOVE_CM: Final = 10.0
FLOOR_IN_SIGHT_CM: Final = 45.0
"""A wall that is bare down from here is drawn to the floor; a higher one is cut."""

PAGE_PX: Final = 1326
BETWEEN_PX: Final = 44
"""Between two walls side by side."""
LEAST_PX, MOST_PX = 4.6, 7.4
"""Of one centimetre."""
SMALLEST_PX: Final = 1.6
"""Of one centimetre where the whole of a wall is drawn; one wider than eight metres scrolls."""
RULER_PX: Final = 46
BREAK_PX: Final = 40
LABEL_PX, NARROW_PX = 180, 92
"""A label is no wider than the first; one that would be narrower than the second is shown only on demand."""
LABEL_HIGH_PX: Final = 84
CUT_PX, SKIRT_PX, FLOOR_PX = 34, 26, 34
FIGURES_CM: Final = 20


def elevations(walls: Sequence[Named], reach: Reach | None = None) -> tuple[Elevation, ...]:
    """Every wall that has books, at the largest scale at which they stand side by side, and not beyond reason."""
    placed = [(named, hung, _stretches(named, hung)) for named in walls if (hung := _placed(named, reach))]
    if not placed:
        return ()
    one_cm, in_one_row = _scale([stretches for _, _, stretches in placed])
    shared = _heights([each for _, hung, _ in placed for each in hung], one_cm) if in_one_row else None
    return tuple(
        _drawn(named, hung, stretches, (one_cm, *(shared or _heights(hung, one_cm))))
        for named, hung, stretches in placed
    )


def whole_wall(  # noqa: PLR0913 - a wall, its size, and what is to be seen of the books on it
    named: Named,
    width_cm: float,
    height_cm: float,
    reach: Reach,
    *,
    in_the_way: Collection[str] | None = None,
    moved: Collection[str] = (),
) -> Elevation:
    """One wall from end to end and from floor to ceiling, with the books whose place on it is known.

    Where it is hung, some are `in_the_way`, if only none; then each leads to its row below and not to its own page.
    Those that were `moved` say in the place of a date that this is not written yet.
    """
    one_cm = floor(min(MOST_PX, max(SMALLEST_PX, (PAGE_PX - RULER_PX) / width_cm)) * 100) / 100
    hung = [
        each
        if in_the_way is None
        else replace(each, href=f"#at-{each.row.book}", in_the_way=each.row.book in in_the_way)
        for each in (_not_written(_hung(row, reach)) if row.book in moved else _hung(row, reach) for row in named.hung)
        if each.placed
    ]
    return _drawn(named, hung, [Stretch(from_cm=0, to_cm=width_cm)], (one_cm, height_cm, 0.0))


def _heights(hung: Sequence[Hung], one_cm: float) -> tuple[float, float]:
    """Down from where and to where a wall is drawn; 0 is the floor."""
    low_cm = min(_bottom(each) for each in hung) - LABEL_HIGH_PX / one_cm - 3
    low_cm = 0.0 if low_cm < FLOOR_IN_SIGHT_CM else low_cm // 5 * 5
    return max(_top(each) for each in hung) + ABOVE_CM, low_cm


def _scale(walls: Sequence[Sequence[Stretch]]) -> tuple[float, bool]:
    """All walls in one row if books are not too small then; else the longest as wide as the page.

    Gives the length of a centimetre, and whether they are in one row: then all have one floor.
    """
    lengths = [sum(each.to_cm - each.from_cm for each in stretches) for stretches in walls]
    fixed = [RULER_PX + BREAK_PX * (len(stretches) - 1) for stretches in walls]
    in_one_row = (PAGE_PX - sum(fixed) - BETWEEN_PX * (len(walls) - 1)) / sum(lengths)
    longest = min((PAGE_PX - more) / length for length, more in zip(lengths, fixed, strict=True))
    fits = in_one_row >= LEAST_PX
    one_cm = floor((in_one_row if fits else longest) * 100) / 100
    return min(MOST_PX, max(LEAST_PX, one_cm)), fits


def _placed(named: Named, reach: Reach | None) -> list[Hung]:
    """Where each hangs; those of which that is not known side by side, to the right of the others."""
    made = [_hung(row, reach, named.light_left.get(row.book, "")) for row in named.hung]
    known = sorted((each for each in made if each.placed), key=lambda each: (each.x_cm, -each.y_cm))
    edge = max((each.x_cm + each.copy.whole_width / 2 for each in known), default=MARGIN_CM - GAP_CM)
    for each in made:
        if not each.placed:
            left = edge + GAP_CM
            known.append(replace(each, x_cm=left + each.copy.whole_width / 2))
            edge = left + each.copy.whole_width
    return known


def _hung(row: HungRow, reach: Reach | None, light: str = "") -> Hung:
    copy = copy_of(row.width_mm, row.height_mm, row.cover_date, row.holding, one_mm=1 / MM, reach=reach)
    if row.x_cm is None or row.y_cm is None:
        return Hung(row=row, words=hung_line(row, light), copy=copy, x_cm=0.0, y_cm=CENTRE_CM, placed=False)
    x_cm, y_cm = float(row.x_cm), float(row.y_cm)
    return Hung(row=row, words=hung_line(row, light), copy=copy, x_cm=x_cm, y_cm=y_cm, placed=True)


def _not_written(each: Hung) -> Hung:
    return replace(each, words=each.words._replace(since=t("hang.not_written")))


def _top(each: Hung) -> float:
    return each.y_cm + each.copy.whole_height / 2


def _bottom(each: Hung) -> float:
    return each.y_cm - each.copy.whole_height / 2


def _stretches(named: Named, hung: Sequence[Hung]) -> list[Stretch]:
    """The parts of the wall that have books, with a margin; long bare parts between them are left out."""
    known = any(each.placed for each in hung)
    end = float("inf") if named.width_cm is None or not known else named.width_cm
    sides = sorted((each.x_cm - each.copy.whole_width / 2, each.x_cm + each.copy.whole_width / 2) for each in hung)
    found: list[Stretch] = []
    for left, right in sides:
        first, last = max(0.0, left - MARGIN_CM), max(right, min(end, right + MARGIN_CM))
        if found and first - found[-1].to_cm < BARE_CM:
            found[-1] = replace(found[-1], to_cm=max(found[-1].to_cm, last))
        else:
            found.append(Stretch(from_cm=first, to_cm=last))
    gaps = [round(after.from_cm - before.to_cm) for before, after in pairwise(found)]
    return [replace(each, left_out_cm=gap) for each, gap in zip(found, [*gaps, 0], strict=True)]


def _drawn(
    named: Named, hung: Sequence[Hung], stretches: Sequence[Stretch], scale: tuple[float, float, float]
) -> Elevation:
    one_cm, top_cm, low_cm = scale
    drawn = tuple(_laid_out(stretches, one_cm))
    wall_height = round((top_cm - low_cm) * one_cm, 1)
    middles = {each.y_cm for each in hung}
    return Elevation(
        named=named,
        hung=tuple(_labelled([_at(each, drawn, one_cm, top_cm) for each in _upwards(hung)])),
        stretches=drawn,
        one_cm=one_cm,
        width=round(drawn[-1].x + drawn[-1].width, 1),
        height=round(wall_height + (CUT_PX if low_cm else 0) + SKIRT_PX + FLOOR_PX, 1),
        wall_height=wall_height,
        cut_cm=round(low_cm),
        top_cm=top_cm,
        centre=round((top_cm - middles.pop()) * one_cm, 1) if len(middles) == 1 else None,
        heights=tuple(Figure(at=round((top_cm - cm) * one_cm, 1), cm=cm) for cm in _figures(low_cm + 2, top_cm - 3)),
        known=any(each.placed for each in hung),
    )


def _upwards(hung: Sequence[Hung]) -> list[Hung]:
    """Row by row from the lowest up, each from the left: what is drawn later lies above, and a label opens downwards."""
    rows: list[list[Hung]] = []
    for each in sorted(hung, key=lambda each: each.y_cm):
        if rows and _bottom(each) < _top(rows[-1][0]):
            rows[-1].append(each)
        else:
            rows.append([each])
    return [each for row in rows for each in sorted(row, key=lambda each: each.x_cm)]


def _laid_out(stretches: Sequence[Stretch], one_cm: float) -> Iterator[Stretch]:
    x = float(RULER_PX)
    for each in stretches:
        width = round((each.to_cm - each.from_cm) * one_cm, 1)
        figures = (
            Figure(at=round(x + (cm - each.from_cm) * one_cm, 1), cm=cm)
            for cm in _figures(each.from_cm + 2, each.to_cm - 2)
        )
        offset = round(each.from_cm % 10 * one_cm, 2)
        yield replace(each, x=round(x, 1), width=width, offset=offset, figures=tuple(figures))
        x += width + BREAK_PX


def _figures(low: float, high: float) -> range:
    """The figures of a ruler between two ends."""
    first = -int(-low // FIGURES_CM) * FIGURES_CM
    return range(first, int(high) + 1, FIGURES_CM)


def _at(each: Hung, stretches: Sequence[Stretch], one_cm: float, top_cm: float) -> Hung:
    """The book in the drawing, its sizes in px."""
    # One that was hung beyond the end of the wall is drawn there, so that it can be fetched back.
    own = next((part for part in stretches if part.from_cm <= each.x_cm <= part.to_cm), stretches[-1])
    copy = each.copy.scaled(one_cm)
    x = own.x + (each.x_cm - own.from_cm) * one_cm - copy.whole_width / 2
    y = (top_cm - each.y_cm) * one_cm - copy.whole_height / 2
    return replace(each, copy=copy, x=round(x, 1), y=round(y, 1))


def _labelled(hung: Sequence[Hung]) -> Iterator[Hung]:
    """Each with a label from its left edge on, as wide as the next book leaves it room for."""
    for each in hung:
        top = each.y + each.copy.whole_height + 10
        others = [other for other in hung if other is not each]
        room = [other.x - each.x - 10 for other in others if _beside(each, other) and other.x >= each.x]
        width = min(LABEL_PX, *room) if room else LABEL_PX
        label = (each.x, top, width, LABEL_HIGH_PX)
        shown = width >= NARROW_PX and not any(_overlaps(label, other) for other in others)
        width = width if shown else LABEL_PX
        yield replace(each, label_x=each.x, label_y=round(top, 1), label_width=round(width, 1), label_shown=shown)


def _beside(each: Hung, other: Hung) -> bool:
    """Their labels would stand beside one another."""
    foot, other_foot = each.y + each.copy.whole_height, other.y + other.copy.whole_height
    return abs(foot - other_foot) < LABEL_HIGH_PX


def _overlaps(label: tuple[float, float, float, float], other: Hung) -> bool:
    x, y, width, height = label
    beyond = x + width <= other.x or other.x + other.copy.whole_width <= x
    return not (beyond or y + height <= other.y or other.y + other.copy.whole_height <= y)
