"""choice: after a look the collector goes on working, stops, or leaves the book alone."""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Next(StrEnum):
    """What happens with the book next."""

    GO_ON = "go on"
    STOP = "stop"
    LEAVE_ALONE = "leave alone"


@dataclass(frozen=True, kw_only=True)
class Choice(Event):
    """The collector chose to go on working, to stop, or to leave the book alone.

    Rules: none of its own; the book is in the collection at that time.
    """

    kind: ClassVar[str] = "choice"
    title: ClassVar[str] = "Choice"
    lane: ClassVar[Lane] = Lane.WORK
    needs_held: ClassVar[bool] = True

    next: Next = fact("Next", "Go on working, stop here, or leave the book alone.")
    why: Sealed[str] = sealed("Why", shown=True)

    def apply(self, book: "Book", at: At) -> "Book":
        """The last choice stands."""
        return replace(book, choice=self.next.value)

    def summary(self) -> str:
        """The choice."""
        return f"Chose to {self.next}"
