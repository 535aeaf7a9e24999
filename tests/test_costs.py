"""Costs in the home currency: gains, rates of return and totals, each the same whether a book or all are added up."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.adapters.returns import XirrReturns
from ledger.cost_rows import cost_rows
from ledger.cost_totals import Totals, totals
from ledger.costs import NoGain, PeriodCosts, period_costs
from ledger.events import Event
from ledger.events.purchase import Means as Came
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Left
from ledger.events.valuation import Method, Valuation
from ledger.events.withdrawal import Withdrawal
from ledger.history import Moment, fold, history
from ledger.market import Rate
from ledger.money import Money
from ledger.returns import Why as NoReturn
from ledger.rows import listing
from ledger.rules.basis import periods
from ledger.rules.exchange import NoRate, Rates
from ledger.sealed import Sealed
from ledger.when import When
from tests import fake_shelf
from tests.builders import BOOK, CODEC, a_purchase, an_intervention, chain, on

MADE = datetime(2026, 1, 1, tzinfo=UTC)
RETURNS = XirrReturns()


def money(amount: str, code: str = "EUR") -> Sealed[Money]:
    return Sealed.of(Money.of(amount, code))


def rate(when: str, text: str = "0.9") -> Rate:
    return Rate(of="USD", into="EUR", on=When.parse(when), rate=Decimal(text), source="a bank", made=MADE)


def moments_of(*events: Event) -> list[Moment]:
    return history(chain(*events), CODEC)


def counted(*events: Event, rates: Sequence[Rate] = ()) -> list[PeriodCosts]:
    moments = moments_of(*events)
    return [period_costs(each, Rates(rates), "EUR", RETURNS) for each in periods(fold(BOOK, 1, moments), moments)]


def added(*books: Sequence[Event], rates: Sequence[Rate] = ()) -> Totals:
    listings = []
    for number, events in enumerate(books, start=1):
        moments = moments_of(*events)
        listings.append(listing(fold(f"b{number}", number, moments), moments))
    return totals(fake_shelf.costs("EUR", listings), Rates(rates), "EUR")


def bought(amount: str = "1200.00", when: str | None = "2021-03-15", code: str = "EUR", **changes: Any) -> Event:
    return a_purchase(when, price=money(amount, code), **changes)


def sold(amount: str = "2100.00", when: str = "2024-11-05", **changes: Any) -> Event:
    return Sale(on=on(when), price=money(amount), **{"disclosed": Disclosed.WORK, **changes})


def valued(amount: str, when: str = "2024-03-15", code: str = "EUR") -> Event:
    return Valuation(on=on(when), method=Method.OWN_JUDGEMENT, amount=money(amount, code))


def test_a_book_that_was_sold_has_a_gain_and_a_rate_of_return() -> None:
    (period,) = counted(bought("1000.00", "2022-01-01"), sold("1100.00", "2023-01-01"))
    assert period.gain == Money.of("100.00", "EUR")
    # One year of 365 days: the closed form.
    assert period.rate == pytest.approx(0.1, abs=1e-9)


def test_a_trade_makes_a_gain_at_the_worth_that_was_agreed() -> None:
    """By hand: 1300 agreed when it left, less 30 of fees, less 1000 agreed when it came and 20 of shipping: 250."""
    came = bought("1000.00", "2022-01-01", means=Came.TRADE, shipping=money("20.00"))
    left = sold("1300.00", "2023-01-01", means=Left.TRADE, fees=money("30.00"))
    (period,) = counted(came, left)
    assert (period.basis, period.proceeds, period.gain) == (
        Money.of("1020.00", "EUR"), Money.of("1270.00", "EUR"), Money.of("250.00", "EUR"),
    )  # fmt: skip
    # One year of 365 days: the closed form, 1270 for 1020.
    assert period.rate == pytest.approx(1270 / 1020 - 1, abs=1e-9)


def test_a_trade_without_an_agreed_worth_makes_no_gain() -> None:
    (period,) = counted(
        bought("1000.00", "2022-01-01"), Sale(on=on("2023-01-01"), means=Left.TRADE, disclosed=Disclosed.WORK)
    )
    assert (period.gain, period.no_gain) == (None, NoGain.NOT_KNOWN)


def test_the_kept_example_with_fees_on_the_day_of_the_sale() -> None:
    work = an_intervention(when="2021-06-01", cost=money("180.00"))
    (period,) = counted(bought(), work, sold(fees=money("273.00")))
    assert period.gain == Money.of("447.00", "EUR")
    assert period.rate is not None
    worth = [(date(2021, 3, 15), -1200), (date(2021, 6, 1), -180), (date(2024, 11, 5), 1827)]
    present = sum(a / (1 + period.rate) ** ((day - worth[0][0]).days / 365) for day, a in worth)
    assert present == pytest.approx(0, abs=1e-6)


def test_a_book_that_is_held_has_a_gain_at_its_last_value() -> None:
    (period,) = counted(bought("1000.00", "2023-03-16"), valued("900.00"))
    assert period.gain == Money.of("-100.00", "EUR")
    assert period.rate == pytest.approx(-0.1, abs=1e-3)


def test_without_a_value_the_gain_is_not_known_and_not_nothing() -> None:
    (period,) = counted(bought())
    assert (period.gain, period.no_gain, period.basis_whole) == (None, NoGain.NO_VALUE, True)


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ((bought(), sold(when="2021-05-01")), NoReturn.SHORT),
        ((bought(when="2021"), sold()), NoReturn.DATES),
        ((bought(), sold(), an_intervention(when=None, cost=money("5.00"))), NoReturn.DATES),
        ((bought(), sold("0.00")), NoReturn.SIGNS),
    ],
)
def test_a_gain_without_a_rate_says_why(events: tuple[Event, ...], why: NoReturn) -> None:
    (period,) = counted(*events[:1], *events[2:], events[1])
    assert period.gain is not None
    assert (period.rate, period.no_rate) == (None, why)


def test_a_gift_makes_no_gain() -> None:
    (period,) = counted(bought(), Sale(on=on("2024-01-01"), means=Left.GIFT, disclosed=Disclosed.WORK))
    assert (period.gain, period.no_gain) == (None, NoGain.GIVEN)


def test_a_missing_rate_is_named_and_the_gain_is_not_known() -> None:
    events = (bought("1000.00", "2024-03-01", "USD", shipping=money("5.00")), valued("950.00", "2024-12-01"))
    (without,) = counted(*events)
    assert (without.basis, without.basis_whole) == (Money.of("5.00", "EUR"), False)
    assert (without.gain, without.no_gain) == (None, NoGain.NO_RATE)
    assert without.missing == (NoRate("USD", "EUR", "2024-03-01"),)
    (with_rate,) = counted(*events, rates=[rate("2024-03-01")])
    assert (with_rate.basis, with_rate.basis_whole) == (Money.of("905.00", "EUR"), True)
    assert with_rate.gain == Money.of("45.00", "EUR")


def test_the_totals_of_a_year_are_those_on_paper() -> None:
    found = added(
        (bought("100.00", "2021-01-05", shipping=money("4.00")), sold("130.00", "2022-02-02", fees=money("6.50"))),
        (bought("50.00", "2021-06-01"), an_intervention(when="2022-01-01", cost=money("7.00")), valued("80.00")),
        (a_purchase("2023-01-01"),),
    )
    assert [vars(each) for each in found.years] == [
        {"year": 2021, "purchases": 15400, "fees": 0, "sales": 0, "gain": 0},
        {"year": 2022, "purchases": 0, "fees": 1350, "sales": 13000, "gain": 1950},
    ]
    assert (found.basis_held, found.value_held) == (5700, 8000)
    assert (found.realised, found.unrealised) == (1950, 2300)
    assert [(each.what, each.number) for each in found.not_counted] == [
        ("insurance value", 2),
        ("market value", 1),
        ("price", 1),
    ]


def test_a_period_with_a_missing_rate_makes_no_gain_in_the_totals_either() -> None:
    book = (bought("100.00", "2021-01-05", tax=money("3.00", "USD")), sold("130.00", "2022-02-02"))
    without, with_rate = added(book), added(book, rates=[rate("2021-01-05")])
    assert (without.realised, without.without_rate) == (0, ((NoRate("USD", "EUR", "2021-01-05"), 1),))
    assert without.years[0].purchases == 10000
    # 130 less 100 and 3 USD at 0.9.
    assert (with_rate.realised, with_rate.years[0].purchases) == (2730, 10270)


SUM = st.tuples(st.integers(0, 10**7), st.sampled_from(["EUR", "USD"]))
DAY = st.dates(date(2015, 1, 1), date(2024, 12, 31))
KEPT = [rate(str(year), f"0.{90 + year % 10}7") for year in range(2015, 2023)]
"""Rates of some years; those of others are missing."""


@st.composite
def a_life(draw: st.DrawFn) -> tuple[Event, ...]:
    """A book that is bought, worked on, valued and perhaps sold, in whatever currencies."""
    days = [day.isoformat() for day in sorted(draw(st.lists(DAY, min_size=4, max_size=4, unique=True)))]

    def paid(at: SUM) -> Sealed[Money]:  # type: ignore[valid-type]
        return Sealed.of(Money(at[0], at[1], 2)) if at is not None else Sealed.of(None)

    sums = [draw(st.none() | SUM) for _ in range(5)]
    events: list[Event] = [a_purchase(days[0], price=paid(sums[0]), tax=paid(sums[1]))]
    events.append(an_intervention(when=days[1], cost=paid(sums[2])))
    worth = draw(st.none() | SUM)
    if worth is not None:
        events.append(Valuation(on=on(days[2]), method=Method.OWN_JUDGEMENT, amount=paid(worth)))
    if draw(st.booleans()):
        sale = Sale(on=on(days[3]), disclosed=Disclosed.WORK, price=paid(sums[3]), fees=paid(sums[4]))
        events.append(sale)
    return tuple(events)


@given(st.lists(a_life(), min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_the_totals_are_the_sum_of_the_books(books: list[tuple[Event, ...]]) -> None:
    found = added(*books, rates=KEPT)
    each = [period for events in books for period in counted(*events, rates=KEPT)]
    gains: defaultdict[bool, int] = defaultdict(int)
    for period in each:
        gains[period.period.held] += period.gain.minor if period.gain else 0
    assert (found.realised, found.unrealised) == (gains[False], gains[True])
    assert found.basis_held == sum(period.basis.minor for period in each if period.period.held)
    assert sum(year.gain for year in found.years) == found.realised
    paid = sum(year.purchases + year.fees for year in found.years)
    assert sum(year.sales for year in found.years) - paid == sum(
        period.proceeds.minor - period.basis.minor for period in each
    )


def test_the_kept_rows_hold_nothing_of_a_book_that_is_a_duplicate() -> None:
    for more, kept in (((), {"price", "market value", "insurance value"}), ((Withdrawal(same_as="b-2"),), set())):
        moments = moments_of(bought(), *more)
        assert {row.what for row in cost_rows(fold(BOOK, 1, moments), moments)} == kept
