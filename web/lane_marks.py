"""The marks of a lane: which entries stand at one place of the axis, and the lines of words that tell them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ledger.events.intervention import Intervention
from ledger.history import Moment
from ledger.rules.headings import Heading
from web.axis import Axis, span_of
from web.brief import brief, brief_day, brief_when, written_apart
from web.filters import digits8
from web.leaders import wrapped
from web.wording import t

__all__ = ["AIR", "PITCH", "Item", "Line", "Mark", "mark_of", "together"]

AIR = 12.0
"""Beside and between words. Units: px."""
PITCH = 16.0
"""From one line of words to the next. Units: px."""
ONE_MARK = 5.0
"""Days closer together than this are one mark. Units: px."""
A_SPAN = 10.0
"""A date vaguer than this is drawn as a span. Units: px."""
ITEMS = 4
"""Entries told at one mark; more of them are counted, and told in the list."""
BOX = 18.0
"""From one box of work to the next at one mark. Units: px."""


@dataclass(frozen=True)
class Line:
    """One line of words: how it is set, and how far below the beginning of its words it stands. Units: px."""

    text: str
    kind: str
    y: float


@dataclass(frozen=True)
class Item:
    """One entry at a mark: the lines that tell it and lead to it."""

    seq: int
    lines: tuple[Line, ...]
    in_force: bool


@dataclass(frozen=True)
class Mark:
    """What happened at one place of the axis: a dot, or a box for each step of work; its leader and its words.

    Units: `x` and `span` per cent; the rest px.
    """

    x: float
    span: tuple[float, float] | None
    """Between which days it happened; None for a date that is one day."""
    known: bool
    """Its date is known, if vaguely; one that is not known reaches from the beginning to when it was written down."""
    rise: float
    """How far above the others its span is drawn, where two would lie on each other."""
    boxes: tuple[tuple[float, Heading], ...]
    """Steps of work: how far beside the leader, and their heading."""
    in_force: bool
    foot: float
    """Where the leader ends; the same as `x` unless it bends. Units: per cent."""
    bend: float
    """Where it is straight above or below its foot at the latest."""
    end: float
    """Where it ends, beside the words."""
    words: float
    """Where the words begin."""
    height: float
    left: bool
    """The words stand at the left of the leader."""
    items: tuple[Item, ...]
    more: int
    """How many entries are not told here."""


def together(moments: Sequence[Moment], line: Axis, plot: float) -> list[list[Moment]]:
    """Moments by their place on the axis; those too close to be told apart are one group."""
    placed = sorted(((line.place(span_of(each).middle), each) for each in moments), key=lambda pair: pair[0])
    groups: list[list[Moment]] = []
    start = 0.0
    for x, moment in placed:
        if groups and (x - start) / 100 * plot < ONE_MARK:
            groups[-1].append(moment)
        else:
            groups.append([moment])
            start = x
    return groups


def mark_of(group: Sequence[Moment], line: Axis, plot: float, width: float) -> Mark:
    """A mark with its lines, not laid yet.

    Requires: at least one moment.
    """
    items, y = [], 0.0
    said: tuple[tuple[str, str], ...] = ()
    for moment in group[:ITEMS]:
        dates, lines = tuple(_dates(moment, width - AIR)), []
        for text, kind in (*(dates if dates != said else ()), *_words(moment, width - AIR)):
            y += PITCH
            lines.append(Line(text, kind, y))
        y, said = y + 4, dates
        items.append(Item(moment.entry.seq, tuple(lines), moment.in_force))
    more = len(group) - len(items)
    span = span_of(group[0])
    first = line.place(span.first) if group[0].event.on else line.place(0)
    last = line.place(span.last)
    steps = [each.event.heading for each in group if isinstance(each.event, Intervention)]
    return Mark(
        x=line.place(span.middle),
        span=(first, last) if (last - first) / 100 * plot > A_SPAN else None,
        known=group[0].event.on is not None,
        rise=0.0,
        boxes=tuple((place * BOX, heading) for place, heading in enumerate(steps)),
        in_force=any(each.in_force for each in group),
        foot=0.0,
        bend=0.0,
        end=0.0,
        words=0.0,
        height=y + (PITCH if more else 0) + 6,
        left=False,
        items=tuple(items),
        more=more,
    )


def _dates(moment: Moment, width: float) -> Iterator[tuple[str, str]]:
    """When it happened, and when it was written down where that is another day."""
    for text in wrapped(brief_when(moment.event.on), width):
        yield text, "date"
    if written_apart(moment.event.on, moment.entry.recorded):
        for text in wrapped(t("book.lanes.written", day=brief_day(moment.entry.recorded)), width):
            yield text, "date"


def _words(moment: Moment, width: float) -> Iterator[tuple[str, str]]:
    """What happened, each line with how it is set."""
    event = moment.event
    for text in wrapped(brief(event), width, 3):
        yield text, "word"
    if isinstance(event, Intervention):
        yield event.heading.label, "quiet"
    if not moment.in_force:
        yield t("book.lanes.withdrawn"), "quiet"
    yield digits8(moment.entry.leaf), "number"
