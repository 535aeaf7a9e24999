"""The marks of a lane: which entries stand at one place of the axis, and the lines of words that tell them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from ledger.events.intervention import Intervention
from ledger.rules.headings import Heading
from web.axis import Axis, Placed
from web.brief import brief, brief_day, brief_when, written_apart
from web.filters import digits8
from web.leaders import wrapped
from web.wording import t

__all__ = [
    "AIR",
    "PITCH",
    "WIDTHS",
    "Item",
    "Line",
    "Mark",
    "Point",
    "Told",
    "height_of",
    "items_of",
    "points_of",
    "told",
]

WIDTHS = (152.0, 120.0, 96.0)
"""Widths that words beside a leader may take, with the air around them; narrower ones are more lines. Units: px."""
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
RISES = (0.0, 5.0, 10.0)
"""Where overlapping spans are drawn. Units: px."""


class Line(NamedTuple):
    """One line of words: how it is set, and how far below the beginning of its words it stands. Units: px."""

    text: str
    kind: str
    y: float


class Item(NamedTuple):
    """One entry at a mark: the lines that tell it and lead to it."""

    seq: int
    lines: tuple[Line, ...]
    in_force: bool


Words = tuple[tuple[str, str], ...]
"""Lines of words, each with how it is set."""


class Told(NamedTuple):
    """One entry with its words: for each of the widths its dates, and what stands below them."""

    at: Placed
    words: Mapping[float, tuple[Words, Words]]


class Point(NamedTuple):
    """What happened at one place of the axis: a dot, or a box for each step of work.

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
    entries: Sequence[Told]
    more: int
    """How many entries are not told here."""


class Mark(NamedTuple):
    """A point with its leader and its words; the first fields are those of the point.

    Units: `x`, `span` and `foot` per cent; the rest px.
    """

    x: float
    span: tuple[float, float] | None
    known: bool
    rise: float
    boxes: tuple[tuple[float, Heading], ...]
    in_force: bool
    foot: float
    """Where the leader ends; the same as `x` unless it bends."""
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


def told(at: Placed) -> Told:
    """The words of one entry: when it happened and when it was written down where that is another day, and what it was."""
    moment = at.moment
    event, recorded = moment.event, moment.entry.recorded
    dates, below = [brief_when(event.on)], [(digits8(moment.entry.leaf), "number")]
    if written_apart(event.on, recorded):
        dates.append(t("book.lanes.written", day=brief_day(recorded)))
    if not moment.in_force:
        below.insert(0, (t("book.lanes.withdrawn"), "quiet"))
    if isinstance(event, Intervention):
        below.insert(0, (event.heading.label, "quiet"))
    what = brief(event)

    def parted(width: float) -> tuple[Words, Words]:
        words = (*((text, "word") for text in wrapped(what, width, 3)), *below)
        return tuple((text, "date") for date in dates for text in wrapped(date, width)), words

    return Told(at, {width: parted(width - AIR) for width in WIDTHS})


def points_of(entries: Sequence[Told], line: Axis, plot: float) -> list[Point]:
    """Entries by their place on the axis; those too close to be told apart are at one point.

    Units: plot px.
    """
    groups: list[list[Told]] = []
    for each in sorted(entries, key=lambda one: one.at.x):
        if groups and (each.at.x - groups[-1][0].at.x) / 100 * plot < ONE_MARK:
            groups[-1].append(each)
        else:
            groups.append([each])
    points: list[Point] = []
    for group in groups:
        points.append(_point(group, points, line, plot))
    return points


def height_of(point: Point, width: float) -> float:
    """How high the words of a point are, with what is left around them.

    Units: px.
    """
    lines = sum(len(words) for words in _lines(point, width))
    return lines * PITCH + len(point.entries) * 4 + (PITCH if point.more else 0) + 6


def items_of(point: Point, width: float) -> tuple[Item, ...]:
    """The words of a point in lines of one of the widths."""
    items, y = [], 0.0
    for each, words in zip(point.entries, _lines(point, width), strict=True):
        lines = tuple(Line(text, kind, y + PITCH * place) for place, (text, kind) in enumerate(words, start=1))
        items.append(Item(each.at.moment.entry.seq, lines, each.at.moment.in_force))
        y += PITCH * len(words) + 4
    return tuple(items)


def _lines(point: Point, width: float) -> Iterator[Words]:
    """The lines of each entry, its dates only where they are others than those of the entry above."""
    said: Words = ()
    for each in point.entries:
        dates, words = each.words[width]
        yield words if dates == said else dates + words
        said = dates


def _point(group: Sequence[Told], before: Sequence[Point], line: Axis, plot: float) -> Point:
    first = group[0].at
    known = first.moment.event.on is not None
    low, high = line.place(first.span.first if known else 0), line.place(first.span.last)
    span = (low, high) if (high - low) / 100 * plot > A_SPAN else None
    events = [each.at.moment.event for each in group]
    steps = [event.heading for event in events if isinstance(event, Intervention)]
    return Point(
        x=first.x,
        span=span,
        known=known,
        rise=_rise(span, before),
        boxes=tuple((place * BOX, heading) for place, heading in enumerate(steps)),
        in_force=any(each.at.moment.in_force for each in group),
        entries=group[:ITEMS],
        more=max(len(group) - ITEMS, 0),
    )


def _rise(span: tuple[float, float] | None, before: Sequence[Point]) -> float:
    """As far up as lets spans that overlap lie beside each other, while there is room."""
    if span is None:
        return RISES[0]
    under = [each.rise for each in before if each.span and each.span[1] > span[0] and span[1] > each.span[0]]
    return next((rise for rise in RISES if rise not in under), RISES[-1])
