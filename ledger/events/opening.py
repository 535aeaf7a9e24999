"""opening: a book was taken out of its sealed holder; the grade on the holder is in force no longer."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.events._parts import Holding
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book


class HolderCondition(StrEnum):
    """How the holder was before it was opened."""

    INTACT = "intact"
    CRACKED = "cracked"
    NOT_STATED = "not stated"


@dataclass(frozen=True, kw_only=True)
class Opening(Event):
    """The book was taken out of its sealed holder.

    Keeps: every grade in force ends with it, and stays in the book's history as a past opinion.

    Rules: 1 the book is slabbed at that time, not raw. 2 Whether it is slabbed is stated. 3 The book is here, or other
    hands opened it. 4 A photograph of the seal is named by its digest, once.
    """

    kind: ClassVar[str] = "opening"
    title: ClassVar[str] = "Opening"
    lane: ClassVar[Lane] = Lane.WORK
    needs_held: ClassVar[bool] = True

    condition: HolderCondition = fact("Holder before", default=HolderCondition.NOT_STATED)
    seal_photographs: tuple[str, ...] = fact(
        "Photographs of the seal", "SHA-256 of each clean picture, 64 hex digits.", default=(), max_length=12
    )
    by_other_hands: bool = fact("By other hands", "Somebody else opened it, not the collector.", default=False)
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rule 4."""
        yield from super().flaws()
        for place, digest in enumerate(self.seal_photographs):
            hexadecimal = len(digest) == 64 and set(digest) <= set("0123456789abcdef")  # noqa: PLR2004  (SHA-256)
            if not hexadecimal or digest in self.seal_photographs[:place]:
                yield self.rule(
                    4,
                    "Name a photograph by its SHA-256, 64 lower hex digits, each one once.",
                    f"seal_photographs.{place}",
                )

    def check(self, book: "Book") -> Iterator[Problem]:
        """Rules 1, 2 and 3."""
        if not book.held:
            return
        if book.holding is Holding.RAW:
            yield self.rule(1, "The book is raw at that time, so there is no holder to open. Check the date.", "on")
        elif book.holding is not Holding.SLABBED:
            taken = book.ownerships[-1].taken_by
            yield self.rule(
                2, f"Entry {taken} does not say that the book is slabbed. Correct that entry first.", "", [taken]
            )
        if not book.here and not self.by_other_hands:
            yield self.rule(
                3,
                f"The book is {book.status}. Write its return first, or say other hands opened it.",
                "by_other_hands",
            )

    def apply(self, book: "Book", at: At) -> "Book":
        """It is raw, and no grade is in force."""
        return replace(book.with_grades_ended(at.seq), holding=Holding.RAW, openings=book.openings + 1)

    def summary(self) -> str:
        """That it was opened, and how the holder was."""
        known = self.condition is not HolderCondition.NOT_STATED
        by = " by other hands" if self.by_other_hands else ""
        return f"Opened{by}: taken out of its holder" + (f", which was {self.condition}" if known else "")
