"""Amounts as people write them: read where they can mean one thing, refused with both readings where not."""

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.money import AmbiguousAmountError, Money, MoneyError, OtherCurrencyError, read_amount, read_shown_amount
from ledger.proof.report import LedgerError
from ledger.rules.currencies import CurrencyError


@pytest.mark.parametrize(
    ("text", "currency", "reading", "read"),
    [
        ("1250", "USD", None, "1250.00 USD"),
        ("$1,250.00", "USD", None, "1250.00 USD"),
        ("1,250.5", "USD", None, "1250.50 USD"),
        ("1,250", "USD", "1,234.50", "1250.00 USD"),
        ("1.250", "EUR", "1.234,50", "1250.00 EUR"),
        ("1.250,00", "EUR", "1.234,50", "1250.00 EUR"),
        ("1 250,00", "EUR", None, "1250.00 EUR"),
        ("1\u202f250,00\u00a0€", "EUR", None, "1250.00 EUR"),
        ("12,5", "EUR", None, "12.50 EUR"),
        ("1'250.00", "CHF", None, "1250.00 CHF"),
        ("1,250,000", "USD", None, "1250000.00 USD"),
        ("1,250", "JPY", None, "1250 JPY"),
        ("0,250", "KWD", None, "0.250 KWD"),
        ("usd 5", None, None, "5.00 USD"),
        ("5 EUR", None, None, "5.00 EUR"),
        ("DEM 40", None, None, "40.00 DEM"),
        ("-5", "USD", None, "-5.00 USD"),
        ("$ \u22125", "USD", None, "-5.00 USD"),
        (".50", "USD", None, "0.50 USD"),
    ],
)
def test_an_amount_is_read_as_people_write_it(text: str, currency: str | None, reading: Any, read: str) -> None:
    assert str(read_amount(text, currency=currency, reading=reading)) == read


@pytest.mark.parametrize(
    ("text", "point", "comma"),
    [
        ("1,250", "1250", "1.250"),
        ("1.250", "1.250", "1250"),
        ("$1,255", "1255", "1.255"),
        ("1.250,00", "no amount", "1250.00"),
    ],
)
def test_marks_that_nobody_should_guess_are_refused_with_both_readings(text: str, point: str, comma: str) -> None:
    with pytest.raises(AmbiguousAmountError) as caught:
        read_amount(text, currency="USD")
    assert caught.value.readings == {"1,234.50": point, "1.234,50": comma}
    assert "State which marks are in use" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "currency", "reading"),
    [
        ("12.505", "USD", "1,234.50"),
        ("1,250.00", "USD", "1.234,50"),
        ("12,34,567", "INR", None),
        ("1 25", "USD", None),
        ("1,250 000", "USD", "1,234.50"),
        ("5.", "USD", None),
        ("1.5", "JPY", None),
        (",", "USD", None),
        ("", "USD", None),
        ("five", "USD", None),
        ("--5", "USD", None),
        ("#5", "USD", None),
        ("€5", "USD", None),
        ("$5", None, None),
        ("5", None, None),
        ("9" * 41, "USD", None),
    ],
)
def test_what_is_no_amount_is_refused_and_nothing_is_rounded(text: str, currency: str | None, reading: Any) -> None:
    with pytest.raises(MoneyError) as caught:
        read_amount(text, currency=currency, reading=reading)
    assert caught.value.mend


def test_a_code_in_the_text_must_agree_with_the_one_stated() -> None:
    with pytest.raises(OtherCurrencyError) as caught:
        read_amount("5 EUR", currency="USD")
    assert (caught.value.left, caught.value.right) == ("USD", "EUR")


def test_a_code_that_is_no_currency_is_named() -> None:
    with pytest.raises(CurrencyError) as caught:
        read_amount("5 QQQ")
    assert caught.value.code == "QQQ"


@given(minor=st.integers(-(10**9), 10**9), reading=st.sampled_from(["1,234.50", "1.234,50"]))
def test_an_amount_set_with_stated_marks_is_read_back(minor: int, reading: Any) -> None:
    text = f"{'-' if minor < 0 else ''}{abs(minor) // 100:,}.{abs(minor) % 100:02}"
    if reading == "1.234,50":
        text = text.translate(str.maketrans(",.", ".,"))
    assert read_amount(text, currency="USD", reading=reading) == Money(minor, "USD", 2)


@given(
    st.text(max_size=45) | st.text("0123456789.,' -$€USDjpy\u00a0", max_size=20), st.sampled_from([None, "USD", "JPY"])
)
def test_no_text_makes_reading_an_amount_fail_otherwise_than_by_a_refusal(text: str, currency: str | None) -> None:
    with suppress(LedgerError):
        money = read_amount(text, currency=currency)
        assert Money.of(money.amount, money.currency) == money


@pytest.mark.parametrize(
    ("currency", "like"), [(None, "1250.00 USD"), ("EUR", "1250.00 EUR"), ("JPY", "1250 JPY"), ("KWD", "1250.000 KWD")]
)
def test_what_cannot_be_read_is_shown_an_amount_of_its_own_currency(currency: str | None, like: str) -> None:
    with pytest.raises(MoneyError) as caught:
        read_amount("forty", currency=currency)
    assert caught.value.mend == f"Write it like {like}."


@pytest.mark.parametrize(
    ("text", "sure"), [("1.250,00", "1.234,50"), ("1.250.000,5", "1.234,50"), ("1.250", None), ("12.50,00", None)]
)
def test_both_marks_together_say_how_they_are_meant_where_it_is_an_amount(text: str, sure: str | None) -> None:
    with pytest.raises(MoneyError) as caught:
        read_amount(text, currency="USD")
    assert getattr(caught.value, "sure", None) == sure


@pytest.mark.parametrize(
    ("text", "reading", "read"),
    [
        ("1.250,00", None, "1250.00 EUR"),
        ("1.250,00", "1,234.50", "1250.00 EUR"),
        ("1,250.00", "1.234,50", "1250.00 EUR"),
        ("1.250", "1.234,50", "1250.00 EUR"),
        ("1,250", "1,234.50", "1250.00 EUR"),
    ],
)
def test_a_stated_reading_decides_only_what_the_marks_leave_open(text: str, reading: Any, read: str) -> None:
    assert str(read_shown_amount(text, currency="EUR", reading=reading)) == read


def test_who_sees_an_amount_is_still_asked_where_its_marks_leave_it_open() -> None:
    with pytest.raises(AmbiguousAmountError):
        read_shown_amount("1.250", currency="EUR")
