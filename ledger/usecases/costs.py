"""What one book and what all of them cost, in the home currency, with all that is not counted."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor, Permission
from ledger.cost_rows import CostRow, Gain
from ledger.cost_totals import Totals, totals
from ledger.costs import PeriodCosts, period_costs
from ledger.errors import InvalidError, Problem
from ledger.history import fold, history
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.basis import periods
from ledger.rules.cost_lines import Part, Side
from ledger.rules.currencies import CurrencyError, currency
from ledger.rules.exchange import Counted, NoRate, Rates
from ledger.views import BookRow
from ledger.when import When

__all__ = [
    "BookCosts",
    "Home",
    "Sold",
    "YearLine",
    "YearReport",
    "costs_of",
    "home_of",
    "rates_of",
    "totals_of",
    "year_of",
]

NO_HOME: Final = "EUR"
"""What a ledger without any sum is counted in: nothing."""


@dataclass(frozen=True, kw_only=True)
class Home:
    """The currency that all is counted in; `chosen` is False where it is only the one that most sums are in."""

    code: str
    chosen: bool


@dataclass(frozen=True, kw_only=True)
class BookCosts:
    """One book with its periods, the first one first."""

    row: BookRow
    home: str
    periods: tuple[PeriodCosts, ...]


@dataclass(frozen=True, kw_only=True)
class YearLine:
    """One sum of a year, of one book."""

    row: BookRow
    day: When | None
    seq: int
    part: Part
    amount: Money
    """Below zero where it is taken off its side."""
    counted: Counted | NoRate


@dataclass(frozen=True, kw_only=True)
class Sold:
    """A book that left in the year, with the basis of its whole period."""

    row: BookRow
    proceeds: Money
    basis: Money
    gain: Money | None
    """Null where a rate is missing."""


@dataclass(frozen=True, kw_only=True)
class YearReport:
    """What was paid and what came in within a year, line by line, and the gains that were made."""

    year: int
    home: str
    lines: tuple[YearLine, ...]
    sold: tuple[Sold, ...]


def home_of(ledger: Ledger, actor: Actor, asked: str | None = None) -> Home | None:
    """The home currency: as asked, else as chosen under settings, else the one most sums are in; None without a sum.

    Raises: InvalidError for a code that there is not.
    """
    actor.require(Permission.READ)
    if asked:
        try:
            return Home(code=currency(asked.upper()).code, chosen=True)
        except CurrencyError as error:
            raise InvalidError(
                problems=(Problem(field="currency", sentence=f"{error.problem}. {error.mend}"),)
            ) from error
    if ledger.accounts is not None:
        with ledger.accounts.store.read() as accounts:
            person = accounts.person(ledger.accounts.owner)
        if person is not None and person.preferences.currency:
            return Home(code=person.preferences.currency, chosen=True)
    with ledger.log.read() as reader:
        # With no currency at home, every row comes apart.
        found: defaultdict[str, int] = defaultdict(int)
        for _book, row in reader.costs("").mixed:
            found[row.currency] += 1 if row.currency else 0
    most = max(sorted(code for code in found if code), key=lambda code: found[code], default=None)
    return Home(code=most, chosen=False) if most else None


def home_code(ledger: Ledger, actor: Actor) -> str:
    """The code of the home currency; of a ledger without any sum, in which none was chosen, one that counts nothing."""
    home = home_of(ledger, actor)
    return home.code if home else NO_HOME


def rates_of(ledger: Ledger) -> Rates:
    """The rates that are kept."""
    if ledger.market is None:
        return Rates(())
    with ledger.market.read() as reader:
        return Rates(reader.rates())


def costs_of(ledger: Ledger, actor: Actor, book: str, home: str) -> BookCosts:
    """What one book cost in each of its periods.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    rates = rates_of(ledger)
    with ledger.log.read() as reader:
        row = reader.book(book)
        moments = history(reader.of_book(book), ledger.codec)
    found = periods(fold(book, row.no, moments), moments)
    return BookCosts(
        row=row, home=home, periods=tuple(period_costs(each, rates, home, ledger.returns) for each in found)
    )


def totals_of(ledger: Ledger, actor: Actor, home: str) -> Totals:
    """The whole collection by year."""
    actor.require(Permission.READ)
    rates = rates_of(ledger)
    with ledger.log.read() as reader:
        return totals(reader.costs(home), rates, home)


def year_of(ledger: Ledger, actor: Actor, year: int, home: str) -> YearReport:
    """One year, line by line, by day and then by the books' numbers."""
    actor.require(Permission.READ)
    rates = rates_of(ledger)
    with ledger.log.read() as reader:
        kept = reader.costs(home, year).mixed
        books = {book: reader.book(book) for book in dict.fromkeys(book for book, _row in kept)}
    lines = [_line(books[book], row, rates, home) for book, row in kept if row.year == year and row.currency]
    made: defaultdict[tuple[str, int], list[CostRow]] = defaultdict(list)
    for book, row in kept:
        if row.gain == Gain.REALISED and row.gain_year == year:
            made[book, row.period].append(row)
    return YearReport(
        year=year,
        home=home,
        lines=tuple(sorted(lines, key=lambda each: (str(each.day), each.row.no, each.seq))),
        sold=tuple(_sold(books[book], rows, rates, home) for (book, _period), rows in made.items()),
    )


def _line(row: BookRow, cost: CostRow, rates: Rates, home: str) -> YearLine:
    amount, day = _money(cost.minor, cost.currency), When(cost.day) if cost.day else None
    return YearLine(
        row=row,
        day=day,
        seq=cost.seq,
        part=Part(cost.what),
        amount=amount,
        counted=rates.count(amount, day, home),
    )


def _sold(row: BookRow, rows: Sequence[CostRow], rates: Rates, home: str) -> Sold:
    sums = {side: Money.zero(home) for side in Side}
    whole = True
    for line in (_line(row, each, rates, home) for each in rows):
        if isinstance(line.counted, Counted):
            sums[line.part.side] += line.counted.money
        else:
            whole = False
    proceeds, basis = sums[Side.PROCEEDS], sums[Side.BASIS]
    return Sold(row=row, proceeds=proceeds, basis=basis, gain=proceeds - basis if whole else None)


def _money(minor: int, code: str) -> Money:
    return Money(minor, code, currency(code).exponent)
