"""slab: what came of a submission: a grade, none, a refusal, a new holder, damage, or loss."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.book import GradeStep, Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._parts import Holding, OpinionOf, StatedGrade
from ledger.events._spelling import short_id
from ledger.money import Money
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.book import Book


class Outcome(StrEnum):
    """What came of a submission."""

    GRADE_GIVEN = "grade given"
    NO_GRADE = "no grade"
    REFUSED = "refused"
    LOST = "lost"
    DAMAGED = "damaged"
    NEW_HOLDER = "new holder only"


@dataclass(frozen=True, kw_only=True)
class Slab(Event):
    """The submission ended, and the book came back, or did not.

    Keeps: a grade ends the one before it, when the book came back in another holder or in none. A new holder keeps
    the grade. A book that was lost there has left the collection until it turns up. One that was not here yet, or was
    given into other hands, is here only when it is said when it came back; else an arrival or a return follows.

    Rules: 1 it names its batch, or says that the submission is not known, and not both. 2 A grade given is stated, as
    exactly one step. 3 A stated grade comes with a grade given, or with damage on the way back in its holder, and is
    the service's opinion. 4 A holder number only when the book came back slabbed. 5 A book with a grade or a new
    holder came back slabbed. 6 A lost book did not come back. 7 It did not come back before the outcome. 8 The batch
    is the open submission of this book. 9 While a submission is open, its batch is named. 10 A new holder only for a
    book that was slabbed.
    """

    kind: ClassVar[str] = "slab"
    title: ClassVar[str] = "Outcome of a submission"
    lane: ClassVar[Lane] = Lane.CUSTODY
    needs_held: ClassVar[bool] = True

    outcome: Outcome = fact("Outcome", default=Outcome.GRADE_GIVEN)
    batch: str | None = short_id("Batch", "The batch it was sent in.", default=None)
    submission_known: bool = fact("Submission known", "No, when nobody wrote down that it was sent.", default=True)
    stated: StatedGrade | None = fact("Stated grade", "As it stands on the holder, and its one step.", default=None)
    holder_number: str | None = text("Holder number", "As it stands on the holder.", most=40, default=None)
    page_tone: str | None = text("Page tone as stated", "In the service's own words.", most=60, default=None)
    holding: Holding | None = fact(
        "Came back",
        "Raw or slabbed, where the outcome leaves it open; null is as it was sent, raw if not stated.",
        default=None,
    )
    came_back: When | None = fact(
        "Came back on",
        "When it was in hand; null is not known or, of a book that was not here yet, that its arrival follows.",
        default=None,
    )
    service: Sealed[str] = sealed("Service", "Who graded.", shown=True)
    service_remarks: Sealed[str] = sealed("Remarks of the service", "As they stand on holder or papers.", shown=True)
    fee: Sealed[Money] = sealed("Fee", "What was charged for grading this book.")
    invoice: Sealed[Money] = sealed("Invoice", "This book's share of the whole invoice, the fee in it.")
    compensation: Sealed[Money] = sealed("Compensation", "What was paid for loss or damage.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 7."""
        yield from super().flaws()
        if self.submission_known == (self.batch is None):
            sentence = "Name the batch it was sent in, or say that the submission is not known; one of the two."
            yield self.rule(1, sentence, "batch")
        yield from self._grade_flaws()
        yield from self._return_flaws()

    def _grade_flaws(self) -> Iterator[Problem]:
        if self.outcome is Outcome.GRADE_GIVEN and self.stated is None:
            yield self.rule(2, "A grade was given: write it as it stands on the holder, with its step.", "stated")
        if self.stated is None:
            return
        if len(self.stated.steps) != 1:
            yield self.rule(2, "The grade on a holder is one step of the scale. Name exactly one.", "stated.steps")
        if self.stated.opinion_of is not OpinionOf.SERVICE:
            yield self.rule(3, "What comes back is the opinion of the grading service. Say so.", "stated.opinion_of")
        damaged_in_holder = self.outcome is Outcome.DAMAGED and self.holding is Holding.SLABBED
        if self.outcome is not Outcome.GRADE_GIVEN and not damaged_in_holder:
            yield self.rule(3, f"No grade comes with the outcome {self.outcome}. Leave the stated grade out.", "stated")

    def _return_flaws(self) -> Iterator[Problem]:
        in_holder = self.outcome in IN_HOLDER
        if self.holder_number is not None and not in_holder and self.holding is not Holding.SLABBED:
            yield self.rule(
                4, "A holder number belongs to a slabbed book. Say slabbed, or leave it out.", "holder_number"
            )
        if in_holder and self.holding not in (None, Holding.SLABBED):
            yield self.rule(5, f"A book with the outcome {self.outcome} came back slabbed. Say so.", "holding")
        if self.holding is Holding.NOT_STATED:
            yield self.rule(5, "Say raw or slabbed, or leave it out: then it is as it was sent.", "holding")
        if self.outcome is Outcome.LOST and (self.came_back is not None or self.holding is not None):
            yield self.rule(6, "A lost book did not come back. Leave that out, or choose another outcome.", "came_back")
        if self.on is not None and self.came_back is not None and self.came_back.certainly_before(self.on):
            yield self.rule(
                7, f"It came back {self.came_back.label()}, before the outcome. Check both dates.", "came_back"
            )

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 8, 9 and 10."""
        if not book.held:
            return
        under_way = book.open_submission
        if self.batch is not None and (under_way is None or under_way.batch != self.batch):
            found = f"batch {under_way.batch} is" if under_way else "none is"
            sentence = f"Batch {self.batch} is not open for this book at that time; {found}. Write it as sent first."
            yield self.rule(8, sentence, "batch", [under_way.seq] if under_way else [])
        if self.batch is None and under_way is not None:
            sentence = f"This book was sent in batch {under_way.batch}, which is open. Name that batch."
            yield self.rule(9, sentence, "batch", [under_way.seq])
        if self.outcome is Outcome.NEW_HOLDER and book.holding is not Holding.SLABBED:
            sentence = "A new holder only is for a book that was slabbed. Was a grade given? Then write it."
            yield self.rule(10, sentence, "outcome")

    def doubts(self, book: "Book") -> Iterator[Problem]:
        """A book in other hands stays there, unless it is said when it came back."""
        if book.held and book.away_by is not None and self.came_back is None and self.outcome is not Outcome.LOST:
            sentence = (
                f"The book is in other hands since entry {book.away_by}, and this does not say that it came back. "
                "Say when it did, or write its return."
            )
            yield Problem(field="came_back", sentence=sentence, entries=(book.away_by,))

    def apply(self, book: "Book", at: At) -> "Book":
        """Its submission is over; it is here as it came back, or gone."""
        if not book.held:
            return book
        status = self._whose_hands(book)
        ended = tuple(replace(each, ended_by=each.ended_by or at.seq) for each in book.submissions)
        book = replace(book, submissions=ended)
        if self.outcome is Outcome.LOST:
            return replace(book.with_ownership_ended(at.seq, self.on), status=Status.GONE)
        came = self._came_back_as(book)
        away_by = book.away_by if status is Status.OUT else None
        book = replace(book, status=status, away_by=away_by, missing_since=None)
        if came is Holding.RAW:
            book = book.with_grades_ended(at.seq) if book.holding is Holding.SLABBED else book
            return replace(book, holding=came, holder_number=None)
        choice = None if book.choice == "go on" else book.choice
        return self._in_holder(replace(book, choice=choice), at)

    def _whose_hands(self, book: "Book") -> Status:
        """Here, unless it was not here yet or in other hands, and it is not said that it came."""
        if self.came_back is not None:
            return Status.HELD
        if book.to_come:
            return Status.EXPECTED
        return Status.OUT if book.away_by is not None else Status.HELD

    def _came_back_as(self, book: "Book") -> Holding:
        if self.outcome in IN_HOLDER:
            return Holding.SLABBED
        if self.holding in (Holding.RAW, Holding.SLABBED):
            return self.holding
        return Holding.SLABBED if book.holding is Holding.SLABBED else Holding.RAW

    def _in_holder(self, book: "Book", at: At) -> "Book":
        """In its holder: with the new grade, or with the one it had before."""
        number = self.holder_number
        if self.stated is None and self.outcome is not Outcome.NEW_HOLDER:
            return replace(book, holding=Holding.SLABBED, holder_number=number or book.holder_number)
        kept = book.grade_in_force()
        if self.stated is not None:
            step = GradeStep(seq=at.seq, on=self.on, stated=self.stated, holder_number=number, own_submission=True)
        elif kept is not None:
            # The same opinion in another holder: it is no result of this submission.
            step = replace(kept, seq=at.seq, on=self.on, holder_number=number, own_submission=False)
        else:
            return replace(book, holding=Holding.SLABBED, holder_number=number)
        book = book.with_grades_ended(at.seq) if book.holding is Holding.SLABBED else book
        grades = (*book.grades, step)
        return replace(book, holding=Holding.SLABBED, holder_number=number, stated=step.stated, grades=grades)

    def summary(self) -> str:
        """What came of it."""
        where = f", batch {self.batch}" if self.batch else ", submission not known"
        if self.stated is not None and self.outcome is Outcome.GRADE_GIVEN:
            tone = f", page tone as stated: {self.page_tone}" if self.page_tone else ""
            return f"Graded {self.stated}{where}{tone}"
        return SAID[self.outcome] + where


IN_HOLDER = frozenset({Outcome.GRADE_GIVEN, Outcome.NEW_HOLDER})
"""Outcomes with which a book comes back slabbed."""

SAID = {
    Outcome.GRADE_GIVEN: "Graded",
    Outcome.NO_GRADE: "Came back without a grade",
    Outcome.REFUSED: "Refused by the service",
    Outcome.LOST: "Lost there",
    Outcome.DAMAGED: "Came back damaged; examine it before anything else",
    Outcome.NEW_HOLDER: "Came back in a new holder, grade unchanged",
}
