"""What is kept of each book's costs and values so that a whole collection is added up in one statement."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, NamedTuple

from ledger.book import Book
from ledger.mended import Moment
from ledger.rules.basis import periods
from ledger.rules.cost_lines import SIGN, Period, Why, Worth
from ledger.when import When

__all__ = ["INSURANCE", "MARKET", "CostRow", "CostSum", "Gain", "KeptCosts", "cost_rows"]

MARKET: Final = "market value"
INSURANCE: Final = "insurance value"


class Gain(StrEnum):
    """Which gain a row counts towards; none where something it hangs on is not known, or the book was given away."""

    REALISED = "realised"
    UNREALISED = "unrealised"
    NONE = ""


class CostRow(NamedTuple):
    """One sum of a book, or that one is not known.

    Units: `minor` in the smallest unit of `currency`, below zero where it is taken off its side.
    Keeps: a function of the book's entries alone; what was erased is not in it.
    """

    period: int
    """Counted from 0."""
    seq: int
    what: str
    """A part of the cost, or one of the two values."""
    day: str
    """EDTF; empty for not known."""
    year: int
    """0 where the day does not tell one."""
    currency: str
    """Empty where the sum is not known; `why` says why then."""
    minor: int
    why: str
    held: bool
    gain: str
    gain_year: int
    """Of a realised gain: the year in which the book left, 0 where that is not known."""


class CostSum(NamedTuple):
    """Rows alike in all but their sums, added up."""

    what: str
    year: int
    currency: str
    why: str
    held: bool
    gain: str
    gain_year: int
    minor: int
    number: int
    """Of the rows."""


@dataclass(frozen=True, kw_only=True)
class KeptCosts:
    """All rows of a collection: those in the home currency added up, and every row of the periods with another one.

    Asked for one year, `sums` is empty and `mixed` has every row of that year and of the gains made in it, values left out.
    Keeps: a row in the home currency of such a period is in both.
    """

    sums: Sequence[CostSum]
    mixed: Sequence[tuple[str, CostRow]]
    """By the id of the book."""


def cost_rows(book: Book, moments: Sequence[Moment]) -> tuple[CostRow, ...]:
    """The rows of one book.

    Requires: the book is the fold of these moments.
    """
    return tuple(row for number, period in enumerate(periods(book, moments)) for row in _rows(number, period))


def _rows(number: int, period: Period) -> Iterator[CostRow]:
    gain = _gain(period)
    gain_year = year_of(period.until) if gain is Gain.REALISED else 0
    for line in period.lines:
        minor = SIGN[line.part] * line.amount.minor
        yield CostRow(
            **_place(number, line.seq, line.on),
            what=line.part.value,
            currency=line.amount.currency,
            minor=minor,
            why="",
            held=period.held,
            gain=gain.value,
            gain_year=gain_year,
        )
    for gap in period.gaps:
        yield CostRow(
            **_place(number, gap.seq, gap.on),
            what=gap.part.value,
            currency="",
            minor=0,
            why=gap.why.value,
            held=period.held,
            gain=gain.value,
            gain_year=gain_year,
        )
    if period.held:
        yield _value(number, period, MARKET, period.market, gain)
        yield _value(number, period, INSURANCE, period.insurance, Gain.NONE)


def _value(number: int, period: Period, what: str, worth: Worth | None, gain: Gain) -> CostRow:
    amount = worth.amount if worth else None
    place = _place(number, worth.seq, worth.on) if worth else _place(number, period.taken_by, None)
    return CostRow(
        **place,
        what=what,
        currency=amount.currency if amount else "",
        minor=amount.minor if amount else 0,
        why="" if amount else Why.ERASED.value if worth else Why.NOT_ENTERED.value,
        held=True,
        gain=gain.value,
        gain_year=0,
    )


def _gain(period: Period) -> Gain:
    if period.gaps:
        return Gain.NONE
    if period.held:
        known = period.market is not None and period.market.amount is not None
        return Gain.UNREALISED if known else Gain.NONE
    return Gain.REALISED if period.gives else Gain.NONE


class _Place(NamedTuple):
    period: int
    seq: int
    day: str
    year: int


def _place(number: int, seq: int, on: When | None) -> dict[str, Any]:
    return _Place(number, seq, str(on) if on else "", year_of(on))._asdict()


def year_of(on: When | None) -> int:
    """The year in which it was; 0 where the date does not tell one."""
    return on.earliest_day.year if on is not None and on.earliest_day.year == on.latest_day.year else 0
