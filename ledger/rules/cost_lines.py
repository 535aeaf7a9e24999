"""The sums that a book's cost is made of: what each was for, what is not known, and the period they belong to."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from ledger.events.purchase import Means as Came
from ledger.events.sale import Means as Left
from ledger.events.valuation import Method, Purpose
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.when import When

__all__ = ["SIGN", "Gap", "Line", "Part", "Period", "Side", "Why", "Worth", "signed"]


class Side(StrEnum):
    """Whether a sum is part of what the book cost, or of what came in for it when it left."""

    BASIS = "basis"
    PROCEEDS = "proceeds"


class Part(StrEnum):
    """What a sum was for."""

    PRICE = "price"
    PREMIUM = "premium"
    TAX = "tax"
    SHIPPING = "shipping"
    WORK = "work"
    GRADING = "grading"
    POSTAGE = "postage"
    OTHER_HANDS = "other hands"
    REFUND = "refund"
    DAMAGE_PAID = "damage paid"
    UNDONE = "undone sale"
    SALE_PRICE = "sale price"
    SALE_FEES = "sale fees"
    LOSS_PAID = "loss paid"

    @property
    def side(self) -> Side:
        """What it counts towards."""
        return Side.PROCEEDS if self in (Part.SALE_PRICE, Part.SALE_FEES, Part.LOSS_PAID) else Side.BASIS

    @property
    def taken_off(self) -> bool:
        """Whether it is taken off its side."""
        return self in (Part.REFUND, Part.DAMAGE_PAID, Part.UNDONE, Part.SALE_FEES)


SIGN: Final[Mapping[Part, int]] = MappingProxyType({part: -1 if part.taken_off else 1 for part in Part})
"""Whether it adds to its side or is taken off it."""


class Why(StrEnum):
    """Why a sum that matters is not there."""

    NOT_ENTERED = "not entered"
    ERASED = "erased"
    WITHHELD = "withheld"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One sum as it was entered, in its own currency."""

    seq: int
    on: When | None
    part: Part
    amount: Money
    batch: str | None = None
    """Of a fee for grading: the batch it is of."""
    expected: bool = False
    """A fee as quoted, for which no outcome has named the real one."""


@dataclass(frozen=True, kw_only=True)
class Gap:
    """A sum that is not known, so that what it belongs to is not known either."""

    seq: int
    on: When | None
    part: Part
    why: Why


@dataclass(frozen=True, kw_only=True)
class Worth:
    """What the book was last held to be worth for one purpose; no amount where it was erased or withheld."""

    seq: int
    on: When | None
    purpose: Purpose
    method: Method
    amount: Money | None
    at_grade: Grade | None
    valid_until: When | None


@dataclass(frozen=True, kw_only=True)
class Period:
    """One time in the collection: what it cost, what came in when it ended, what is not known, what it was worth."""

    taken_by: int
    since: When | None
    came: Came
    left_by: int | None = None
    until: When | None = None
    left: str | None = None
    """How it left; null while it is in the collection."""
    lines: tuple[Line, ...] = ()
    gaps: tuple[Gap, ...] = ()
    market: Worth | None = None
    insurance: Worth | None = None

    @property
    def held(self) -> bool:
        """It has not ended."""
        return self.left_by is None

    @property
    def gives(self) -> bool:
        """A gain or a loss is made when it ends: not by giving the book away."""
        return self.left not in (None, Left.GIFT.value)


def signed(lines: Sequence[Line], side: Side) -> Iterator[tuple[Line, int]]:
    """The lines of one side, each with the amount it adds, negative where it is taken off. Units: smallest units."""
    for line in lines:
        if line.part.side is side:
            yield line, SIGN[line.part] * line.amount.minor
