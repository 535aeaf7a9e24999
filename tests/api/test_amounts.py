"""Amounts as people write them, at the door: read where there is one reading, refused where there are two."""

from typing import Any

import pytest

from tests.api.door import Door, fields, problem, purchase


def kept(door: Door, book: str, name: str) -> Any:
    """What a sealed field of the book's first entry holds."""
    return door.get(f"/books/{book}/events").json()["entries"][0]["sealed"][name]["value"]


@pytest.mark.parametrize(
    ("written", "minor"),
    [
        ({"amount": "1250.00", "currency": "EUR"}, 125000),
        ({"amount": "1.250,00", "currency": "EUR", "reading": "1.234,50"}, 125000),
        ({"amount": "1,250.00", "currency": "EUR", "reading": "1,234.50"}, 125000),
        ({"amount": "1.250", "currency": "EUR", "reading": "1.234,50"}, 125000),
        ({"amount": "1250", "currency": "JPY"}, 1250),
        ({"amount": "1250.00", "currency": "EUR", "reading": None}, 125000),
    ],
)
def test_a_written_amount_is_kept_counted(door: Door, written: dict[str, Any], minor: int) -> None:
    book = door.a_book(price=written)
    exponent = {"EUR": 2, "JPY": 0}[written["currency"]]
    assert kept(door, book, "price") == {"minor": minor, "currency": written["currency"], "exponent": exponent}


def test_two_readings_are_both_named_with_what_the_amount_would_be(door: Door) -> None:
    told = problem(door.post("/books", purchase(price={"amount": "1.250", "currency": "EUR"})), 422)
    sentence = told["errors"][0]["sentence"]
    assert fields(told) == ["price.amount"]
    for each in ("1,234.50", "1.234,50", "1250.00"):
        assert each in sentence


def test_comma_decimals_without_a_stated_reading_are_refused(door: Door) -> None:
    before = door.size
    told = problem(door.post("/books", purchase(price={"amount": "1.250,00", "currency": "EUR"})), 422)
    assert fields(told) == ["price.amount"]
    assert "1.234,50" in told["errors"][0]["sentence"]
    assert door.size == before


@pytest.mark.parametrize(
    ("written", "field"),
    [
        ({"amount": 1250, "currency": "EUR"}, "price.amount"),
        ({"amount": "1250.00"}, "price.currency"),
        ({"amount": "1250.00", "currency": "ZZZ"}, "price.currency"),
        ({"amount": "1250.00", "currency": "EUR", "reading": "de"}, "price.reading"),
        ({"amount": "1250.00", "currency": "EUR", "minor": 1}, "price.minor"),
        ({"amount": "a lot", "currency": "EUR"}, "price.amount"),
        ({"amount": "1250.00 USD", "currency": "EUR"}, "price.amount"),
        ({"amount": "-5.00", "currency": "EUR"}, "price"),
    ],
)
def test_a_written_amount_that_cannot_be_counted_names_its_field(
    door: Door, written: dict[str, Any], field: str
) -> None:
    assert fields(problem(door.post("/books", purchase(price=written)), 422)) == [field]


def test_an_amount_deep_inside_a_list_is_counted_too(door: Door) -> None:
    book = door.a_book()
    sold = {"on": "2024-01-05", "price": {"amount": "80.00", "currency": "EUR"}}
    fresh = {"amount": {"amount": "90,00", "currency": "EUR"}, "method": "comparables", "comparables_used": [sold]}
    door.an_event(book, "valuation", on="2024-03-01", **fresh)
    valued = door.get(f"/books/{book}/events").json()["entries"][1]["sealed"]
    assert valued["amount"]["value"]["minor"] == 9000
    assert valued["comparables_used"]["value"][0]["price"] == {"minor": 8000, "currency": "EUR", "exponent": 2}
    body = {"kind": "valuation", "method": "comparables", "comparables_used": [{**sold, "price": {"amount": "1.250"}}]}
    told = problem(door.post(f"/books/{book}/events", body), 422)
    assert "comparables_used.0.price.currency" in fields(told)


def test_a_correction_takes_a_written_amount(door: Door) -> None:
    book = door.a_book(price={"amount": "80.00", "currency": "EUR"})
    first = door.get(f"/books/{book}/events").json()["entries"][0]["seq"]
    door.an_event(book, "correction", entry=first, changes={"price": {"amount": "85.00", "currency": "EUR"}})
    entry = door.get(f"/books/{book}/events").json()["entries"][0]
    assert entry["sealed"]["price"]["value"]["minor"] == 8000
    assert entry["now"]["sealed"]["price"]["value"]["minor"] == 8500
    body = {"kind": "correction", "entry": first, "changes": {"price": {"amount": "1.250", "currency": "EUR"}}}
    assert fields(problem(door.post(f"/books/{book}/events", body, If_Match="*"), 422)) == ["changes.price.amount"]
