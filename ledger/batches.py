"""Submissions as batches: books that go out together under one id, what each cost, and what came of each forecast."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from ledger.book import Book
from ledger.events.outlook import Origin, Weight
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import SENDS, Ask, Stage, Submission
from ledger.forecast import Attempt, Stands
from ledger.history import Moment
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.when import When

__all__ = ["BOOKS_MOST", "Batch", "Forecast", "InBatch", "batch_of", "surprise", "trips_of"]

BOOKS_MOST: Final = 100
"""In one batch; the act that sends it is one entry a book."""


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """The outlook that counts for one sending, as `ledger/forecast.py` has it, as it stood when the book was sent."""

    seq: int
    weights: tuple[Weight, ...]
    origin: str

    @property
    def likeliest(self) -> Grade:
        """The step with the greatest weight; of several the lowest."""
        return max(self.weights, key=lambda each: (each.per_mille, -each.grade.step)).grade

    @property
    def middle(self) -> Grade:
        """The lowest step that is not exceeded with at least half of the weight.

        Source: median of a discrete distribution; on an ordinal scale no other mean is one.
        """
        so_far, half = 0, Fraction(sum(each.per_mille for each in self.weights), 2)
        for each in sorted(self.weights, key=lambda each: each.grade):
            so_far += each.per_mille
            if so_far >= half:
                return each.grade
        raise AssertionError("an outlook has a weight")

    def at_least(self, grade: Grade) -> Fraction:
        """How likely that step or a better one was held to be."""
        found = sum(each.per_mille for each in self.weights if each.grade >= grade)
        return Fraction(found, sum(each.per_mille for each in self.weights))


@dataclass(frozen=True, kw_only=True)
class InBatch:
    """One book on one way out and back."""

    book: str
    title: str
    number: str
    batch: str
    sent: Moment
    """The entry that says it was sent."""
    stage: Stage
    """How far it has come, while nothing came of it."""
    news: tuple[Moment, ...] = ()
    """Received there, shipped back."""
    outcome: Moment | None = None
    over_by: int | None = None
    """The entry that ended it without an outcome of its own: the book left the collection meanwhile."""
    forecast: Forecast | None = None
    """None where none counts."""

    @property
    def is_open(self) -> bool:
        """Nothing came of it yet."""
        return self.outcome is None and self.over_by is None

    @property
    def told(self) -> tuple[Moment, ...]:
        """Every entry of this way."""
        return (self.sent, *self.news, *((self.outcome,) if self.outcome is not None else ()))

    @property
    def submission(self) -> Submission:
        """What was said when it was sent."""
        event = self.sent.event
        assert isinstance(event, Submission)
        return event

    @property
    def slab(self) -> Slab | None:
        """What came of it; None where nothing is known yet."""
        event = self.outcome.event if self.outcome is not None else None
        return event if isinstance(event, Slab) else None

    @property
    def grade(self) -> Grade | None:
        """The step it was given; None where it was given none."""
        found = self.slab
        if found is None or found.outcome is not Outcome.GRADE_GIVEN or found.stated is None:
            return None
        return found.stated.steps[0] if len(found.stated.steps) == 1 else None

    @property
    def surprise(self) -> int | None:
        """Steps by which the grade is above the middle of the forecast, below it negative; None without either."""
        return surprise(self.forecast, self.grade)


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Books under one id; some may be back while others are away."""

    id: str
    books: tuple[InBatch, ...]

    @property
    def under_way(self) -> tuple[InBatch, ...]:
        """Those of which nothing came yet."""
        return tuple(each for each in self.books if each.is_open)

    @property
    def is_open(self) -> bool:
        """It is not over."""
        return bool(self.under_way)

    @property
    def stage(self) -> Stage | None:
        """How far the slowest of those under way has come; None where all came to an end."""
        order = list(Stage)
        return min((each.stage for each in self.under_way), key=order.index, default=None)

    @property
    def sent_on(self) -> When | None:
        """When the first of them was sent."""
        return self.books[0].sent.event.on

    @property
    def service(self) -> Sealed[str]:
        """Who grades, as far as it is at hand."""
        return self.books[0].submission.service

    @property
    def asks(self) -> Ask | None:
        """What was asked for."""
        return self.books[0].submission.asks

    @property
    def last_seq(self) -> int:
        """The last entry of it; greater is newer."""
        return max(moment.entry.seq for book in self.books for moment in book.told)


def surprise(forecast: Forecast | None, grade: Grade | None) -> int | None:
    """Steps counted from the middle of a forecast to the grade that was given; grades are never averaged."""
    if forecast is None or grade is None:
        return None
    return grade.step - forecast.middle.step


def trips_of(moments: Sequence[Moment], book: Book, attempts: Sequence[Attempt]) -> list[InBatch]:
    """Every way of a book out to a service, in the order of happening, each with the outlook that counts for it.

    Requires: the book is the fold of these moments, in the order of happening, and the attempts are those of it.
    """
    issue = book.issue
    counting = {each.sent: _forecast(each) for each in attempts}
    found: list[InBatch] = []
    for moment in moments:
        if not moment.in_force:
            continue
        event = moment.event
        match event:
            case Submission() if event.stage in SENDS:
                found.append(
                    InBatch(
                        book=book.id,
                        title=issue.title if issue else "",
                        number=issue.number if issue else "",
                        batch=event.batch,
                        sent=moment,
                        stage=event.stage,
                        forecast=counting.get(moment.entry.seq),
                    )
                )
            case Submission():
                _add(found, event.batch, moment, event.stage)
            case Slab() if event.batch is not None:
                _end(found, event.batch, moment)
    ended = {each.seq: each.ended_by for each in book.submissions}
    return [
        each if each.outcome is not None else replace(each, over_by=ended.get(each.sent.entry.seq)) for each in found
    ]


def batch_of(name: str, trips: Iterable[InBatch]) -> Batch:
    """The batch of that id, its books in the order in which they were written down."""
    own = sorted((each for each in trips if each.batch == name), key=lambda each: each.sent.entry.seq)
    return Batch(id=name, books=tuple(own))


def _forecast(attempt: Attempt) -> Forecast | None:
    """The collector's own that counts; a computed one only where no own one stood there when the book was sent."""
    own = attempt.counted(Origin.OWN)
    if own is None and any(
        each.stands is Stands.TAKEN_BACK and each.outlook.origin is Origin.OWN for each in attempt.forecasts
    ):
        return None
    counts = own or attempt.counted(Origin.COMPUTED)
    if counts is None:
        return None
    return Forecast(seq=counts.seq, weights=counts.outlook.weights, origin=counts.outlook.origin.value)


def _add(found: list[InBatch], batch: str, moment: Moment, stage: Stage) -> None:
    """News of the last way under that id."""
    for place in _open(found, batch):
        found[place] = replace(found[place], stage=stage, news=(*found[place].news, moment))


def _end(found: list[InBatch], batch: str, moment: Moment) -> None:
    for place in _open(found, batch):
        found[place] = replace(found[place], outcome=moment)


def _open(found: Sequence[InBatch], batch: str) -> list[int]:
    places = [place for place, each in enumerate(found) if each.batch == batch and each.outcome is None]
    return places[-1:]
