"""The lanes of a book on one axis of time: custody, condition, work, papers, photographs, grades."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from ledger.book import Book
from ledger.events import Lane as Told
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.rules.headings import Heading
from web.axis import Axis, axes, placed, span_of
from web.grade_rows import GradeRows, grade_rows
from web.holding import Bar, bars_of, turns_of
from web.lane_laying import Lane, lane_of
from web.lane_marks import told
from web.prints import Prints, prints_of

__all__ = ["CLOSE", "ROWS", "WIDE", "Drawing", "Row", "drawings"]

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


def drawings(
    moments: Sequence[Moment], states: Sequence[Book], until: date | None, plots: Sequence[float]
) -> tuple[Drawing, ...]:
    """The lanes of one book for several widths, up to a day, or up to the last one on which something happened.

    Requires: moments in the order of happening, and the book before the first and after each.
    Units: plots px, the least width each drawing will have.
    """
    spans = [span for _, span in dict.fromkeys((ROWS[each.event.lane], span_of(each)) for each in moments)]
    until = until or max(span.last for span in spans)
    lines = axes(spans, until, plots)
    # A day has the same place whatever the width, so all that is in per cent is worked out once.
    at, end = placed(moments, lines[0]), lines[0].place(until)
    turns = turns_of(at, states)
    texts = [told(each) for each in at if not isinstance(each.moment.event, Photograph)]
    own = {row: [each for each in texts if ROWS[each.at.moment.event.lane] is row] for row in Row}

    def drawing(line: Axis, plot: float) -> Drawing:
        lanes = tuple(
            (row, lane_of(own[row], line, plot, BARS if row is Row.CUSTODY else 0.0))
            for row in Row
            if own[row] or row in ALWAYS
        )
        return Drawing(
            axis=line,
            bars=bars_of(turns, end, plot),
            lanes=lanes,
            prints=prints_of(at, plot),
            grades=grade_rows(states[-1].grades, at, end, plot),
            headings=tuple(sorted({heading for _, lane in lanes for mark in lane.marks for _, heading in mark.boxes})),
        )

    return tuple(drawing(line, plot) for line, plot in zip(lines, plots, strict=True))
