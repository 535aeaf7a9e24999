"""count: the book was looked for when the collection was counted."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Result(StrEnum):
    """What a count found."""

    FOUND = "found"
    NOT_FOUND = "not found"
    DAMAGED = "damaged"


@dataclass(frozen=True, kw_only=True)
class Count(Event):
    """The book was counted: it is where it should be, it is not, or it is there and damaged.

    Keeps: a book that is not found stays in the collection, as missing, until it is found, placed, given out or
    written off by a sale that says lost or stolen.

    Rules: 1 the book should be here; one in other hands is not counted.
    """

    kind: ClassVar[str] = "count"
    title: ClassVar[str] = "Count"
    lane: ClassVar[Lane] = Lane.CARE
    needs_held: ClassVar[bool] = True

    result: Result = fact("Result", "Found, not found, or found damaged.", default=Result.FOUND)
    remark: Sealed[str] = sealed("Remark")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rule 1."""
        if not book.held or book.here:
            return
        under_way = book.open_submission
        by = [each for each in (book.away_by, under_way and under_way.seq) if each]
        sentence = (
            f"The book is {book.status} at that time, so it is not counted. If it is here, write its return first."
        )
        yield self.rule(1, sentence, "result", by)

    def apply(self, book: "Book", at: At) -> "Book":
        """It is missing since the first count that did not find it, or it is not missing."""
        if self.result is not Result.NOT_FOUND:
            return replace(book, missing_since=None)
        return replace(book, missing_since=book.missing_since or at.seq)

    def summary(self) -> str:
        """What the count found."""
        return f"Counted: {SAID[self.result]}"


SAID = {Result.FOUND: "found", Result.NOT_FOUND: "not found", Result.DAMAGED: "found, damaged; examine it"}
