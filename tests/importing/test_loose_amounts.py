"""Amounts as people write them into spreadsheets come to the same amount as their plain spelling, or are refused."""

from typing import Any

import pytest

from ledger.importing.reading import ASK_CURRENCY, ASK_MARKS
from tests.importing.test_reading import problems, read


def price(text: str, **ways: Any) -> str:
    found = read("title|number|price", f"A B|1|{text}", **ways)
    assert not found.problems, found.problems
    return found.shown["price"]


@pytest.mark.parametrize(
    ("text", "currency", "plain"),
    [
        ("US$12", None, "12.00 USD"),
        ("US$ 1,250.00", None, "1250.00 USD"),
        ("CAN$ 12", "USD", "12.00 CAD"),
        ("AU$5", None, "5.00 AUD"),
        ("12 dollars", "CAD", "12.00 CAD"),
        ("12 bucks", "USD", "12.00 USD"),
        ("12 euros", None, "12.00 EUR"),
        ("5 pounds", "GBP", "5.00 GBP"),
        ("10 quid", "GBP", "10.00 GBP"),
        ("500 yen", "USD", "500 JPY"),
        ("Rs. 500", "INR", "500.00 INR"),
        ("Rs.500/-", "INR", "500.00 INR"),
        ("50 kr", "SEK", "50.00 SEK"),
        ("50 z\u0142", None, "50.00 PLN"),
        ("\u00a35/-", "GBP", "5.00 GBP"),
        ("12.-", "CHF", "12.00 CHF"),
        ("12,-- \u20ac", None, "12.00 EUR"),
        ("12.", "USD", "12.00 USD"),
        ("$12.50 USD.", None, "12.50 USD"),
        ("12.50 each", "USD", "12.50 USD"),
        ("$12/ea", "USD", "12.00 USD"),
        ("50\u00a2", "USD", "0.50 USD"),
        ("12 cents", "CAD", "0.12 CAD"),
        ("5c", "EUR", "0.05 EUR"),
        ("25p", "GBP", "0.25 GBP"),
        ("free", "USD", "0.00 USD"),
        ("No charge", "EUR", "0.00 EUR"),
        ("12.50 \u20ac", None, "12.50 EUR"),
    ],
)
def test_an_amount_is_read_as_its_plain_spelling(text: str, currency: str | None, plain: str) -> None:
    assert price(text, currency=currency) == plain
    assert price(plain) == plain


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("about 12", "Write the amount alone"),
        ("~$12", "Write the amount alone"),
        ("$12.50?", "Write the amount alone"),
        ("5/-", "may be shillings"),
        ("5 pounds", "three letters"),
        ("25p", "cannot be read"),
        ("10-12", "cannot be read"),
        ("12 + 3", "cannot be read"),
        ("2/6", "cannot be read"),
        ("12. 50", "no amount"),
        ("1.-5", "cannot be read"),
        ("twelve", "cannot be read"),
        ("Rs.500", "three letters"),
        ("9" * 10_000 + "x", "cannot be read"),
    ],
)
def test_what_is_no_one_amount_is_refused_with_its_mend(text: str, says: str) -> None:
    assert says in problems(read("title|number|price", f"A B|1|{text}", currency="USD"))["price"]


@pytest.mark.parametrize("text", ["free", "12 dollars", "50 kr", "50c", "12.-", "US 12"])
def test_a_currency_that_is_not_said_is_asked_for(text: str) -> None:
    assert problems(read("title|number|price", f"A B|1|{text}")) == {"price": ASK_CURRENCY}


def test_marks_are_asked_for_here_too() -> None:
    assert problems(read("title|number|price", "A B|1|US$1,200")) == {"price": ASK_MARKS}
    assert price("US$1,200", marks="1,234.50") == "1200.00 USD"


def test_a_price_that_says_how_it_came_is_no_amount() -> None:
    assert read("title|number|price", "A B|1|gift").shown == {"title": "A B", "number": "1", "means": "gift"}
    assert read("title|number|price|means", "A B|1|swap|traded").shown["means"] == "trade"
    assert "How it came says bought" in problems(read("title|number|price|means", "A B|1|gift|bought"))["price"]
    assert "shipping" in problems(read("title|number|shipping", "A B|1|gift", currency="USD"))


@pytest.mark.parametrize(
    ("said", "file", "code"),
    [
        ("\u20ac", None, "EUR"),
        ("$", "CAD", "CAD"),
        ("US$", "CAD", "USD"),
        ("US dollars", None, "USD"),
        ("Euro", None, "EUR"),
        ("GBP (\u00a3)", None, "GBP"),
        ("pounds", "GBP", "GBP"),
        ("usd", None, "USD"),
    ],
)
def test_a_currency_is_read_by_its_sign_or_its_word(said: str, file: str | None, code: str) -> None:
    shown = read("title|number|price|currency", f"A B|1|5|{said}", currency=file).shown

    assert (shown["currency"], shown["price"]) == (code, f"5.00 {code}")


def test_a_sign_of_several_currencies_names_none() -> None:
    assert "currency" in problems(read("title|number|price|currency", "A B|1|5|$"))
    assert "currency" in problems(read("title|number|price|currency", "A B|1|5|$", currency="EUR"))


def test_a_currency_that_is_not_known_leaves_it_to_the_file() -> None:
    assert read("title|number|price|currency", "A B|1|5|n/a", currency="USD").shown["price"] == "5.00 USD"


@pytest.mark.parametrize("text", ["($5.00)", "(5 dollars)", "$(5)", "(5) $"])
def test_brackets_that_stand_for_a_minus_are_never_read_as_paid(text: str) -> None:
    (problem,) = problems(read("title|number|price", f"A B|1|{text}", currency="USD")).values()
    assert "below zero" in problem


@pytest.mark.parametrize("text", ["ca $20", "ca 20 $", "Ca $20"])
def test_circa_is_never_taken_for_canadian(text: str) -> None:
    (problem,) = problems(read("title|number|price", f"A B|1|{text}", currency="USD")).values()
    assert "says about how much" in problem
    assert price("CA $20", currency="USD") == price("ca$20", currency="USD") == "20.00 CAD"


def test_points_before_a_comma_are_read_as_they_can_only_be_meant() -> None:
    row = read("title|number|price", "A B|1|1.250,00", currency="EUR")
    assert not row.problems
    assert row.shown["price"] == "1250.00 EUR"


def test_an_amount_whose_sign_is_of_another_currency_is_asked_for_its_letters_and_not_to_lose_its_sign() -> None:
    problem = problems(read("title|number|price", "A B|1|\u00a38", currency="USD"))["price"]

    assert "'\u00a38' is not in USD" in problem
    assert "three letters" in problem


def test_words_of_three_letters_beside_an_amount_are_not_taken_for_a_currency() -> None:
    assert "says more than an amount" in problems(read("title|number|price", "A B|1|$20 max"))["price"]


@pytest.mark.parametrize("text", ["<10", "?10", "$12.50*"])
def test_a_mark_that_says_more_is_not_told_to_be_left_out(text: str) -> None:
    assert "says more than an amount" in problems(read("title|number|price", f"A B|1|{text}", currency="USD"))["price"]
