"""A whole collection's costs, gains and values by year, exact in the home currency, and what is not counted."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from ledger.cost_rows import INSURANCE, MARKET, CostRow, CostSum, Gain, KeptCosts
from ledger.costs import is_cost_of_buying
from ledger.money import Money
from ledger.rules.cost_lines import Part, Side
from ledger.rules.currencies import currency
from ledger.rules.exchange import Counted, NoRate, Rates
from ledger.when import When

__all__ = ["NotCounted", "Totals", "Year", "totals"]

_BUYING: Final = frozenset(part.value for part in Part if is_cost_of_buying(part))
_SALES: Final = frozenset({Part.SALE_PRICE.value, Part.LOSS_PAID.value})
_PROCEEDS: Final = frozenset(part.value for part in Part if part.side is Side.PROCEEDS)
_VALUES: Final = frozenset({MARKET, INSURANCE})


@dataclass(frozen=True, kw_only=True)
class Year:
    """One year; 0 stands for dates that tell no year.

    Units: smallest units of the home currency.
    """

    year: int
    purchases: int = 0
    """Price, premium, tax and shipping, refunds taken off."""
    fees: int = 0
    """Work, grading, postage, other hands and fees of sales, what was paid for damage taken off."""
    sales: int = 0
    """What buyers paid, and what was paid for losses."""
    gain: int = 0
    """Of the books that left in this year and of which all is known: what came in less their basis of all years."""


@dataclass(frozen=True, kw_only=True)
class NotCounted:
    """Sums of one kind that are not known, for one reason."""

    what: str
    why: str
    number: int


@dataclass(frozen=True, kw_only=True)
class Totals:
    """The collection in its home currency, as far as it is known.

    Units: smallest units of the home currency.
    """

    home: str
    years: tuple[Year, ...] = ()
    basis_held: int = 0
    value_held: int = 0
    insured: int = 0
    realised: int = 0
    unrealised: int = 0
    """Only of books whose whole cost and value are known."""
    not_counted: tuple[NotCounted, ...] = ()
    without_rate: tuple[tuple[NoRate, int], ...] = ()
    """Every rate that is missing, and how many sums wait for it."""

    def money(self, minor: int) -> Money:
        """That many smallest units of the home currency."""
        return Money(minor, self.home, currency(self.home).exponent)


@dataclass
class _Counting:
    years: defaultdict[int, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    all: Counter[str] = field(default_factory=Counter)

    def add(self, row: CostSum | CostRow, minor: int, *, gain: bool = True, sums: bool = True) -> None:
        """One row's sum, towards what it is a part of; towards the gain, towards the sums, or both."""
        proceeds = row.what in _PROCEEDS
        if sums and row.what in _VALUES:
            self.all[row.what] += minor
        elif sums:
            group = "purchases" if row.what in _BUYING else "sales" if row.what in _SALES else "fees"
            taken = proceeds and group == "fees"
            self.years[row.year][group] += -minor if taken else minor
            self.all["basis"] += minor if row.held else 0
        if gain and row.gain != Gain.NONE and row.what != INSURANCE:
            signed = minor if proceeds or row.what == MARKET else -minor
            self.all[row.gain] += signed
            if row.gain == Gain.REALISED:
                self.years[row.gain_year]["gain"] += signed


def totals(kept: KeptCosts, rates: Rates, home: str) -> Totals:
    """All of it added up; each sum in another currency is counted by the rate of its own day, as on its book's page.

    A period of which one rate is missing makes no gain here: what was added to it from the rows in the home currency is
    taken off again.
    """
    counting, gaps, missing = _Counting(), Counter[tuple[str, str]](), Counter[NoRate]()
    for each in kept.sums:
        if each.why:
            gaps[each.what, each.why] += each.number
        else:
            counting.add(each, each.minor)
    for rows in _periods(kept.mixed):
        _mixed(rows, rates, home, counting, missing)
    return Totals(
        home=home,
        years=tuple(_year(year, counting.years[year]) for year in sorted(counting.years)),
        basis_held=counting.all["basis"],
        value_held=counting.all[MARKET],
        insured=counting.all[INSURANCE],
        realised=counting.all[Gain.REALISED],
        unrealised=counting.all[Gain.UNREALISED],
        not_counted=tuple(NotCounted(what=what, why=why, number=gaps[what, why]) for what, why in sorted(gaps)),
        without_rate=tuple(sorted(missing.items())),
    )


def _periods(mixed: Iterable[tuple[str, CostRow]]) -> Iterator[list[CostRow]]:
    found: defaultdict[tuple[str, int], list[CostRow]] = defaultdict(list)
    for book, row in mixed:
        found[book, row.period].append(row)
    yield from found.values()


def _mixed(rows: list[CostRow], rates: Rates, home: str, counting: _Counting, missing: Counter[NoRate]) -> None:
    """One period with sums in another currency."""
    whole = True
    counted: list[tuple[CostRow, Counted]] = []
    for row in rows:
        if not row.currency or row.currency == home:
            continue
        on = When(row.day) if row.day else None
        found = rates.count(Money(row.minor, row.currency, currency(row.currency).exponent), on, home)
        if isinstance(found, NoRate):
            missing[found] += 1
            if row.what not in _VALUES:
                counting.years[row.year].update()
            whole = whole and row.what == INSURANCE
        else:
            counted.append((row, found))
    for row, each in counted:
        counting.add(row, each.money.minor, gain=whole)
    if not whole:
        for row in rows:
            if row.currency == home:
                counting.add(row, -row.minor, sums=False)


def _year(year: int, sums: Counter[str]) -> Year:
    return Year(year=year, purchases=sums["purchases"], fees=sums["fees"], sales=sums["sales"], gain=sums["gain"])
