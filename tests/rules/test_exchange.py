"""Currencies: counted by the rate of the day, rounded half even, and never by a rate that is not there."""

from datetime import UTC, datetime
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.market import Rate
from ledger.money import Money
from ledger.rules.exchange import Counted, NoRate, Rates, converted
from ledger.when import When
from tests.builders import on, usd

MADE = datetime(2026, 1, 1, tzinfo=UTC)


def rate(text: str = "0.92", when: str = "2024-03-01", of: str = "USD", into: str = "EUR") -> Rate:
    return Rate(of=of, into=into, on=When.parse(when), rate=Decimal(text), source="bank statement", made=MADE)


def eur(amount: str) -> Money:
    return Money.of(amount, "EUR")


def test_a_sum_counts_by_the_rate_of_its_day_and_says_which() -> None:
    kept = rate()
    assert Rates([kept]).count(usd("100.00"), on("2024-03-01"), "EUR") == Counted(money=eur("92.00"), rate=kept)


def test_a_sum_in_the_home_currency_needs_no_rate_and_no_date() -> None:
    assert Rates([]).count(eur("5.00"), None, "EUR") == Counted(money=eur("5.00"))


@pytest.mark.parametrize("when", ["2024-03-02", "2024-02-29", "2024-03", None])
def test_no_rate_of_another_day_is_taken(when: str | None) -> None:
    assert Rates([rate()]).count(usd("1.00"), on(when), "EUR") == NoRate("USD", "EUR", when or "")


def test_a_rate_is_not_turned_round() -> None:
    back = rate(of="EUR", into="USD")
    assert Rates([back]).count(usd("1.00"), on("2024-03-01"), "EUR") == NoRate("USD", "EUR", "2024-03-01")


def test_the_narrowest_rate_that_holds_the_date_counts() -> None:
    year, month, day = rate("0.90", "2024"), rate("0.91", "2024-03"), rate("0.92")
    rates = Rates([year, month, day])
    found = [rates.count(usd("1.00"), on(when), "EUR") for when in ("2024-03-01", "2024-03-02", "2024-04", "2024")]
    assert [each.rate for each in found if isinstance(each, Counted)] == [day, month, year, year]


@pytest.mark.parametrize(("minor", "expected"), [(1, 0), (3, 2), (5, 2), (-1, 0), (-3, -2), (7, 4)])
def test_a_half_goes_to_the_even_unit(minor: int, expected: int) -> None:
    assert converted(Money(minor, "USD", 2), rate("0.5")).minor == expected


def test_decimals_of_both_currencies_count() -> None:
    assert converted(usd("10.00"), rate("151.25", into="JPY")) == Money.of("1512", "JPY")
    assert converted(Money.of("1512", "JPY"), rate("0.0066", of="JPY", into="KWD")) == Money.of("9.979", "KWD")


@given(st.integers(-(10**12), 10**12), st.decimals("0.0001", "5000", places=6))
def test_rounding_is_that_of_the_decimal_module(minor: int, each: Decimal) -> None:
    expected = (Decimal(minor) * each).quantize(Decimal(1), ROUND_HALF_EVEN)
    assert converted(Money(minor, "USD", 2), rate(str(each))).minor == int(expected)
