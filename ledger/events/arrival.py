"""arrival: a bought book came, was checked against what was promised, went back, or was paid back."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.money import Money
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Stage(StrEnum):
    """What happened at this point of the way."""

    ARRIVED = "arrived"
    CHECKED = "checked"
    SENT_BACK = "sent back"
    REFUNDED = "refunded"


class AsDescribed(StrEnum):
    """Whether it is what the listing promised."""

    YES = "yes"
    NO = "no"
    NOT_LOOKED = "not looked"


@dataclass(frozen=True, kw_only=True)
class Arrival(Event):
    """The book came, was checked against the listing, went back to the seller, or its price came back.

    Keeps: a book that is sent back has left the collection with that entry; whatever was seen of it stays.

    Rules: 1 only a book under way arrives, or one that its seller sent to a grading service. 2 Only a book that is
    here is checked. 3 Only a book of the collection that is not in other hands is sent back. 4 A refund follows a
    purchase; part of a price may come back for a book that is kept. 5 An amount refunded only with a refund.
    6 "Checked" says whether it is as described.
    """

    kind: ClassVar[str] = "arrival"
    title: ClassVar[str] = "Arrival"
    lane: ClassVar[Lane] = Lane.CUSTODY
    after_sale: ClassVar[bool] = True

    stage: Stage = fact("What happened", default=Stage.ARRIVED)
    as_described: AsDescribed = fact("As described", "Against the listing.", default=AsDescribed.NOT_LOOKED)
    differences: Sealed[str] = sealed("Differences", "What the listing did not say, or said otherwise.")
    refund: Sealed[Money] = sealed("Amount refunded")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 5 and 6."""
        yield from super().flaws()
        if self.refund.value is not None and self.stage is not Stage.REFUNDED:
            yield self.rule(
                5, f"Nothing is paid back when a book is {self.stage}. Write the refund as its own entry.", "refund"
            )
        if self.stage is Stage.CHECKED and self.as_described is AsDescribed.NOT_LOOKED:
            yield self.rule(6, "A check says whether the book is as described. Answer yes or no.", "as_described")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1 to 4."""
        gone = book.status is Status.GONE
        now = "The book has left the collection by that time" if gone else f"The book is {book.status} at that time"
        match self.stage:
            case Stage.ARRIVED if not book.to_come:
                yield self._no_arrival(book, now)
            case Stage.CHECKED if not book.here:
                yield self.rule(2, f"{now}, so it cannot be checked. Write first how it came to be here.", "stage")
            case Stage.SENT_BACK if book.status not in (Status.EXPECTED, Status.HELD):
                yield self.rule(
                    3, f"{now}, so it cannot be sent back. Write its purchase or its return first.", "stage"
                )
            case Stage.REFUNDED if book.status in (Status.NOT_YET, Status.DUPLICATE):
                yield self.rule(4, f"{now}, so nothing is paid back for it. Write its purchase first.", "stage")

    def _no_arrival(self, book: "Book", now: str) -> Problem:
        sent = book.open_submission if book.status is Status.OUT and book.away_by is None else None
        if sent is None:
            return self.rule(1, f"{now}, so it cannot arrive. A purchase that is under way comes first.", "stage")
        sentence = f"The book was sent from here in batch {sent.batch}, so it does not arrive. Write what came of it."
        return self.rule(1, sentence, "stage", [sent.seq])

    def apply(self, book: "Book", at: At) -> "Book":
        """Here once it has arrived; out of the collection once it is sent back."""
        if self.stage is Stage.ARRIVED and book.to_come:
            return replace(book, status=Status.HELD)
        if self.stage is not Stage.SENT_BACK or not book.held:
            return book
        return replace(book.with_ownership_ended(at.seq, self.on), status=Status.SENT_BACK)

    def summary(self) -> str:
        """What happened, and whether it was as described."""
        answer = {AsDescribed.YES: ", as described", AsDescribed.NO: ", not as described"}.get(self.as_described, "")
        return f"{self.stage.capitalize()}{answer}"
