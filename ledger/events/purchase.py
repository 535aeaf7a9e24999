"""purchase: a book came into the collection, by whatever means; what is its own, what was said of it, what it cost."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from ledger.book import GradeStep, Ownership, Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._parts import Holding, Issue, StatedGrade
from ledger.money import Money
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Means(StrEnum):
    """How a book comes into a collection."""

    BOUGHT = "bought"
    GIFT = "gift"
    TRADE = "trade"
    INHERITANCE = "inheritance"
    FOUND = "found"
    RECEIVED = "received with a record"
    CAME_BACK = "came back"
    """An earlier sale, loss or theft was undone: the ownership from before goes on."""


class EarlierWork(StrEnum):
    """What the seller says on work done before."""

    STATED = "stated"
    DENIED = "denied"
    NOTHING_SAID = "nothing said"


WITHOUT_PRICE = frozenset({Means.GIFT, Means.INHERITANCE, Means.FOUND})


@dataclass(frozen=True, kw_only=True)
class Purchase(Event):
    """The book came into the collection.

    Keeps: what was paid may be in another currency than what was paid on top of it; nothing is converted here.

    Rules: 1 the book is not in the collection at that time. 2 "Came back" only after it has left. 3 A holder number
    only with a slabbed book. 4 The steps of a stated grade follow one another upwards. 5 No price for a gift, an
    inheritance or a find. 6 A book withdrawn as a duplicate does not come in.
    """

    kind: ClassVar[str] = "purchase"
    title: ClassVar[str] = "Purchase"
    lane: ClassVar[Lane] = Lane.CUSTODY
    after_sale: ClassVar[bool] = True

    means: Means = fact("Means", "How it came into the collection.", default=Means.BOUGHT)
    issue: Issue = fact("Issue", "What was printed.")
    holding: Holding = fact("Raw or slabbed", default=Holding.NOT_STATED)
    holder_number: str | None = text("Holder number", "As it stands on the holder.", most=40, default=None)
    stated: StatedGrade | None = fact("Stated grade", "The opinion it came with.", default=None)
    earlier_work: EarlierWork = fact(
        "Seller on earlier work", "What was said of work done before.", default=EarlierWork.NOTHING_SAID
    )
    expects_arrival: bool = fact("Under way", "It is not in hand yet; an arrival follows.", default=False)
    price: Sealed[Money] = sealed(
        "Price", "What the seller asked and got, or the agreed worth of what was given for it."
    )
    premium: Sealed[Money] = sealed("Premium", "What the venue took on top.")
    tax: Sealed[Money] = sealed("Tax")
    shipping: Sealed[Money] = sealed("Shipping")
    fair_value_then: Sealed[Money] = sealed("Fair value then", "What it was worth on that day, whatever was paid.")
    seller: Sealed[str] = sealed("Seller")
    venue: Sealed[str] = sealed("Venue", "Shop, fair, auction or site.")
    reason: Sealed[str] = sealed("Reason", "Why this copy.")
    stated_by: Sealed[str] = sealed("Grade stated by", "Service or person whose opinion it is.", shown=True)
    earlier_work_words: Sealed[str] = sealed("Words on earlier work", "As the seller put them.", shown=True)

    def flaws(self) -> Iterator[Problem]:
        """Rules 3, 4 and 5."""
        yield from super().flaws()
        if self.holder_number is not None and self.holding is not Holding.SLABBED:
            yield self.rule(
                3,
                f"A holder number belongs to a slabbed book, and this one is {self.holding}. Say slabbed, or omit it.",
                "holder_number",
            )
        steps = [grade.step for grade in self.stated.steps] if self.stated else []
        if any(later != step + 1 for step, later in pairwise(steps)):
            yield self.rule(
                4,
                "A stated grade means one step, or steps that follow one another, the lowest first.",
                "stated.steps",
            )
        if self.means in WITHOUT_PRICE and self.price.value is not None:
            yield self.rule(
                5,
                f"Nothing is paid for a book by {self.means}. Write what it was worth as the fair value then.",
                "price",
            )

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1, 2 and 6."""
        if book.held:
            taken = [book.ownerships[-1].taken_by] if book.ownerships else []
            sentence = "The book is in the collection already. Write a sale first, or correct the purchase that stands."
            yield self.rule(1, sentence, "on", taken)
        elif book.status is Status.DUPLICATE:
            yield self.rule(6, "This book was withdrawn as a duplicate. Write the purchase of the other one.")
        elif self.means is Means.CAME_BACK and book.status is Status.NOT_YET:
            yield self.rule(2, "A book comes back only after it has left. Say how it first came in.", "means")

    def apply(self, book: "Book", at: At) -> "Book":
        """It is in the collection; what is stated of it is its last stated grade."""
        back = self.means is Means.CAME_BACK and bool(book.ownerships)
        as_known = (back and self.holding is Holding.NOT_STATED) or self._in_the_holder_known(book)
        book = book if as_known else book.with_grades_ended(at.seq)
        return replace(
            book,
            status=Status.EXPECTED if self.expects_arrival else Status.HELD,
            issue=self.issue,
            holding=book.holding if as_known else self.holding,
            holder_number=book.holder_number if as_known else self.holder_number,
            stated=self.stated or book.stated,
            grades=(*book.grades, *self._grade_step(at)),
            ownerships=self._ownerships(book, at, back=back),
            earlier_work=book.earlier_work if back else self.earlier_work.value,
            choice=book.choice if back else None,
        )

    def _grade_step(self, at: At) -> tuple[GradeStep, ...]:
        if self.stated is None:
            return ()
        return (
            GradeStep(
                seq=at.seq, on=self.on, stated=self.stated, holder_number=self.holder_number, own_submission=False
            ),
        )

    def _in_the_holder_known(self, book: "Book") -> bool:
        slabbed = self.holding is Holding.SLABBED is book.holding
        return slabbed and self.holder_number == book.holder_number

    def _ownerships(self, book: "Book", at: At, *, back: bool) -> tuple[Ownership, ...]:
        if back:
            return (*book.ownerships[:-1], replace(book.ownerships[-1], left_by=None, until=None))
        return (*book.ownerships, Ownership(taken_by=at.seq, since=self.on))

    def summary(self) -> str:
        """How it came, what it is, and the grade it came with."""
        words = f"{self.means.capitalize()}: {self.issue}"
        words += f", {self.holding}" if self.holding is not Holding.NOT_STATED else ""
        words += f", stated grade {self.stated}" if self.stated else ""
        return words + (", under way" if self.expects_arrival else "")
