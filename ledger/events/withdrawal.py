"""withdrawal: an entry, or a whole duplicate book, is out of force, with a reason; it stays visible."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, NotUnderstood, Scope, fact, sealed, with_article
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.collection import Collection
    from ledger.entry import Entry


@dataclass(frozen=True, kw_only=True)
class Withdrawal(Event):
    """An entry is out of force from now on, or the whole book turns out to be the same copy as another.

    Rules: 1 it names an entry or another book, not both; on the collection itself an entry. 2 The entry stands in the
    same chain. 3 The entry can be withdrawn. 4 It is in force, and so is the book. 5 A book is not the same copy as
    itself. 6 The other book is there, and was not withdrawn as a duplicate itself. 7 What it leaves of a corrected entry
    is what its kind would take.
    """

    kind: ClassVar[str] = "withdrawal"
    title: ClassVar[str] = "Withdrawal"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.EITHER
    after_sale: ClassVar[bool] = True

    entry: int | None = fact(
        "Entry", "Number of the entry that is withdrawn; null when the whole book is.", default=None, ge=1
    )
    same_as: str | None = fact("Same copy as", "Id of the book this one duplicates.", default=None, max_length=64)
    reason: Sealed[str] = sealed("Reason", "Why it is withdrawn.", shown=True)

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1, 4 and 5."""
        if (self.entry is None) == (self.same_as is None):
            yield self.rule(1, "Name the entry to withdraw, or the book this one is the same copy as.", "entry")
        if self.same_as == book.id:
            yield self.rule(5, "A book is not a duplicate of itself. Name the other one.", "same_as")
        if self.same_as is not None and book.status is Status.DUPLICATE:
            sentence = f"This book was withdrawn before, as the same copy as {book.same_as}. Once is enough."
            yield self.rule(4, sentence, "same_as")

    def check_collection(self, collection: "Collection") -> Iterator[Problem]:
        """Rule 1."""
        if self.entry is None or self.same_as is not None:
            yield self.rule(1, "Name the entry to withdraw; the collection itself is no copy of a book.", "entry")

    def mends(self, target: "Entry | None", withdrawn_by: int | None) -> Iterator[Problem]:
        """The rules it breaks on the entry it names."""
        if target is None:
            yield self.rule(2, f"Entry {self.entry} is not one of this book's entries. Name one of them.", "entry")
        elif target.event.kind in NOT_WITHDRAWN:
            yield self.rule(3, stands(target.event), "entry", [target.seq])
        elif withdrawn_by is not None:
            yield self.rule(
                4, f"Entry {self.entry} is already withdrawn by entry {withdrawn_by}.", "entry", [withdrawn_by]
            )

    def apply(self, book: "Book", at: At) -> "Book":
        """A duplicate is no longer a book of its own."""
        return replace(book, status=Status.DUPLICATE, same_as=self.same_as) if self.same_as else book

    def summary(self) -> str:
        """What is out of force."""
        return f"Withdraws entry {self.entry}" if self.entry else "The same copy as another book"


NOT_WITHDRAWN = frozenset({"erasure", "key", "disclosure", "restored", NotUnderstood.kind})
"""Kinds that cannot be unsaid: the deed is done, or only a newer program knows what it was."""


def stands(event: Event) -> str:
    """Why an entry is not mended, and what to do instead."""
    if isinstance(event, NotUnderstood):
        return "A newer program wrote this entry. Mend it with that one."
    return f"{with_article(event.kind).capitalize()} stands, for what it tells was done. Write a note beside it."
