"""Several events written together: all of them or none, and each problem at its own place."""

from typing import Any

from tests.api.door import Door, fields, problem, purchase


def note(**part: Any) -> dict[str, Any]:
    return {"event": {"kind": "note", "words": "Came in the same parcel."}, **part}


def new(**changes: Any) -> dict[str, Any]:
    return {"new": True, "event": purchase(**changes)}


def test_a_lot_is_written_as_one_act(door: Door) -> None:
    book = door.a_book()
    made = door.post("/acts", {"events": [new(), new(), note(book=book), note()]})
    assert made.status_code == 201, made.text
    written = made.json()
    assert [each["kind"] for each in written["entries"]] == ["purchase", "purchase", "note", "note"]
    assert written["entries"][2]["book"] == book
    assert written["entries"][3]["book"] is None
    assert made.headers["location"] == f"/acts/{written['act']}"
    told = door.get(made.headers["location"]).json()
    assert [each["seq"] for each in told["entries"]] == [each["seq"] for each in written["entries"]]
    assert {each["act"] for each in told["entries"]} == {written["act"]}


def test_one_bad_event_keeps_all_of_them_out(door: Door) -> None:
    book = door.a_book()
    size = door.size
    told = problem(door.post("/acts", {"events": [new(), {"book": book, "event": purchase()}]}), 409)
    assert fields(told) == ["events.1.event.on"]
    assert told["errors"][0]["rule"] == "purchase.1"
    assert door.size == size


def test_the_problems_of_every_event_are_named_each_at_its_place(door: Door) -> None:
    size = door.size
    body = {"events": [new(means="conjured"), {"event": {"kind": "sale"}}, new(on="1998-13")]}
    told = problem(door.post("/acts", body), 422)
    assert fields(told) == ["events.0.event.means", "events.1.event.kind", "events.2.event.on"]
    assert door.size == size


def test_a_flaw_is_named_at_its_place_in_an_act_of_one_and_of_two(door: Door) -> None:
    bad = new(premium={"minor": -1, "currency": "EUR", "exponent": 2})
    assert fields(problem(door.post("/acts", {"events": [bad]}), 422)) == ["events.0.event.premium"]
    assert fields(problem(door.post("/acts", {"events": [new(), bad]}), 422)) == ["events.1.event.premium"]


def test_a_new_book_begins_with_its_purchase_and_has_no_id_yet(door: Door) -> None:
    told = problem(door.post("/acts", {"events": [{**note(), "new": True}]}), 422)
    assert fields(told) == ["events.0.event.kind"]
    told = problem(door.post("/acts", {"events": [{**new(), "book": door.a_book()}]}), 422)
    assert fields(told) == ["events.0.new"]


def test_an_act_without_events_or_with_something_else_is_refused(door: Door) -> None:
    assert fields(problem(door.post("/acts", {"events": []}), 422)) == ["events"]
    assert fields(problem(door.post("/acts", {}), 422)) == ["events"]
    assert fields(problem(door.post("/acts", {"events": [{**note(), "colour": "red"}]}), 422)) == ["events.0.colour"]


def test_a_book_that_is_not_there_keeps_the_act_out(door: Door) -> None:
    size = door.size
    problem(door.post("/acts", {"events": [new(), note(book="nosuchbook")]}), 404)
    assert door.size == size


def test_the_tags_of_all_books_must_fit(door: Door) -> None:
    one, other = door.a_book(), door.a_book()
    size = door.size
    told = problem(door.post("/acts", {"events": [note(book=one, tag=1), note(book=other, tag=2)]}), 412)
    assert fields(told) == ["events.1.tag"]
    assert '"1"' in told["detail"]
    assert door.size == size
    assert door.post("/acts", {"events": [note(book=one, tag=1), note(book=other, tag=1)]}).status_code == 201


def test_what_mends_in_an_act_must_say_what_was_read(door: Door) -> None:
    book = door.a_book()
    seq = door.an_event(book, "note", words="a")
    part = {"book": book, "event": {"kind": "withdrawal", "entry": seq}}
    told = problem(door.post("/acts", {"events": [note(book=book), part]}), 428)
    assert fields(told) == ["events.1.tag"]
    assert door.post("/acts", {"events": [{**part, "tag": 2}]}).status_code == 201


def test_two_tags_of_one_book_that_differ_fit_nothing(door: Door) -> None:
    book = door.a_book()
    body = {"events": [note(book=book, tag=7), note(book=book, tag=1)]}
    told = problem(door.post("/acts", body), 422)
    assert fields(told) == ["events.1.tag"]
