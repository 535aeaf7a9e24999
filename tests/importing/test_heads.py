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
    ],
)
def test_an_order_of_days_beside_the_name_of_a_day_is_that_of_its_column(
    head: str, order: Literal["dmy", "mdy", "ymd"]
) -> None:
    assert read_head(head) == Head(field="on", order=order)


@pytest.mark.parametrize(("head", "field"), [("Issue(s)", "number"), ("Grade (if known)", "grade"), ("Box #", "place")])
def test_what_does_not_matter_beside_a_name_is_passed_over(head: str, field: str) -> None:
    assert read_head(head) == Head(field=field)


@pytest.mark.parametrize(
    "head",
    [
        "Date (sold)",
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
    assert read(f"{heads}|Currency", "Amber Anchor|14|2.50|||| CHF").shown["price"] == "2.50 CHF"


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
