"""The bench as a board: every load and its tool, which books wait for a decision and why, and the heat each had so far."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from ledger.actor import Actor, Permission
from ledger.book import Status
from ledger.dose import Heat, heat_of
from ledger.errors import NotFoundError
from ledger.events._parts import Holding
from ledger.events.choice import Choice
from ledger.events.intervention import Intervention
from ledger.history import Moment, history
from ledger.looks import look_due
from ledger.ports import Ledger, Reader
from ledger.usecases.bench import Bench, look_at_bench
from ledger.views import BookRow, EntryQuery, ShelfQuery
from ledger.when import When

__all__ = ["AtBench", "Board", "LastStep", "look_at_board"]

BOOKS_MOST: Final = 200
STEPS_MOST: Final = 200
"""Of the last steps of work that were written down, looked through for books that nobody has decided on."""
LATELY: Final = timedelta(days=60)
"""A book that was worked on so long ago, and never chosen for going on, is no longer at the bench. Our assumption."""
_NO_WORK: Final = frozenset({"housing", "signature", "encapsulation"})
"""Techniques after which there is nothing to decide, for the paper was not worked on."""


@dataclass(frozen=True, kw_only=True)
class LastStep:
    """The last step of work on a book: its technique, and when it was; None where that is not known."""

    technique: str
    on: When | None


@dataclass(frozen=True, kw_only=True)
class AtBench:
    """One book at the bench."""

    id: str
    name: str
    heat: Heat
    """All it had here so far."""
    over: LastStep | None = None
    """The last step, if nothing was chosen since."""
    look_due: date | None = None
    """Since when it is to be looked at again, if nothing was chosen since."""

    @property
    def waits_for_a_decision(self) -> bool:
        """Whether to go on, to stop, or to leave it alone."""
        return self.over is not None or self.look_due is not None


@dataclass(frozen=True, kw_only=True)
class Board:
    """The bench, and every book at it by its id: those in loads, those to decide on, those that wait to go in."""

    bench: Bench
    books: Mapping[str, AtBench]
    undecided: tuple[AtBench, ...]
    waiting: tuple[AtBench, ...]


def look_at_board(ledger: Ledger, actor: Actor) -> Board:
    """The board at this moment; a book in a load waits for nothing but the load."""
    actor.require(Permission.READ)
    bench, today = look_at_bench(ledger, actor), ledger.clock.today()
    in_loads = dict.fromkeys(book for load in bench.loads for book in load.books)
    with ledger.log.read() as reader:
        chosen = [each.book for each in reader.shelf(ShelfQuery(on_bench=True, limit=BOOKS_MOST)).rows]
        free = [each for each in dict.fromkeys((*chosen, *_worked_lately(reader, today))) if each not in in_loads]
        books = {each.id: each for each in _at_bench(ledger, reader, [*in_loads, *free], today)}
        here = [books[each] for each in free if each in books and _may_be_worked_on(reader.book(each))]
    return Board(
        bench=bench,
        books=books,
        undecided=tuple(each for each in here if each.waits_for_a_decision),
        waiting=tuple(each for each in here if each.id in set(chosen) and not each.waits_for_a_decision),
    )


def _worked_lately(reader: Reader, today: date) -> list[str]:
    """Books of which a step was written down lately, the newest first."""
    query = EntryQuery(kinds=(Intervention.kind,), newest_first=True, limit=STEPS_MOST, recorded_from=today - LATELY)
    return [each.book for each in reader.entries(query).rows if each.book is not None]


def _at_bench(ledger: Ledger, reader: Reader, books: Sequence[str], today: date) -> Iterator[AtBench]:
    for book in books:
        try:
            row = reader.book(book)
        except NotFoundError:
            continue
        moments = history(reader.of_book(book), ledger.codec)
        due = look_due(moments)
        yield AtBench(
            id=book,
            name=f"{row.title} {row.number}".strip() or book,
            heat=heat_of(moments),
            over=_over(moments),
            look_due=due if due is not None and due <= today and not _chosen_since(moments, due) else None,
        )


def _may_be_worked_on(row: BookRow) -> bool:
    return row.status == Status.HELD and row.holding != Holding.SLABBED


def _over(moments: Sequence[Moment]) -> LastStep | None:
    """The last step of work, if it comes after the last choice, in the order of happening."""
    found = None
    for moment in moments:
        event = moment.event
        if not moment.in_force:
            continue
        if isinstance(event, Choice):
            found = None
        elif isinstance(event, Intervention) and event.technique not in _NO_WORK:
            found = LastStep(technique=event.technique, on=event.on)
    return found


def _chosen_since(moments: Sequence[Moment], due: date) -> bool:
    """Something was chosen on that day or later; a choice without a date is as old as its entry."""
    for moment in moments:
        if moment.in_force and isinstance(moment.event, Choice):
            on = moment.event.on
            day = moment.entry.recorded.date() if on is None else on.latest_day
            if day >= due:
                return True
    return False
