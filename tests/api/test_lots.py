"""Lots over REST: several purchases in one act, each with its exact part of what was paid."""

from typing import Any

import pytest

from tests.api.door import Door, fields, problem

PRICE = {"minor": 10000, "currency": "EUR", "exponent": 2}


def lot(count: int = 3, **changes: Any) -> dict[str, Any]:
    books = [{"issue": {"title": "Captain Lantern", "number": str(number)}} for number in range(1, count + 1)]
    return {"on": "2024-02-01", "price": PRICE, "books": books, **changes}


def shared(shares: list[int | None]) -> dict[str, Any]:
    body = lot(len(shares))
    return {**body, "books": [{**each, "share": share} for each, share in zip(body["books"], shares, strict=True)]}


def told(door: Door, written: dict[str, Any], name: str) -> list[int]:
    events = [door.get(f"/events/{each['seq']}").json() for each in written["entries"]]
    return [each["sealed"][name]["value"]["minor"] for each in events]


def test_a_lot_is_one_act_and_its_parts_make_the_sum(door: Door) -> None:
    """By hand, largest remainder: 100.00 in three is 33.34, 33.33, 33.33; 18.50 is 6.17, 6.17, 6.16."""
    made = door.post("/lots", lot(shipping={"amount": "18,50", "currency": "EUR"}))
    assert made.status_code == 201, made.text
    written = made.json()
    assert made.headers["Location"].endswith(f"/acts/{written['act']}")
    assert {each["kind"] for each in written["entries"]} == {"purchase"}
    assert len({each["book"] for each in written["entries"]}) == 3
    assert told(door, written, "price") == [3334, 3333, 3333]
    assert told(door, written, "shipping") == [617, 617, 616]


def test_stated_shares_split_it(door: Door) -> None:
    """By hand: 100.00 by 3, 1, 0 is 75.00, 25.00, 0.00."""
    assert told(door, door.post("/lots", shared([3, 1, 0])).json(), "price") == [7500, 2500, 0]


@pytest.mark.parametrize(
    ("body", "at"),
    [
        (lot(1), ["books"]),
        (shared([1, None]), ["books.1.share"]),
        (shared([0, 0]), ["books.0.share"]),
        (lot(means="came back"), ["means"]),
        (lot(means="gift"), ["price"]),
        (lot(price={"amount": "dear", "currency": "EUR"}), ["price.amount"]),
        (lot(strange=1), ["strange"]),
    ],
)
def test_what_is_wrong_is_named_by_its_place_in_the_body(door: Door, body: dict[str, Any], at: list[str]) -> None:
    before = door.get("/events").json()
    assert fields(problem(door.post("/lots", body), 422)) == at
    assert door.get("/events").json() == before


def test_a_holder_number_of_a_raw_book_is_told_at_that_book(door: Door) -> None:
    body = lot(2)
    body["books"][1] |= {"holding": "raw", "holder_number": "A-1"}
    assert fields(problem(door.post("/lots", body), 422)) == ["books.1.holder_number"]
