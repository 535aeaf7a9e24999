"""Costs, rates and insurance over HTTP."""

import csv
import io
from typing import Any

from ledger.actor import Permission
from ledger.spreadsheet_cells import read_sheet
from tests.api.door import Door, fields, problem

RATE = {"of": "USD", "into": "EUR", "on": "2024-02-01", "rate": "0.5", "source": "a bank"}


def eur(minor: int) -> dict[str, Any]:
    return {"minor": minor, "currency": "EUR", "exponent": 2}


def in_dollars(minor: int) -> dict[str, Any]:
    return {**eur(minor), "currency": "USD"}


def valuation(minor: int, purpose: str = "insurance") -> dict[str, Any]:
    return {"on": "2024-12-01", "purpose": purpose, "method": "own judgement", "amount": eur(minor)}


def test_a_book_is_counted_by_the_rate_that_was_sent_and_a_missing_one_is_named(door: Door) -> None:
    book = door.a_book(price=in_dollars(10001), tax=eur(300))
    before = door.get(f"/books/{book}/costs?currency=EUR").json()["periods"][0]
    assert before["missing_rates"] == [{"of": "USD", "into": "EUR", "on": "2024-02-01"}]
    assert (before["basis"], before["basis_whole"]) == (eur(300), False)
    made = door.post("/rates", {"rates": [RATE]})
    assert (made.status_code, made.json()["rates"][0]["id"]) == (201, "USD-EUR-2024-02-01")
    after = door.get(f"/books/{book}/costs?currency=EUR").json()["periods"][0]
    # 100.01 at 0.5 is 50.005: the half goes to the even cent.
    assert (after["basis"], after["basis_whole"], after["missing_rates"]) == (eur(5300), True, [])
    assert (after["lines"][0]["rate"], after["no_gain"]) == ("USD-EUR-2024-02-01", "no value")
    assert door.client.delete("/rates/USD-EUR-2024-02-01").status_code == 204
    assert door.get("/rates").json() == {"rates": []}
    problem(door.client.delete("/rates/USD-EUR-2024-02-01"), 404)


def test_the_totals_and_the_year_agree(door: Door) -> None:
    book = door.a_book(price=eur(10000))
    door.an_event(book, "sale", on="2025-03-01", disclosed="work told", price=eur(13000), fees=eur(500))
    found = door.get("/costs").json()
    assert (found["currency"], found["realised"]) == ("EUR", eur(2500))
    assert [each["gain"]["minor"] for each in found["years"]] == [0, 2500]
    year = door.get("/costs/2025").json()
    assert [(each["part"], each["amount"]["minor"]) for each in year["lines"]] == [
        ("sale price", 13000),
        ("sale fees", -500),
    ]
    assert year["sold"] == [{"book": book, "proceeds": eur(12500), "basis": eur(10000), "gain": eur(2500)}]


def test_a_table_is_safe_in_a_spreadsheet_and_comes_back(door: Door) -> None:
    title = '=HYPERLINK("x")'
    book = door.a_book(price=eur(10000), issue={"title": title, "number": "-1+1"})
    door.an_event(book, "valuation", **valuation(20000))
    for path in ("/costs/2024/table", "/insurance/schedule/table"):
        told = door.get(path)
        assert told.headers["content-type"] == "text/csv; charset=utf-8"
        raw = list(csv.reader(io.StringIO(told.text, newline="")))
        assert {len(row) for row in raw} == {len(raw[0])}
        assert not [each for row in raw for each in row if each.startswith(("=", "+", "@"))]
        head, row = read_sheet(told.text)
        named = dict(zip(head, row, strict=True))
        assert (named["title"], named["issue number"], named["book id"]) == (title, "-1+1", book)


def test_the_schedule_tells_what_is_insured_for_too_little(door: Door) -> None:
    book = door.a_book(price=eur(10000), holding="slabbed", holder_number="A-1")
    door.an_event(book, "valuation", **valuation(15000))
    door.an_event(book, "valuation", **valuation(20000, "market"))
    found = door.get("/insurance/schedule").json()
    (one,) = found["books"]
    assert (found["total"], one["missing"], one["holder_number"]) == (eur(15000), eur(5000), "A-1")
    assert one["to_look_at"] == ["market value is higher"]


def test_without_a_sum_or_a_choice_a_currency_is_asked_for(door: Door) -> None:
    assert fields(problem(door.get("/costs"), 422)) == ["currency"]
    assert fields(problem(door.get("/costs?currency=QQQ"), 422)) == ["currency"]
    assert door.get("/costs?currency=EUR").json()["years"] == []


def test_rates_are_refused_as_a_whole_and_kept_only_by_who_may_record(door: Door) -> None:
    bad = {"rates": [RATE, {**RATE, "into": "USD"}]}
    assert fields(problem(door.post("/rates", bad), 422)) == ["rates.1.into"]
    assert door.get("/rates").json() == {"rates": []}
    problem(door.as_other(Permission.READ, Permission.BENCH).post("/rates", {"rates": [RATE]}), 403)
