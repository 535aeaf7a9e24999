"""A book that its seller sends straight to a grading service, told through the door from the purchase to the wall."""

from typing import Any

from tests.api.door import Door, fields, problem

SENT: dict[str, Any] = {
    "kind": "submission",
    "on": "2024-02-05",
    "stage": "sent by the seller",
    "batch": "harbour-1",
    "asks": "grade",
    "service": "A service by the river",
}
GRADED: dict[str, Any] = {
    "kind": "slab",
    "on": "2024-03-20",
    "batch": "harbour-1",
    "stated": {"as_written": "9.4", "steps": ["9.4"], "matched_by": "holder number"},
    "holder_number": "77-2001",
}
ARRIVED: dict[str, Any] = {"kind": "arrival", "on": "2024-03-28", "as_described": "yes"}


def bought(door: Door) -> str:
    """A raw book that is paid for and not here."""
    return door.a_book(expects_arrival=True)


def told(door: Door, book: str, *events: dict[str, Any]) -> None:
    for each in events:
        door.an_event(book, **each)


def state(door: Door, book: str) -> tuple[str, str, str]:
    """Status, holding and the line that says what the book is doing."""
    answer = door.get(f"/books/{book}").json()
    return answer["status"], answer["holding"], answer["state"]


def test_a_book_goes_from_its_seller_through_the_service_to_the_wall(door: Door) -> None:
    book = bought(door)
    told(door, book, SENT)
    assert state(door, book) == ("in other hands", "raw", "Out for grading since 5 February 2024")
    news = {"kind": "submission", "batch": "harbour-1"}
    told(door, book, {**news, "on": "2024-02-09", "stage": "received there"})
    told(door, book, {**news, "on": "2024-03-18", "stage": "shipped back"})
    told(door, book, GRADED)
    assert state(door, book) == ("bought, not here yet", "slabbed", "Bought, not here yet")
    placed = {"kind": "placement", "on": "2024-03-29", "spot": "wall", "place": "North wall"}
    refused = problem(door.post(f"/books/{book}/events", placed, If_Match="*"), 409)
    assert refused["errors"]
    told(door, book, ARRIVED, placed)
    answer = door.get(f"/books/{book}").json()
    assert (answer["status"], answer["spot"], answer["holder_number"]) == ("here", "wall", "77-2001")
    assert [(each["stated"]["as_written"], each["own_submission"]) for each in answer["grades"]] == [("9.4", True)]
    (sent,) = answer["submissions"]
    assert (sent["batch"], sent["by_seller"], sent["ended_by"] is not None) == ("harbour-1", True, True)


def test_who_opens_the_parcel_first_may_write_the_grade_afterwards(door: Door) -> None:
    book = bought(door)
    told(door, book, SENT, ARRIVED)
    assert state(door, book)[:2] == ("here", "raw")
    told(door, book, {**GRADED, "on": "2024-03-28"})
    assert state(door, book)[:2] == ("here", "slabbed")


def test_an_outcome_that_says_when_it_came_back_is_its_arrival(door: Door) -> None:
    book = bought(door)
    told(door, book, SENT, {**GRADED, "came_back": "2024-03-28"})
    assert state(door, book)[:2] == ("here", "slabbed")
    assert fields(problem(door.post(f"/books/{book}/events", ARRIVED, If_Match="*"), 409)) == ["stage"]


def test_a_book_under_way_is_not_sent_from_here_and_one_that_is_here_not_by_its_seller(door: Door) -> None:
    book = bought(door)
    from_here = {**SENT, "stage": "sent"}
    refused = problem(door.post(f"/books/{book}/events", from_here, If_Match="*"), 409)
    assert [(each["rule"], each["field"]) for each in refused["errors"]] == [("submission.1", "on")]
    told(door, book, {**ARRIVED, "on": "2024-02-03"})
    refused = problem(door.post(f"/books/{book}/events", SENT, If_Match="*"), 409)
    assert [(each["rule"], each["field"]) for each in refused["errors"]] == [("submission.1", "stage")]
    told(door, book, from_here)
    assert state(door, book)[0] == "in other hands"
