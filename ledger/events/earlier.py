"""earlier: a record that an earlier owner made of the book was received and checked."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed, text
from ledger.events._spelling import digest
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class Verdict(StrEnum):
    """What checking a received record came to."""

    WHOLE = "whole"
    UNKNOWN_SIGNER = "whole, signer not known"
    """It holds together, and no key from elsewhere was at hand to see who signed it."""
    UNSIGNED = "whole but unsigned"
    BROKEN = "broken"
    NOT_CHECKED = "not checked"


@dataclass(frozen=True, kw_only=True)
class Earlier(Event):
    """A record from an earlier owner is at hand, and this is what checking it came to.

    Keeps: its facts stay its maker's; none of them becomes a fact of this ledger by being received. It may come before
    the book or long after it.

    Rules: 1 a whole, signed record says whose checkpoint signs it and at what size. 2 Size and origin come together.
    """

    kind: ClassVar[str] = "earlier"
    title: ClassVar[str] = "Earlier record"
    lane: ClassVar[Lane] = Lane.PAPERS

    record: str = digest("Record", "SHA-256 of the record file.")
    verdict: Verdict = fact("Verdict", "What checking it came to.")
    origin: str | None = text("Origin", "First line of its checkpoint: which ledger signed it.", default=None)
    size: int | None = fact("Size", "Entries that ledger had at its checkpoint.", default=None, ge=1)
    from_whom: Sealed[str] = sealed("From whom", "Who gave it.")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 and 2."""
        yield from super().flaws()
        if (self.origin is None) != (self.size is None):
            missing = "origin" if self.origin is None else "size"
            yield self.rule(2, "A checkpoint has an origin and a size. Give both, or neither.", missing)
        elif self.verdict is Verdict.WHOLE and self.origin is None:
            sentence = "A whole, signed record has a checkpoint. Give its origin and size, or say that it is unsigned."
            yield self.rule(1, sentence, "origin")

    def apply(self, book: "Book", at: At) -> "Book":
        """One more earlier record of it is at hand."""
        return replace(book, earlier_records=(*book.earlier_records, at.seq))

    def summary(self) -> str:
        """The verdict and the first digits of the record."""
        return f"Earlier record {self.record[:8]}: {self.verdict}"
