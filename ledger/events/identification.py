"""identification: better facts on which issue the book is."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._parts import Issue
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


@dataclass(frozen=True, kw_only=True)
class Identification(Event):
    """It is now known better which issue the book is, or what was thought has been confirmed.

    Keeps: the whole issue as known from now on; what an earlier entry said of it stays in that entry.

    Rules: none of its own; it may come before the purchase, and an issue that stays as it was is a confirmation.
    """

    kind: ClassVar[str] = "identification"
    title: ClassVar[str] = "Identification"
    lane: ClassVar[Lane] = Lane.PAPERS

    issue: Issue = fact("Issue", "The whole issue as now known.")
    how: str = text("How it was told", "By indicia, printing marks, comparison with another copy; no names.")
    remark: Sealed[str] = sealed("Remark", shown=True)

    def apply(self, book: "Book", at: At) -> "Book":
        """It is this issue."""
        return replace(book, issue=self.issue)

    def summary(self) -> str:
        """Which issue, and how that was told."""
        year = f" ({self.issue.start_year})" if self.issue.start_year else ""
        printing = f", printing {self.issue.printing}" if self.issue.printing else ""
        variant = f", {self.issue.variant}" if self.issue.variant else ""
        return f"Identified as {self.issue}{year}{printing}{variant}; told by {self.how}"
