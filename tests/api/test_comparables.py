"""Comparables over REST: kept one by one and as a table, changed, left out, taken away; a book's value at a grade."""

from typing import Any

import pytest

from tests.api.door import Door, fields, problem

ISSUE = {"title": "Harbor Lamp", "number": "14", "start_year": 1952}
ASKED = "/comparables?title=harbor%20lamp&number=14&start_year=1952"
PRICE = {"minor": 125000, "currency": "USD", "exponent": 2}
SALE = {"issue": ISSUE, "on": "2025-11", "grade": "9.0", "price": PRICE, "where": "=an auction", "holding": "slabbed"}
TABLE = "date;grade;price\n" + "\n".join(f"2025-0{at}-01;7.5;{100 + at}.00 USD" for at in range(1, 7))


def kept(door: Door, **changes: Any) -> dict[str, Any]:
    made = door.post("/comparables", {**SALE, **changes})
    assert made.status_code == 201, made.text
    told: dict[str, Any] = made.json()
    assert made.headers["Location"].endswith(f"/comparables/{told['id']}")
    return told


def change(door: Door, sale: str, body: object) -> Any:
    return door.client.patch(f"/comparables/{sale}", json=body)


def test_a_sale_is_kept_listed_changed_left_out_and_taken_away_and_the_ledger_is_not_touched(door: Door) -> None:
    size = door.size
    sale = kept(door)
    assert (sale["on"], sale["grade"], sale["price"], sale["where"]) == ("2025-11", "9.0", PRICE, "=an auction")
    assert door.get(ASKED).json() == {"comparables": [sale]}
    assert door.get(f"/comparables/{sale['id']}").json() == sale
    changed = change(door, sale["id"], {"grade": "9.2"}).json()
    assert changed == {**sale, "grade": "9.2"}
    out = change(door, sale["id"], {"left_out": "restored", "on": None}).json()
    assert out == {**changed, "left_out": "restored", "on": None}
    assert change(door, sale["id"], {"left_out": ""}).json()["left_out"] == ""
    assert door.client.delete(f"/comparables/{sale['id']}").status_code == 204
    assert door.get(ASKED).json() == {"comparables": []}
    assert door.size == size


def test_another_start_year_is_another_issue(door: Door) -> None:
    kept(door)
    assert door.get("/comparables?title=Harbor%20Lamp&number=14").json() == {"comparables": []}


@pytest.mark.parametrize(("changes", "field"), [
    ({"price": {**PRICE, "minor": 0}}, "price"), ({"on": "2999"}, "on"), ({"grade": "9.3"}, "grade"),
])  # fmt: skip
def test_a_sale_that_cannot_be_is_refused_at_its_field(door: Door, changes: dict[str, Any], field: str) -> None:
    assert field in fields(door.post("/comparables", {**SALE, **changes}).json())


def test_a_table_is_kept_whole_refused_by_row_and_field_and_doubles_are_the_senders_choice(door: Door) -> None:
    refused = door.post("/comparables/table", {"issue": ISSUE, "table": f"{TABLE}\n2025;9.3;some"})
    assert {"rows.7.grade", "rows.7.price"} <= set(fields(refused.json()))
    assert door.get(ASKED).json() == {"comparables": []}
    body = {"issue": ISSUE, "table": TABLE}
    assert len(door.post("/comparables/table", body).json()["comparables"]) == 6
    problem(door.post("/comparables/table", body), 409)
    again = door.post("/comparables/table", {**body, "rows": [1, 2], "keep_doubles": True})
    assert len(again.json()["comparables"]) == 2


def test_a_books_value_is_told_with_its_neighbours_and_nothing_beyond_the_sales(door: Door) -> None:
    book = door.a_book(issue=ISSUE, holding="raw")
    door.post("/comparables/table", {"issue": ISSUE, "table": TABLE})
    found = door.get(f"/books/{book}/value?grade=7.5&currency=USD").json()
    assert (found["count"], found["value"]["grades"], len(found["value"]["sales"])) == (6, ["7.5"], 6)
    assert 10100 < found["value"]["mid"]["minor"] < 10600
    beyond = door.get(f"/books/{book}/value?grade=9.8&currency=USD").json()
    assert (beyond["value"], beyond["at_most"]) == (None, None)
    assert beyond["at_least"] == found["value"]["mid"]
    earlier = door.get(f"/books/{book}/value?grade=7.5&currency=USD&on=2025-03-31").json()
    assert (earlier["count"], earlier["value"]) == (3, None)
    assert {each["why"] for each in earlier["aside"]} == {"sold after the day of the valuation"}
    other = door.get(f"/books/{book}/value?grade=7.5&currency=EUR").json()
    assert {each["why"] for each in other["aside"]} == {"in another currency, and no rate of that day is kept"}


@pytest.mark.parametrize("query", ["grade=7.5&currency=ZZZ", "grade=7.5&currency=USD&on=2025-02-30", "grade=7.5"])
def test_a_question_that_cannot_be_is_refused(door: Door, query: str) -> None:
    assert door.get(f"/books/{door.a_book()}/value?{query}").status_code in (400, 422)


def test_what_is_not_there_is_not_found(door: Door) -> None:
    assert door.get("/comparables/none").status_code == 404
    assert change(door, "none", {"grade": "9.0"}).status_code == 404
    assert door.get("/books/none/value?grade=7.5&currency=USD").status_code == 404


def test_a_reader_keeps_nothing(door: Door) -> None:
    token = door.post("/tokens", {"label": "a", "permissions": ["read"], "days": 9}).json()["secret"]
    assert door.post("/comparables", SALE, Authorization=f"Bearer {token}").status_code == 403
    assert door.get(ASKED, Authorization=f"Bearer {token}").status_code == 200
