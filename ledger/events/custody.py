"""custody: the book went into other hands, or came back from them; whose it is does not change."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.book import Status
from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.money import Money
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.book import Book


class Direction(StrEnum):
    """Out of the house, or back."""

    OUT = "out"
    BACK = "back"


class Hands(StrEnum):
    """Into whose hands a book goes, as a trade; the name is sealed."""

    CONSERVATOR = "conservator or restorer"
    FRAMER = "framer"
    PHOTOGRAPHER = "photographer"
    FAMILY = "family"
    EXHIBITION = "exhibition"
    SAFE_DEPOSIT = "safe deposit"
    OTHER = "other hands"


@dataclass(frozen=True, kw_only=True)
class Custody(Event):
    """The book is in other hands for a time, or is back from them.

    Rules: 1 a book that goes out is here. 2 A book comes back from hands it was given into. 3 Out says into what kind
    of hands. 4 It is due back after it went out, and only then.
    """

    kind: ClassVar[str] = "custody"
    title: ClassVar[str] = "Custody"
    lane: ClassVar[Lane] = Lane.CUSTODY
    needs_held: ClassVar[bool] = True

    direction: Direction = fact("Direction", "Out into other hands, or back from them.")
    to_whom: Hands | None = fact("Hands", "What kind of hands; no name here.", default=None)
    due_back: When | None = fact("Due back", "When it is to come back; null is not agreed.", default=None)
    who: Sealed[str] = sealed("Who", "Name and address.")
    insured_for: Sealed[Money] = sealed("Insured for", "What would be paid if it did not come back.")
    cost: Sealed[Money] = sealed("Cost", "Carriage, rent or fee.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 3 and 4."""
        yield from super().flaws()
        if self.direction is Direction.OUT and self.to_whom is None:
            yield self.rule(3, "Say what kind of hands it went into; if none fits, other hands.", "to_whom")
        if self.due_back is None:
            return
        if self.direction is Direction.BACK:
            yield self.rule(4, "It is back, so nothing is due. Leave the date out.", "due_back")
        elif self.on is not None and self.due_back.certainly_before(self.on):
            yield self.rule(4, "It would be due back before it went out. Check both dates.", "due_back")

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1 and 2."""
        if not book.held:
            return
        if self.direction is Direction.OUT and not book.here:
            sentence = f"The book is {book.status} at that time. Write its arrival or return first."
            under_way = book.open_submission
            yield self.rule(
                1, sentence, "direction", [each for each in (book.away_by, under_way and under_way.seq) if each]
            )
        if self.direction is Direction.BACK and book.away_by is None:
            sentence = (
                "The book was not given into other hands before. Write that first; after grading, write the outcome."
            )
            yield self.rule(2, sentence, "direction")

    def apply(self, book: "Book", at: At) -> "Book":
        """It is away from its spot in other hands, or here."""
        if not book.held:
            return book
        if self.direction is Direction.OUT:
            away = replace(book, spot=None, placed_by=None, placed_on=None, missing_since=None)
            return replace(away, status=Status.OUT, away_by=at.seq)
        return replace(book, status=Status.HELD, away_by=None) if book.away_by is not None else book

    def summary(self) -> str:
        """Which way, what hands, and when it is due."""
        if self.direction is Direction.BACK:
            return "Back" + (f" from: {self.to_whom}" if self.to_whom else " from other hands")
        due = f", due back {self.due_back.label()}" if self.due_back else ""
        return f"In the hands of: {self.to_whom or Hands.OTHER}{due}"
