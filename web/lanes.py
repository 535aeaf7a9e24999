"""The lanes of a book on one axis of time: custody, condition, work, papers, photographs, grades."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from ledger.events import Lane as Told
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.rules.headings import Heading
from web.axis import Axis, axis, span_of
from web.grade_rows import GradeRows, grade_rows
from web.holding import Bar, bars_of
from web.lane_laying import Lane, lane_of
from web.prints import Prints, prints_of

__all__ = ["CLOSE", "ROWS", "WIDE", "Drawing", "Row", "draw"]

WIDE, CLOSE = 980.0, 672.0
"""Least widths of the plot at which the lanes are drawn: on a wide page, and on any that is no narrow one. Units: px."""
BARS = 26.0
"""Height of the bars of raw and slabbed at the top of the custody lane. Units: px."""


class Row(StrEnum):
    """A lane as it is drawn."""

    CUSTODY = "custody"
    CONDITION = "condition"
    WORK = "work"
    PAPERS = "papers"


ROWS: Mapping[Told, Row] = MappingProxyType(
    {
        Told.CUSTODY: Row.CUSTODY,
        Told.CARE: Row.CUSTODY,
        Told.CONDITION: Row.CONDITION,
        Told.WORK: Row.WORK,
        Told.PAPERS: Row.PAPERS,
    }
)
ALWAYS = (Row.CUSTODY, Row.CONDITION, Row.WORK)
"""Lanes that are drawn even when nothing is in them."""


@dataclass(frozen=True)
class Drawing:
    """All of it."""

    axis: Axis
    bars: tuple[Bar, ...]
    lanes: tuple[tuple[Row, Lane], ...]
    prints: Prints
    grades: GradeRows
    headings: tuple[Heading, ...]
    """Those that stand in the drawing."""


def draw(moments: Sequence[Moment], until: date | None = None, *, plot: float = WIDE) -> Drawing:
    """The lanes of one book up to a day; up to the last one on which something happened, if none is given.

    Requires: moments in the order of happening.
    Units: plot px, the least width it will be drawn at.
    """
    spans = [span for _, span in dict.fromkeys((ROWS[each.event.lane], span_of(each)) for each in moments)]
    until = until or max(span.last for span in spans)
    line = axis(spans, until, plot=plot)
    told = [each for each in moments if not isinstance(each.event, Photograph)]
    own = {row: [each for each in told if ROWS[each.event.lane] is row] for row in Row}
    lanes = tuple(
        (row, lane_of(own[row], line, plot, BARS if row is Row.CUSTODY else 0.0))
        for row in Row
        if own[row] or row in ALWAYS
    )
    return Drawing(
        axis=line,
        bars=bars_of(moments, line, until, plot),
        lanes=lanes,
        prints=prints_of(moments, line, plot),
        grades=grade_rows(moments, line, until, plot),
        headings=tuple(sorted({heading for _, lane in lanes for mark in lane.marks for _, heading in mark.boxes})),
    )
