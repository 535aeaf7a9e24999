"""A line over a column says which field it is, and beside it a currency, an order of days, or nothing that matters."""

from datetime import date
from typing import Literal

import pytest

from ledger.importing.columns import matched
from ledger.importing.heads import Head, read_head
from ledger.importing.reading import ASK_CURRENCY, ASK_ORDER, RowRead, RowReader, Ways


@pytest.mark.parametrize(
    ("head", "field", "currency"),
    [
        ("Price (EUR)", "price", "EUR"),
        ("Price(\u20ac)", "price", "EUR"),
        ("Value [in USD]", "value", "USD"),
        ("paid in eur", "price", "EUR"),
        ("Shipping, GBP", "shipping", "GBP"),
        ("Amount paid (US$)", "price", "USD"),
        ("CAD price", "price", "CAD"),
        ("price usd", "price", "USD"),
        ("Paid\n(EUR)", "price", "EUR"),
        ("Price (TRY)", "price", "TRY"),
    ],
)
def test_a_currency_beside_the_name_of_an_amount_is_that_of_its_column(head: str, field: str, currency: str) -> None:
    assert read_head(head) == Head(field=field, currencies=(currency,))


@pytest.mark.parametrize(
    ("head", "order"),
    [
        ("Bought (dd/mm/yyyy)", "dmy"),
        ("Date [MM-DD-YY]", "mdy"),
        ("Purchase date YYYY-MM-DD", "ymd"),
        ("Date (day/month/year)", "dmy"),
        ("Date (DDMMYYYY)", "dmy"),
        ("Bought (yyyy)", None),
        ("Date bought (mm/yyyy)", None),
        ("Purchased (month year)", None),
    ],
)
def test_an_order_of_days_beside_the_name_of_a_day_is_that_of_its_column(
    head: str, order: Literal["dmy", "mdy", "ymd"] | None
) -> None:
    assert read_head(head) == Head(field="on", order=order)


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Issue(s)", "number"),
        ("Grade (if known)", "grade"),
        ("Grade (if graded)", "grade"),
        ("Box #", "place"),
        ("Slab #", "holder_number"),
        ("Cost each", "price"),
        ("Own (y/n)", "here"),
    ],
)
def test_what_does_not_matter_beside_a_name_is_passed_over(head: str, field: str) -> None:
    assert read_head(head) == Head(field=field)


@pytest.mark.parametrize(
    "head",
    [
        "Sold ($)",
        "Sold price (USD)",
        "Date sold (mm/dd/yyyy)",
        "Sold (date)",
        "Sold on (m/y)",
        "Sale price EUR",
        "Sold Y/N",
        "Wishlist",
    ],
)
def test_a_column_of_what_was_sold_is_known_whatever_stands_beside_its_name(head: str) -> None:
    assert read_head(head) == Head(field="gone")


def test_a_row_says_that_its_book_was_sold_by_an_amount_that_is_not_zero() -> None:
    heads = "Title|No|Sold for ($)"

    assert read(heads, "Amber Anchor|14|$25.00").aside == "Sold or wanted: $25.00"
    assert not any(
        read(heads, f"Amber Anchor|14|{text}").aside for text in ("", "0", "$0.00", "$ -", "-", "0,00 \u20ac")
    )


def test_a_line_that_is_too_long_for_a_name_is_told_at_once() -> None:
    assert read_head("Price" + " " * 96) == Head()
    assert read_head("price (" + "\t" * 9_000 + "x") == Head()


@pytest.mark.parametrize(
    "head",
    [
        "Date (sold)",
        "Value (if graded)",
        "Price (if slabbed)",
        "Top Value",
        "Paid in all",
        "PAID (ALL)",
        "Price (Bob)",
        "Title Year",
        "Wanted ($)",
        "Price wanted",
        "Item #",
        "Book #",
        "Key",
        "Key?",
        "Certificate?",
        "Variant?",
        "Sealed",
        "Market",
        "Fair",
        "Cover",
        "Bought (mm/yy)",
        "Bought (d/m)",
        "Bought (month)",
        "Price (guide)",
        "Price all",
        "Grade (EUR)",
        "Price (dd/mm/yyyy)",
        "Bought (d/d/d)",
        "Title (of the shelf)",
        "(EUR)",
        "EUR",
        "",
        "(" * 5000,
    ],
)
def test_a_line_that_says_something_else_names_no_field(head: str) -> None:
    assert read_head(head) == Head()


def read(heads: str, row: str, **ways: str) -> RowRead:
    columns = matched([(1, heads.split("|")), (2, row.split("|"))])
    reader = RowReader(columns.fields, Ways(day=date(2026, 3, 4), **ways), columns.heads)  # type: ignore[arg-type]
    return reader.read(2, row.split("|"))


def test_each_amount_is_in_the_currency_over_its_column_unless_its_row_names_one() -> None:
    heads = "Title|No|Paid (EUR)|Value (USD)|Shipping|Tax (EUR)"

    row = read(heads, "Amber Anchor|14|2.50|9.00|1.00|0.50 GBP", currency="CAD")

    assert not row.problems
    assert {name: row.shown[name] for name in ("price", "value", "shipping", "tax")} == {
        "price": "2.50 EUR",
        "value": "9.00 USD",
        "shipping": "1.00 CAD",
        "tax": "0.50 GBP",
    }


def test_where_a_row_and_the_line_over_a_column_name_two_currencies_it_is_not_guessed_which_was_paid() -> None:
    heads = "Title|No|Paid (EUR)|Value (USD)|Shipping|Currency"

    (problem,) = read(heads, "Amber Anchor|14|2.50|9.00|1.00|CHF").problems
    assert problem.field == "price"
    assert "in EUR by the line over the column and in CHF by its row" in problem.sentence
    row = read(heads, "Amber Anchor|14|2.50 CHF|9.00|1.00|CHF")
    assert not row.problems
    assert [row.shown[name] for name in ("price", "value", "shipping")] == ["2.50 CHF", "9.00 USD", "1.00 CHF"]
    assert read(heads, "Amber Anchor|14|2.50 EUR||1.00|CHF").shown["price"] == "2.50 EUR"
    assert read("Title|No|Paid ($)|Currency", "Amber Anchor|14|2.50|CAD").shown["price"] == "2.50 CAD"


def test_dollars_over_a_column_are_asked_about_unless_it_is_known_which() -> None:
    asked = read("Title|No|Paid ($)", "Amber Anchor|14|2.50")

    assert [each.rule for each in asked.problems] == [ASK_CURRENCY]
    assert read("Title|No|Paid ($)", "Amber Anchor|14|2.50", currency="EUR").problems == asked.problems
    assert read("Title|No|Paid ($)", "Amber Anchor|14|2.50", currency="AUD").shown["price"] == "2.50 AUD"


def test_a_day_that_can_be_read_in_two_ways_is_read_as_its_column_says() -> None:
    heads = "Title|No|Bought (dd/mm/yyyy)"

    assert read(heads, "Amber Anchor|14|3/4/1998").shown["on"] == "3 April 1998"
    assert read(heads, "Amber Anchor|14|3/4/1998", order="mdy").shown["on"] == "3 April 1998"
    asked = read("Title|No|Bought", "Amber Anchor|14|3/4/1998")
    assert [each.rule for each in asked.problems] == [ASK_ORDER]
