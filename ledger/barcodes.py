"""A printed barcode, typed or photographed: its digits, its check digit, and what the digits beside it are mostly taken for.

The number says who printed and which series. The two or five digits beside it are kept as text: what they stand for is no
standard, so what is made of them is only a proposal.
"""

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Protocol

from ledger.errors import MalformedError

__all__ = ["TYPED_MOST", "Barcode", "BarcodeReader", "Proposal", "check_digit", "proposal_of", "read_barcode"]

TYPED_MOST: Final = 60
"""Characters of a barcode as somebody types it."""
_UPC: Final = 12
_EAN: Final = 13
_ADD_ONS: Final = (0, 2, 5)
"""Digits beside the code. Source: GS1 General Specifications section 5.2.1, two-digit and five-digit add-on symbols."""
_BETWEEN: Final = re.compile(r"[\s+\-.>]+")
_WEIGHT: Final = 3
_WHAT: Final = "The barcode"
_COUNT: Final = "Type the 12 digits of the code, and the 2 or 5 smaller ones beside it if there are any."


@dataclass(frozen=True, kw_only=True)
class Barcode:
    """The digits of a code with 12 (UPC-A) or 13 (EAN-13) of them, and those beside it, none, two or five."""

    number: str
    add_on: str = ""

    @property
    def code(self) -> str:
        """Its one spelling, by which it is kept and asked for."""
        return f"{self.number}-{self.add_on}" if self.add_on else self.number

    def __str__(self) -> str:
        """As it stands below the bars."""
        at = (1, 6, 11) if len(self.number) == _UPC else (1, 7)
        edges = (0, *at, len(self.number))
        parts = [self.number[start:end] for start, end in pairwise(edges)]
        return " ".join([*parts, *([self.add_on] if self.add_on else [])])


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What the digits beside a code are mostly taken for; null where they say nothing of it."""

    number: str
    """The issue's number."""
    cover: int | None = None
    """Which of its covers, 1 the first."""
    printing: int | None = None
    month: int | None = None
    """Two digits that could be a month may be that of the cover date instead of a number. Units: months, 1 to 12."""


class BarcodeReader(Protocol):
    """Finds barcodes in a picture file; a picture that shows none has none.

    Raises: MalformedError for a file that is no picture or too large.
    """

    def read(self, data: bytes) -> tuple[Barcode, ...]:
        """The codes, those with digits beside them first."""
        ...


def check_digit(digits: str) -> str:
    """The digit that ends a number which begins so.

    From the right every other digit counts three times, the others once; the check digit fills the sum up to a ten.
    Source: GS1 General Specifications section 7.9.1, standard check digit calculations.
    Requires: decimal digits.
    """
    weighed = (int(each) * (_WEIGHT if at % 2 == 0 else 1) for at, each in enumerate(reversed(digits)))
    return str(-sum(weighed) % 10)


def read_barcode(text: str) -> Barcode:
    """A barcode as somebody typed it, with or without spaces, hyphens, or a plus before the digits beside it.

    An EAN-13 that begins with 0 is the same number as the UPC-A without it. Source: GS1 General Specifications section 2.1.
    Raises: MalformedError.
    """
    digits = _BETWEEN.sub("", text[: TYPED_MOST + 1])
    if not digits:
        raise MalformedError(what=_WHAT, problem="there is none", mend=_COUNT)
    if len(text) > TYPED_MOST:
        raise MalformedError(what=_WHAT, problem=f"it has more than {TYPED_MOST} characters", mend=_COUNT)
    if not (digits.isascii() and digits.isdecimal()):
        raise MalformedError(what=_WHAT, problem="it has something other than digits", mend=_COUNT)
    long = next((each for each in (_UPC, _EAN) if len(digits) - each in _ADD_ONS), None)
    if long is None:
        raise MalformedError(what=_WHAT, problem=f"it has {len(digits)} digits", mend=_missing(digits))
    number, add_on = digits[:long], digits[long:]
    if check_digit(number[:-1]) != number[-1]:
        problem = f"the check digit is {number[-1]} and would be {check_digit(number[:-1])} by the digits before it"
        raise MalformedError(what=_WHAT, problem=problem, mend="One digit is mistyped or misread: compare them all.")
    if long == _EAN and number.startswith("0"):
        number = number[1:]
    return Barcode(number=number, add_on=add_on)


def proposal_of(barcode: Barcode) -> Proposal | None:
    """What the digits beside a UPC-A are mostly taken for; None where there are none, or of another kind of code.

    Five: three of the issue's number, one of its cover, one of its printing. Two: the last of the number, or the month.
    Source: common practice, no source; publishers kept to it loosely.
    """
    add_on = barcode.add_on
    if not add_on or len(barcode.number) != _UPC:
        return None
    if len(add_on) == max(_ADD_ONS):
        return Proposal(number=_plain(add_on[:3]), cover=int(add_on[3]) or None, printing=int(add_on[4]) or None)
    month = int(add_on)
    return Proposal(number=_plain(add_on), month=month if 1 <= month <= 12 else None)  # noqa: PLR2004 - of a year


def _plain(digits: str) -> str:
    return digits.lstrip("0") or "0"


def _missing(digits: str) -> str:
    """How to mend a number that has too many digits or too few."""
    if len(digits) == _UPC - 1:
        return f"If only the last one is missing, it is {check_digit(digits)}. {_COUNT}"
    return _COUNT
