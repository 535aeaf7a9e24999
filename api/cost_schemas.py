"""The shapes in which costs, rates and values are answered."""

from pydantic import Field

from api.schemas import Answer, EntryNumber
from ledger.money import Money

__all__ = [
    "BookCostsAnswer",
    "CostGap",
    "CostLine",
    "MissingRate",
    "NotCountedAnswer",
    "PeriodAnswer",
    "RateAnswer",
    "SoldAnswer",
    "TotalsAnswer",
    "ValueAnswer",
    "WaitingAnswer",
    "YearAnswer",
    "YearLineAnswer",
    "YearSums",
]

_DAY = "null where it is not known. Units: EDTF."


class RateAnswer(Answer):
    """One rate of exchange."""

    id: str = Field(description="Its name, under which it is taken away.", examples=["USD-EUR-2024-03-01"])
    of: str = Field(description="ISO 4217 code of the currency that is counted.")
    into: str = Field(description="ISO 4217 code of the currency it is counted in.")
    on: str = Field(description="Day, month or year it is of. Units: EDTF.")
    rate: str = Field(description="Units of `into` for one unit of `of`, a decimal as text.", examples=["0.9213"])
    source: str = Field(description="Who told it.")
    made: str = Field(description="When it was kept. Units: UTC.")


class MissingRate(Answer):
    """A rate that is not kept, so that sums are not counted; nothing is guessed in its place."""

    of: str = Field(description="ISO 4217 code of the currency that is not counted.")
    into: str = Field(description="ISO 4217 code of the home currency.")
    on: str | None = Field(
        description="The date of the sum; null where it has none, and no rate can count it. Units: EDTF."
    )


class CostLine(Answer):
    """One sum of a book as it was entered, and what it counts for."""

    entry: EntryNumber
    on: str | None = Field(description=f"When it was; {_DAY}")
    part: str = Field(description="What it was for.", examples=["price", "shipping", "grading", "sale price"])
    side: str = Field(description="`basis` or `proceeds`: what it counts towards.")
    amount: Money = Field(description="As entered. Units: smallest units of its own currency.")
    taken_off: bool = Field(description="It is taken off its side: a refund, a fee of a sale.")
    expected: bool = Field(description="A fee as quoted, until an outcome names the real one.")
    counted: Money | None = Field(description="In the home currency, half even; null where a rate is missing.")
    rate: str | None = Field(description="Name of the rate it was counted by; null where it needed none, or has none.")


class CostGap(Answer):
    """A sum that is not known."""

    entry: EntryNumber
    part: str = Field(description="What it would be for.")
    why: str = Field(description="`not entered`, `erased` or `withheld`.")


class ValueAnswer(Answer):
    """What a book was last held to be worth for one purpose."""

    entry: EntryNumber
    on: str | None = Field(description=f"When it was found; {_DAY}")
    amount: Money | None = Field(description="Null where it was erased. Units: smallest units of its own currency.")
    method: str = Field(description="How it was found.")
    valid_until: str | None = Field(
        description="When it is to be found anew; null where that is not fixed. Units: EDTF."
    )


class PeriodAnswer(Answer):
    """One time the book was in the collection."""

    since: str | None = Field(description=f"When it came; {_DAY}")
    until: str | None = Field(
        description="When it left; null while it is here, or where that is not known. Units: EDTF."
    )
    left: str | None = Field(description="How it left; null while it is in the collection.")
    lines: list[CostLine] = Field(description="Every sum, in the order of happening.")
    gaps: list[CostGap] = Field(description="Sums that are not known.")
    basis: Money = Field(description="What it cost, as far as that is counted. Units: smallest units.")
    basis_whole: bool = Field(description="All of it is known and counted.")
    proceeds: Money = Field(description="What came in for it, fees of the sale taken off. Units: smallest units.")
    market: ValueAnswer | None = Field(description="Last value for the market; null where there is none.")
    insurance: ValueAnswer | None = Field(description="Last value for insurance; null where there is none.")
    gain: Money | None = Field(
        description="What came in, or the market value of a book that is held, less the basis; null where it is not known. "
        "Units: smallest units."
    )
    no_gain: str | None = Field(description="Why no gain is given; null where one is.")
    yearly_return: str | None = Field(
        description="The yearly rate at which all payments come to nothing, days over 365, a decimal as text: 0.100000 for "
        "ten per cent. Given only with one change of sign and more than 90 days."
    )
    no_return: str | None = Field(description="Why a gain has no yearly rate beside it; null where it has one.")
    missing_rates: list[MissingRate] = Field(description="Rates that are not kept.")


