"""The bars at the top of the custody lane: raw, in a holder, under way, in other hands, from when to when."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ledger.book import Book, Status
from ledger.events._parts import Holding
from web.axis import Placed
from web.leaders import text_width
from web.wording import t

__all__ = ["Bar", "Turn", "bars_of", "turns_of"]

HERE = frozenset({Status.EXPECTED, Status.HELD, Status.OUT})


@dataclass(frozen=True)
class Bar:
    """One stretch of time in which the book was raw, or in one holder. Units: per cent."""

    start: float
    stop: float
    holding: Holding
    away: bool
    """Under way, or in other hands."""
    words: str
    """Where there is room for them."""


class Turn(NamedTuple):
    """The book from one place of the axis on. Units: per cent."""

    x: float
    book: Book


def turns_of(at: Sequence[Placed], states: Sequence[Book]) -> list[Turn]:
    """The book after each entry in force.

    Requires: in the order of happening, with the book before the first and after each.
    """
    turns, x = [], 0.0
    for (moment, _, middle), book in zip(at, states[1:], strict=True):
        if moment.in_force:
            x = max(x, middle)
            turns.append(Turn(x, book))
    return turns


def bars_of(turns: Sequence[Turn], end: float, plot: float) -> tuple[Bar, ...]:
    """Every stretch while the book was in the collection, none while it was not.

    Units: end per cent, plot px.
    """
    ends = [x for x, _ in turns[1:]] + [end]
    bars: list[Bar] = []
    for (start, state), stop in zip(turns, ends, strict=True):
        if state.status in HERE and start < stop:
            _add(bars, state, start, stop)
    return tuple(
        Bar(bar.start, bar.stop, bar.holding, bar.away, _words(bar, place, bars, plot))
        for place, bar in enumerate(bars)
    )


def _add(bars: list[Bar], state: Book, start: float, stop: float) -> None:
    """One bar more, or the last one longer when nothing has changed."""
    holding, away = state.holding or Holding.NOT_STATED, state.status is not Status.HELD
    words = _said(holding, state.holder_number)
    last = bars[-1] if bars else None
    if last is not None and (last.stop, last.holding, last.away, last.words) == (start, holding, away, words):
        bars[-1] = Bar(last.start, stop, holding, away, words)
    else:
        bars.append(Bar(start, stop, holding, away, words))


def _words(bar: Bar, place: int, bars: Sequence[Bar], plot: float) -> str:
    """What the bar says, once for the same holder, as far as it has room."""
    before = bars[place - 1] if place else None
    if before is not None and before.stop == bar.start and before.words == bar.words:
        return ""
    room = (bar.stop - bar.start) / 100 * plot - 14
    short = _said(bar.holding, None)
    return next((each for each in (bar.words, short) if text_width(each) <= room), "")


def _said(holding: Holding, number: str | None) -> str:
    if holding is Holding.SLABBED and number:
        return t("book.lanes.holder", number=number)
    return t(f"book.lanes.holding.{holding.value}")
