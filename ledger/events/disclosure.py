"""disclosure: a record of the book was made for somebody; what it stated and which sealed fields it opened."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.events._spelling import digest
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


@dataclass(frozen=True, kw_only=True)
class Opened:
    """One sealed field that the record shows."""

    entry: int = fact("Entry", "Number of the entry.", ge=1)
    name: str = fact("Field", "Name of the sealed field.", min_length=1, max_length=60)


@dataclass(frozen=True, kw_only=True)
class Disclosure(Event):
    """A disclosure record of the book was made; it ends with this entry and the checkpoint signed after it.

    Keeps: it cannot be unsaid, since the record is in other hands.

    Rules: 1 a field is opened once. 2 The book has been in the collection.
    """

    kind: ClassVar[str] = "disclosure"
    title: ClassVar[str] = "Disclosure"
    lane: ClassVar[Lane] = Lane.PAPERS
    after_sale: ClassVar[bool] = True

    statement: str = digest("Statement", "The statement that heads the record.")
    opened: tuple[Opened, ...] = fact(
        "Fields opened", "Every sealed field the record shows.", default=(), max_length=10_000
    )
    previous_head: str = digest("Previous head", "Leaf of the book's entry before this one.")
    recipient: Sealed[str] = sealed("Recipient", "For whom it was made.")

    def flaws(self) -> Iterator[Problem]:
        """Rule 1."""
        yield from super().flaws()
        seen: set[Opened] = set()
        for place, each in enumerate(self.opened):
            if each in seen:
                sentence = f"{each.name} of entry {each.entry} is opened twice. Name it once."
                yield self.rule(1, sentence, f"opened.{place}")
            seen.add(each)

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rule 2."""
        if not book.ownerships:
            yield self.rule(
                2, "The book is not in the collection yet, so there is nothing to disclose. Write its purchase.", "on"
            )

    def apply(self, book: "Book", at: At) -> "Book":
        """One more record of it is in other hands."""
        return replace(book, disclosures=(*book.disclosures, at.seq))

    def summary(self) -> str:
        """How much the record opened, and the first digits of its statement."""
        count = len(self.opened)
        fields = {0: "no sealed field", 1: "one sealed field"}.get(count, f"{count} sealed fields")
        return f"Record made, {fields} shown; statement {self.statement[:8]}"
