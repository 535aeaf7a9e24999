"""valuation: what the book was held to be worth on a day, for which purpose, and how that was found."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed, SealState
from ledger.when import When

if TYPE_CHECKING:
    from ledger.book import Book


class Purpose(StrEnum):
    """What a value is for; the two differ on purpose."""

    MARKET = "market"
    INSURANCE = "insurance"


class Method(StrEnum):
    """How a value was found."""

    COMPARABLES = "comparables"
    OWN_JUDGEMENT = "own judgement"
    APPRAISER = "licensed appraiser"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True)
class Comparable:
    """One sale of the same issue that the value rests on."""

    on: When | None = fact("Sold", "When it was sold; null is not known.", default=None)
    grade: Grade | None = fact("Grade", "Its step; null when it had none.", default=None)
    price: Money = fact("Price", "What was paid.")
    where: str | None = fact("Where", "Venue or listing.", default=None, max_length=200)


@dataclass(frozen=True, kw_only=True)
class Valuation(Event):
    """The book was held to be worth this much, for one purpose.

    Rules: 1 an amount is given. 2 It is valid until a day that is not before it was made. 3 A value from comparables
    names at least one, and only such a value names any. 4 No comparable was sold after it. 5 No price below zero.
    """

    kind: ClassVar[str] = "valuation"
    title: ClassVar[str] = "Valuation"
    lane: ClassVar[Lane] = Lane.PAPERS
    needs_held: ClassVar[bool] = True

    purpose: Purpose = fact("Purpose", "What it would fetch, or what replacing it would cost.", default=Purpose.MARKET)
    method: Method = fact("Method", "How the value was found.")
    at_grade: Grade | None = fact(
        "Valued at grade", "The step it was valued at; null when none was taken.", default=None
    )
    valid_until: When | None = fact("Valid until", "When it is to be made anew; null is not fixed.", default=None)
    amount: Sealed[Money] = sealed("Amount", "What it is held to be worth.")
    comparables_used: Sealed[tuple[Comparable, ...]] = sealed("Comparables used", "The sales it rests on.")
    appraiser: Sealed[str] = sealed("Valued by", "Name and licence of an appraiser.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 5."""
        yield from super().flaws()
        if self.amount.empty:
            yield self.rule(1, "A valuation says an amount. Write what the book is held to be worth.", "amount")
        if self.on is not None and self.valid_until is not None and self.valid_until.certainly_before(self.on):
            yield self.rule(2, "It would be out of date before it was made. Check both dates.", "valid_until")
        yield from self._comparable_flaws()

    def _comparable_flaws(self) -> Iterator[Problem]:
        used = self.comparables_used.value or ()
        if self.method is Method.COMPARABLES and self.comparables_used.state is SealState.OPEN and not used:
            yield self.rule(3, "Name the sales this value rests on, or choose another method.", "comparables_used")
        if self.method is not Method.COMPARABLES and used:
            yield self.rule(3, f"Sales are named, and the method is {self.method}. Say comparables.", "method")
        for place, each in enumerate(used):
            where = f"comparables_used.{place}"
            if self.on is not None and each.on is not None and self.on.certainly_before(each.on):
                sentence = f"This sale of {each.on.label()} came after the valuation. Leave it out, or check the dates."
                yield self.rule(4, sentence, f"{where}.on")
            if each.price.minor < 0:
                yield self.rule(5, "A price is zero or more. Write what was paid.", f"{where}.price")

    def apply(self, book: "Book", at: At) -> "Book":
        """One more valuation of it."""
        return replace(book, valuations=(*book.valuations, at.seq))

    def summary(self) -> str:
        """Purpose, method and the day it ends."""
        words = f"Valued for the {self.purpose}" if self.purpose is Purpose.MARKET else "Valued for insurance"
        words += f", by {METHODS[self.method]}" if self.method in METHODS else ""
        return words + (f", valid until {self.valid_until.label()}" if self.valid_until else "")


METHODS = {
    Method.COMPARABLES: "comparables",
    Method.OWN_JUDGEMENT: "own judgement",
    Method.APPRAISER: "a licensed appraiser",
}
