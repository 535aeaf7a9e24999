"""One axis of time, stretched where much happened: from moments to places in per cent, with brackets that say so.

The axis is cut where the events lie denser or thinner than before, as Bayesian blocks do; each stretch is even in
itself, and a bracket says in words how long it is.

Source: Scargle, Norris, Jackson, Chiang, Studies in astronomical time series analysis VI, The Astrophysical Journal 764
(2013) 167: section 2 for the fitness of a block, 2.5 for cutting by dynamic programming.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import log, sqrt
from typing import NamedTuple

from ledger.history import Moment
from web.leaders import text_width
from web.numbers import length
from web.ticks import Tick, Unit, ticks_of, unit_of
from web.wording import t

__all__ = ["EDGE", "Axis", "Placed", "Span", "Stretch", "axes", "axis", "placed", "span_of", "stretches"]

EDGE = 1.0
"""Per cent left free at both ends, so that a mark at the very end is whole."""

_CLOSE = 31
"""Days: a vaguer date says nothing on where the events lie dense."""
_LEAST = 7
"""Days of the shortest axis."""
_MOST = 5
"""Stretches; more brackets than a reader keeps apart."""
_PRICE = 4.0
"""What one more cut costs in log fitness: our assumption, chosen by eye on books of 1 to 60 entries."""
_BY_EVENTS = 0.75
"""Share of the width given by the number of marks; the rest by the root of the time."""
_NARROWEST = 0.09
_AIR = 0.06
"""Share of a dense block that is kept free before its first day and after its last."""


@dataclass(frozen=True)
class Span:
    """The days between which something happened; one day for an exact date."""

    first: date
    last: date

    @property
    def middle(self) -> float:
        """Its middle, in days."""
        return (self.first.toordinal() + self.last.toordinal()) / 2


@dataclass(frozen=True)
class Stretch:
    """A part of the axis that is even in itself: from one day to another, at these per cent."""

    begin: date
    end: date
    start: float
    stop: float
    dense: bool
    """Stretched: a day takes more room here than beside it."""
    words: str
    """How long it is, as far as there is room to say it."""

    @property
    def middle(self) -> float:
        """Where its words stand."""
        return (self.start + self.stop) / 2


@dataclass(frozen=True)
class Axis:
    """Places for days, and what stands at the axis itself."""

    stretches: tuple[Stretch, ...]
    ticks: tuple[Tick, ...]

    @property
    def even(self) -> bool:
        """Every day takes the same room."""
        return len(self.stretches) == 1

    def place(self, day: float | date) -> float:
        """Where a day lies, in per cent; what is beyond an end lies at the end."""
        days = float(day.toordinal()) if isinstance(day, date) else day
        for part in self.stretches:
            low, high = part.begin.toordinal(), part.end.toordinal()
            if days <= high:
                return part.start + (part.stop - part.start) * max(0.0, days - low) / (high - low)
        return self.stretches[-1].stop

    @property
    def sentence(self) -> str:
        """That the axis is stretched, and how; empty for an even one."""
        parts = [length((part.end - part.begin).days) for part in self.stretches]
        return "" if self.even else t("book.axis.sentence", parts=f", {t('book.axis.then')} ".join(parts))


def span_of(moment: Moment) -> Span:
    """The days between which it happened; of a date that is not known, the day it was written down."""
    on, day = moment.event.on, moment.entry.recorded.date()
    return Span(on.earliest_day, on.latest_day) if on else Span(day, day)


class Placed(NamedTuple):
    """A moment on an axis: the days between which it happened, and where their middle lies. Units: per cent."""

    moment: Moment
    span: Span
    x: float


def placed(moments: Iterable[Moment], line: Axis) -> list[Placed]:
    """Each moment with its place, in the same order."""
    spans = ((each, span_of(each)) for each in moments)
    return [Placed(each, span, line.place(span.middle)) for each, span in spans]


def axis(spans: Sequence[Span], until: date, *, plot: float) -> Axis:
    """An axis on which all these have a place, which goes on to a day.

    A day is there once for each lane that has a mark on it. `plot` is the least width it will be drawn at.
    Units: plot px.
    """
    return axes(spans, until, (plot,))[0]


def axes(spans: Sequence[Span], until: date, plots: Iterable[float]) -> tuple[Axis, ...]:
    """The same axis for several widths: every day has one place, and wider ones have more to say beside it.

    Units: plots px.
    """
    begin = min((span.first for span in spans), default=until)
    end = max((until, *(span.last for span in spans)))
    if (end - begin).days < _LEAST:
        begin -= timedelta(days=_LEAST - (end - begin).days)
    days = sorted(span.middle for span in spans if (span.last - span.first).days <= _CLOSE)
    cuts = stretches(sorted(set(days)), begin, end)
    widths = _widths(days, cuts)
    usable, at, parts = 100.0 - 2 * EDGE, EDGE, []
    for (low, high), width in zip(pairwise(cuts), widths, strict=True):
        start, at = at, at + usable * width
        parts.append((low, high, start, at))
    return tuple(
        Axis(stretches=tuple(_stretch(parts, index, plot) for index in range(len(parts))), ticks=ticks_of(parts, plot))
        for plot in plots
    )


def stretches(days: Sequence[float], begin: date, end: date) -> list[date]:
    """The days at which the axis is cut, both ends among them.

    Requires: days in order, within begin and end.
    """
    if len(days) < 2:  # noqa: PLR2004  (one day is neither dense nor thin)
        return [begin, end]
    price, starts = _PRICE, list(range(len(days)))
    while len(starts) > _MOST or price == _PRICE:
        starts = _blocks(days, begin.toordinal(), end.toordinal() + 1, price)
        price *= 1.25
    starts = _in_gaps(starts, days)
    cuts = [begin]
    for block, start in enumerate(starts[1:], start=1):
        after = starts[block + 1] if block + 1 < len(starts) else len(days)
        cut = _cut(days[starts[block - 1] : start], days[start:after])
        if cuts[-1] + timedelta(days=1) < cut < end:
            cuts.append(cut)
    return [*cuts, end]


def _blocks(days: Sequence[float], begin: int, end: int, price: float) -> list[int]:
    """The first day of each block of the best cut: most fitness, less the price of its cuts."""
    edges = [float(begin), *((low + high) / 2 for low, high in pairwise(days)), float(end)]
    best, start_of = [0.0], [0]
    for last in range(len(days)):
        found = [
            best[first]
            + (last + 1 - first) * log((last + 1 - first) / max(edges[last + 1] - edges[first], 0.5))
            - price
            for first in range(last + 1)
        ]
        start_of.append(max(range(last + 1), key=found.__getitem__))
        best.append(found[start_of[-1]])
    starts, at = [], len(days)
    while at:
        at = start_of[at]
        starts.append(at)
    return starts[::-1]


def _in_gaps(starts: Sequence[int], days: Sequence[float]) -> list[int]:
    """The same cuts, each in the widest gap beside it: the first day after a long quiet belongs to what follows it."""
    moved = [0]
    for start in starts[1:]:
        beside = [at for at in (start, start - 1, start + 1) if moved[-1] < at < len(days)]
        moved.append(max(beside, key=lambda at: days[at] - days[at - 1], default=start))
    return moved


def _cut(before: Sequence[float], after: Sequence[float]) -> date:
    """Where one block ends and the next begins: close to the denser of the two, which keeps a little air."""
    low, high = before[-1], after[0]
    if _spread(after) <= _spread(before):
        return date.fromordinal(round(max(high - max(1.0, _AIR * (after[-1] - high)), (low + high) / 2)))
    return date.fromordinal(round(min(low + max(1.0, _AIR * (low - before[0])), (low + high) / 2)))


def _spread(days: Sequence[float]) -> float:
    """How far apart the days of a block are; one day alone is as thin as can be."""
    return (days[-1] - days[0]) / (len(days) - 1) if len(days) > 1 else float("inf")


def _widths(days: Sequence[float], cuts: Sequence[date]) -> list[float]:
    """The share of the width for each stretch."""
    spans = [(low.toordinal(), high.toordinal()) for low, high in pairwise(cuts)]
    last = len(spans) - 1
    counts = [
        sum(low <= day < high or (at == last and day == high) for day in days) for at, (low, high) in enumerate(spans)
    ]
    roots = [sqrt(high - low) for low, high in spans]
    by_events = _BY_EVENTS if sum(counts) else 0.0
    shares = [
        max(_NARROWEST, by_events * count / max(sum(counts), 1) + (1 - by_events) * root / sum(roots))
        for count, root in zip(counts, roots, strict=True)
    ]
    return [share / sum(shares) for share in shares]


def _stretch(parts: Sequence[tuple[date, date, float, float]], index: int, plot: float) -> Stretch:
    low, high, start, stop = parts[index]
    pace = [(part[3] - part[2]) / (part[1] - part[0]).days for part in parts]
    beside = [pace[at] for at in (index - 1, index + 1) if 0 <= at < len(parts)]
    room = (stop - start) / 100 * plot
    unit = unit_of(low, high, room)
    said = length((high - low).days)
    fuller = t("book.axis.paced", length=said, pace=t(f"book.axis.pace.{unit.value}")) if unit in PACED else said
    words = next((each for each in (fuller, said) if text_width(each) + 16 <= room), "")
    return Stretch(low, high, start, stop, bool(beside) and pace[index] > max(beside), words)


PACED = frozenset({Unit.DAY, Unit.MONTH, Unit.YEAR})
"""Units whose ticks are told beside the length of a stretch."""
