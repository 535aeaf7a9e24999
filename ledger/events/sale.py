"""sale: the book left the collection, by whatever means, and what was told of the work done on it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.events._spelling import digest
from ledger.money import Money
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Means(StrEnum):
    """How a book leaves a collection."""

    SOLD = "sold"
    GIFT = "gift"
    TRADE = "trade"
    LOST = "lost"
    STOLEN = "stolen"
    DESTROYED = "destroyed"


class Disclosed(StrEnum):
    """What the next owner was told."""

    RECORD = "record given"
    WORK = "work told"
    NOTHING = "nothing told"
    NOT_APPLICABLE = "not applicable"


PRICED = frozenset({Means.SOLD, Means.TRADE})
TO_NOBODY = frozenset({Means.LOST, Means.STOLEN, Means.DESTROYED})


@dataclass(frozen=True, kw_only=True)
class Sale(Event):
    """The book left the collection; its chain stays, and goes on should it come back.

    Keeps: it may leave out of other hands too: sold by an agent, lost on the way. A submission still open ends with it.

    Rules: 1 a price only for a book sold or traded. 2 Compensation only for one lost, stolen or destroyed. 3 A record
    is named only when one was given. 4 Of a book that went to nobody, nothing applies. 5 Of a book handed on, "not
    applicable" only when no work was done on it here.
    """

    kind: ClassVar[str] = "sale"
    title: ClassVar[str] = "Sale"
    lane: ClassVar[Lane] = Lane.CUSTODY
    needs_held: ClassVar[bool] = True

    means: Means = fact("Means", "How it left the collection.", default=Means.SOLD)
    disclosed: Disclosed = fact("Disclosed", "What the next owner was told of the work done.")
    record: str | None = digest("Record given", "The statement of the disclosure record.", default=None)
    price: Sealed[Money] = sealed("Price", "What the buyer paid, or the agreed worth of what was traded for it.")
    fees: Sealed[Money] = sealed("Fees", "What venue, agent and carriage took of it.")
    compensation: Sealed[Money] = sealed("Compensation", "What an insurer or carrier paid.")
    buyer: Sealed[str] = sealed("Buyer", "Who has it now.")
    venue: Sealed[str] = sealed("Venue", "Shop, fair, auction or site.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 4."""
        yield from super().flaws()
        if self.price.value is not None and self.means not in PRICED:
            yield self.rule(1, f"Nobody pays a price for a book that is {LEFT[self.means]}. Leave it out.", "price")
        if self.compensation.value is not None and self.means not in TO_NOBODY:
            sentence = "Compensation is paid for a book lost, stolen or destroyed. Write what was paid as the price."
            yield self.rule(2, sentence, "compensation")
        if self.record is not None and self.disclosed is not Disclosed.RECORD:
            yield self.rule(3, "A record is named, so it was given. Say record given, or leave it out.", "disclosed")
        if self.means in TO_NOBODY and self.disclosed is not Disclosed.NOT_APPLICABLE:
            sentence = f"A book that is {LEFT[self.means]} was handed to nobody who could be told. Say not applicable."
            yield self.rule(4, sentence, "disclosed")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rule 5."""
        untold = self.disclosed is Disclosed.NOT_APPLICABLE and self.means not in TO_NOBODY
        if untold and book.work:
            sentence = (
                "Work was done on this book here, so it matters what was told. Say so; nothing told is an answer."
            )
            yield self.rule(5, sentence, "disclosed", [each.seq for each in book.work])

    def apply(self, book: "Book", at: At) -> "Book":
        """It has left the collection."""
        if not book.held:
            return book
        return replace(book.with_ownership_ended(at.seq, self.on), status=Status.GONE)

    def summary(self) -> str:
        """How it left, and what was told."""
        told = TOLD.get(self.disclosed, "")
        return LEFT[self.means].capitalize() + (f"; {told}" if told else "")


LEFT = {
    Means.SOLD: "sold",
    Means.GIFT: "given away",
    Means.TRADE: "traded",
    Means.LOST: "lost",
    Means.STOLEN: "stolen",
    Means.DESTROYED: "destroyed",
}
TOLD = {
    Disclosed.RECORD: "a record was given",
    Disclosed.WORK: "the work done was told",
    Disclosed.NOTHING: "nothing was told of work done",
}
