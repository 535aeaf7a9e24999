"""submission: a book is on its way through a grading service: sent, received there, shipped back."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Sent, Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._spelling import short_id
from ledger.money import Money
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Stage(StrEnum):
    """How far a submission has come."""

    SENT = "sent"
    SENT_BY_SELLER = "sent by the seller"
    """Straight to the service, before the book was ever here."""
    RECEIVED = "received there"
    SHIPPED_BACK = "shipped back"


class Ask(StrEnum):
    """What the service is asked for."""

    GRADE = "grade"
    REVIEW = "review"
    NEW_HOLDER = "new holder"


@dataclass(frozen=True, kw_only=True)
class Submission(Event):
    """The book went out to a grading service, or news came of how far it is.

    Keeps: a stage nobody told of may be left out, but none is told twice or after a later one. Money is this book's
    share of the batch.

    Rules: 1 a book that is sent is here; one that its seller sent is bought and not here yet. 2 No other submission of
    it is open. 3 What was received there or shipped back is of the open submission and of its batch. 4 Stages come in
    their order. 5 What is asked for is said when the book is sent, and only then.
    """

    kind: ClassVar[str] = "submission"
    title: ClassVar[str] = "Submission"
    lane: ClassVar[Lane] = Lane.CUSTODY
    needs_held: ClassVar[bool] = True

    stage: Stage = fact(
        "Stage",
        "Sent, sent by the seller straight to the service, received there, or shipped back.",
        default=Stage.SENT,
    )
    batch: str = short_id("Batch", "Your own id of the batch; every book sent together has the same.")
    asks: Ask | None = fact(
        "Asked for", "A grade, a review of one, or a new holder; said when it is sent.", default=None
    )
    speed: str | None = text("Speed asked", "As the service calls it, or in days.", most=40, default=None)
    service: Sealed[str] = sealed("Service", "Who grades.", shown=True)
    insured_for: Sealed[Money] = sealed("Insured for", "What the carrier or the policy would pay for this book.")
    fee: Sealed[Money] = sealed("Fee expected", "This book's share, as quoted.")
    postage: Sealed[Money] = sealed("Postage", "This book's share of carriage and its insurance.")

    def flaws(self) -> Iterator[Problem]:
        """Rule 5."""
        yield from super().flaws()
        if self.stage in SENDS and self.asks is None:
            yield self.rule(5, "A book is sent for something. Say grade, review or new holder.", "asks")
        if self.stage not in SENDS and self.asks is not None:
            yield self.rule(5, "What is asked for is said when the book is sent. Leave it out here.", "asks")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1 to 4."""
        if not book.held:
            return
        under_way = book.open_submission
        if self.stage not in SENDS:
            yield from self._stages(under_way)
        elif under_way is not None:
            sentence = f"Batch {under_way.batch} is still open for this book. Write what came of it first."
            yield self.rule(2, sentence, "batch", [under_way.seq])
        elif self.stage is Stage.SENT_BY_SELLER and book.status is not Status.EXPECTED:
            sentence = (
                f"The book is {book.status} at that time, and its seller sends only one that was never here. "
                "If you sent it, say sent; or mend the date."
            )
            yield self.rule(1, sentence, "stage")
        elif self.stage is Stage.SENT and not book.here:
            by = [book.away_by] if book.away_by else []
            sentence = f"The book is {book.status}, so it was not sent from here. Write its arrival or return first"
            sentence += ", or say that its seller sent it." if book.status is Status.EXPECTED else "."
            yield self.rule(1, sentence, "on", by)

    def _stages(self, under_way: Sent | None) -> Iterator[Problem]:
        if under_way is None:
            yield self.rule(
                3,
                "No submission of this book is open at that time. Write first that it was sent, or mend the date.",
                "stage",
            )
        elif under_way.batch != self.batch:
            sentence = f"The open submission is batch {under_way.batch}, not {self.batch}. Name that one."
            yield self.rule(3, sentence, "batch", [under_way.seq])
        elif ORDER.index(self.stage.value) <= ORDER.index(under_way.stage):
            sentence = f"The batch is {under_way.stage} already by that time. Check the stage and the date."
            yield self.rule(4, sentence, "stage", [under_way.seq])

    def apply(self, book: "Book", at: At) -> "Book":
        """It is in the service's hands, away from its spot; later stages move the open submission on."""
        if not book.held:
            return book
        if self.stage in SENDS:
            by_seller = self.stage is Stage.SENT_BY_SELLER
            sent = Sent(batch=self.batch, seq=at.seq, stage=self.stage.value, by_seller=by_seller)
            away = replace(book, spot=None, placed_by=None, placed_on=None, missing_since=None)
            return replace(away, status=Status.OUT, submissions=(*book.submissions, sent))
        under_way = book.open_submission
        moved = (replace(each, stage=self.stage.value) if each is under_way else each for each in book.submissions)
        return replace(book, submissions=tuple(moved))

    def summary(self) -> str:
        """The stage and the batch."""
        if self.stage not in SENDS:
            return f"Submission {self.stage}, batch {self.batch}"
        by = " by its seller" if self.stage is Stage.SENT_BY_SELLER else ""
        return f"Sent{by}{ASKED[self.asks] if self.asks else ''}, batch {self.batch}"


ORDER = tuple(stage.value for stage in Stage)
SENDS = frozenset({Stage.SENT, Stage.SENT_BY_SELLER})
"""Stages with which a submission begins."""
ASKED = {Ask.GRADE: " for a grade", Ask.REVIEW: " for a review", Ask.NEW_HOLDER: " for a new holder"}