class BookCostsAnswer(Answer):
    """What one book cost. No word here is advice on tax or insurance."""

    book: str = Field(description="Id of the book.")
    currency: str = Field(description="ISO 4217 code of the home currency that all is counted in.")
    periods: list[PeriodAnswer] = Field(description="Each time it was in the collection, the first one first.")


class YearSums(Answer):
    """One year of the whole collection."""

    year: int | None = Field(description="The year; null for sums whose date tells none.")
    purchases: Money = Field(description="Price, premium, tax, shipping, refunds taken off. Units: smallest units.")
    fees: Money = Field(description="Work, grading, postage, other hands, fees of sales. Units: smallest units.")
    sales: Money = Field(description="What buyers paid, and what was paid for losses. Units: smallest units.")
    gain: Money = Field(
        description="Made by the books that left in it and of which all is known. Units: smallest units."
    )


class NotCountedAnswer(Answer):
    """Sums of one kind that are not known."""

    what: str = Field(description="What they would be for.")
    why: str = Field(description="`not entered`, `erased` or `withheld`.")
    number: int = Field(description="How many.")


class WaitingAnswer(Answer):
    """Sums that wait for one rate."""

    rate: MissingRate = Field(description="The rate that is missing.")
    number: int = Field(description="How many sums wait for it.")


class TotalsAnswer(Answer):
    """The whole collection in its home currency, as far as it is known."""

    currency: str = Field(description="ISO 4217 code of the home currency.")
    years: list[YearSums] = Field(description="Year by year, those without one first.")
    basis_held: Money = Field(description="What the books cost that are held. Units: smallest units.")
    market_value: Money = Field(description="Their last values for the market. Units: smallest units.")
    insurance_value: Money = Field(description="Their last values for insurance. Units: smallest units.")
    realised: Money = Field(description="Gains of all years. Units: smallest units.")
    unrealised: Money = Field(
        description="Market value less basis, of the held books of which both are wholly known. Units: smallest units."
    )
    not_counted: list[NotCountedAnswer] = Field(description="What is not known, and why.")
    missing_rates: list[WaitingAnswer] = Field(description="What is not counted for want of a rate.")


class YearLineAnswer(Answer):
    """One sum of the year."""

    book: str = Field(description="Id of the book.")
    entry: EntryNumber
    on: str | None = Field(description=f"When it was; {_DAY}")
    part: str = Field(description="What it was for.")
    amount: Money = Field(
        description="As entered, below zero where it is taken off. Units: smallest units of its currency."
    )
    counted: Money | None = Field(description="In the home currency; null where a rate is missing.")
    rate: str | None = Field(description="Name of the rate it was counted by; null where it needed none, or has none.")


class SoldAnswer(Answer):
    """A book that left in the year; it takes the basis of its own whole period."""

    book: str = Field(description="Id of the book.")
    proceeds: Money = Field(description="What came in, fees taken off. Units: smallest units.")
    basis: Money = Field(description="What it had cost in all years. Units: smallest units.")
    gain: Money | None = Field(description="The difference; null where a rate is missing. Units: smallest units.")


class YearAnswer(Answer):
    """Purchases, fees and sales of one year, line by line."""

    year: int = Field(description="The year.")
    currency: str = Field(description="ISO 4217 code of the home currency.")
    lines: list[YearLineAnswer] = Field(description="By day, then by the books' numbers.")
    sold: list[SoldAnswer] = Field(description="Books that left, and of which all was entered.")
