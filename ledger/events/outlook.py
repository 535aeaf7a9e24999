"""outlook: a forecast of the grade, as weights over the steps, recorded before the result is known."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, fact, sealed
from ledger.events._spelling import short_id
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.book import Book

WHOLE = 1000


class Origin(StrEnum):
    """Whose weights they are."""

    OWN = "own"
    COMPUTED = "computed"


class OutlookStage(StrEnum):
    """Where the book stood when it was made."""

    AT_PURCHASE = "at purchase"
    RAW = "raw"
    AFTER_WORK = "after work"
    BEFORE_SENDING = "before sending"


@dataclass(frozen=True, kw_only=True)
class Weight:
    """How likely one step is held to be."""

    grade: Grade = fact("Grade")
    per_mille: int = fact("Weight", "Units: thousandths; all weights together are 1000.", ge=1, le=1000)


@dataclass(frozen=True, kw_only=True)
class ValueUsed:
    """What a book of one grade was taken to be worth."""

    grade: Grade = fact("Grade")
    value: Money = fact("Value")


@dataclass(frozen=True, kw_only=True)
class Outlook(Event):
    """A forecast of the grade the book would be given.

    Keeps: one made for a submission whose outcome stands before it is kept apart as late and never scored. One that is
    dated back before the outcome but recorded after it shows by its number, which is greater than the outcome's.

    Rules: 1 the weights are 1000 thousandths together. 2 No grade has two weights. 3 No grade has two values, and none
    is below zero.
    """

    kind: ClassVar[str] = "outlook"
    title: ClassVar[str] = "Outlook"
    lane: ClassVar[Lane] = Lane.WORK

    weights: tuple[Weight, ...] = fact(
        "Weights", "Over the steps of the ten-point scale; together they make 1000.", min_length=1, max_length=25
    )
    origin: Origin = fact("Origin", "The collector's own weights, or computed ones.", default=Origin.OWN)
    ceiling: Grade | None = fact("Ceiling then", "Best grade the remaining defects allowed.", default=None)
    stage: OutlookStage = fact("Stage", default=OutlookStage.RAW)
    for_batch: str | None = short_id("For submission", "The batch it is meant for.", default=None)
    values_used: Sealed[tuple[ValueUsed, ...]] = sealed("Values used", "What each grade was taken to be worth.")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1, 2 and 3."""
        yield from super().flaws()
        total = sum(weight.per_mille for weight in self.weights)
        if total != WHOLE:
            yield self.rule(
                1, f"The weights are {total} thousandths together, not 1000. Share out the rest.", "weights"
            )
        for place in _again([weight.grade for weight in self.weights]):
            grade = self.weights[place].grade
            yield self.rule(2, f"Grade {grade} has two weights. Put them into one.", f"weights.{place}.grade")
        values = self.values_used.value or ()
        for place in _again([used.grade for used in values]):
            grade = values[place].grade
            yield self.rule(3, f"Grade {grade} has two values. Keep the one used.", f"values_used.{place}.grade")
        for place, used in enumerate(values):
            if used.value.minor < 0:
                yield self.rule(3, "A value is zero or more. Take off the sign.", f"values_used.{place}.value")

    def apply(self, book: "Book", at: At) -> "Book":
        """One outlook more; apart, if the outcome it speaks of was there before."""
        known = any(sent.batch == self.for_batch and not sent.open for sent in book.submissions)
        if known:
            return replace(book, late_outlooks=(*book.late_outlooks, at.seq))
        return replace(book, outlooks=(*book.outlooks, at.seq))

    def summary(self) -> str:
        """The likeliest grade, and whose forecast it is."""
        best = max(self.weights, key=lambda weight: (weight.per_mille, -weight.grade.step), default=None)
        words = f"Outlook, {self.origin}, {self.stage}"
        words += f": {best.grade} most likely" if best else ""
        return words + (f", ceiling {self.ceiling}" if self.ceiling else "")


def _again(grades: list[Grade]) -> list[int]:
    """Places of grades that stand earlier in the list too."""
    return [place for place, grade in enumerate(grades) if grade in grades[:place]]
