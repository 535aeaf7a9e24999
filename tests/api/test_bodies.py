"""What the door refuses of a body: each with a status, its field and the mend, and nothing is written."""

import asyncio
import json
from dataclasses import dataclass
from typing import Any

import pytest
from fastapi import Request

from api.bodies import BODY_MOST, read_capped
from api.refusals import TooLargeError
from ledger.rules.grades import grades
from tests.api.door import Door, fields, problem, purchase

PRICE = {"minor": 1000, "currency": "EUR", "exponent": 2}


@dataclass(frozen=True)
class Bad:
    """A body that is refused: how it is sent, and the status, the field and the words of the mend it gets."""

    body: str
    status: int
    field: str
    mend: str


def spliced(**values: str) -> str:
    """A purchase as text, with these values put in letter for letter."""
    text = json.dumps(purchase(**{name: f"@{name}@" for name in values}))
    for name, value in values.items():
        text = text.replace(f'"@{name}@"', value)
    return text


def said(**values: Any) -> str:
    """A purchase with these values."""
    return json.dumps(purchase(**values), ensure_ascii=False)


def stated(step: str) -> dict[str, Any]:
    return {"as_written": step, "steps": [step]}


BODIES = {
    "an unknown field": Bad(said(colour="red"), 422, "colour", "Leave it out"),
    "an unknown field inside": Bad(said(price={**PRICE, "rate": 1}), 422, "price.rate", "Leave it out"),
    "false for a number": Bad(said(price={**PRICE, "minor": False}), 422, "price.minor", "whole number"),
    "a text for a number": Bad(said(price={**PRICE, "minor": "1000"}), 422, "price.minor", "whole number"),
    "a number for a truth value": Bad(said(expects_arrival=1), 422, "expects_arrival", "true or false"),
    "the same name twice": Bad(spliced(reason='"a", "reason": "b"'), 400, "reason", "Keep one of them"),
    "NaN": Bad(spliced(price="NaN"), 400, "price", "as a string"),
    "a number beyond all": Bad(spliced(price="1e400"), 400, "price", "as a string"),
    "a fraction": Bad(spliced(price='{"minor": 10.5}'), 400, "price.minor", "as a string"),
    "a whole number beyond the exact ones": Bad(
        spliced(price='{"minor": 9007199254740992}'), 400, "price.minor", "string"
    ),
    "a grade between steps": Bad(said(stated=stated("9.3")), 422, "stated.steps.0", "9.2 or 9.4"),
    "a grade that is a number": Bad(said(stated={"as_written": "x", "steps": [9]}), 422, "stated.steps.0", "in quotes"),
    "a thirteenth month": Bad(said(on="1998-13"), 422, "on", "01 to 12"),
    "a day that is not there": Bad(said(on="1999-02-29"), 422, "on", "February"),
    "a time without its offset": Bad(said(on="2024-05-01T14:30:00"), 422, "on", "offset"),
    "a fee below zero": Bad(said(premium={**PRICE, "minor": -1}), 422, "premium", "zero or more"),
    "an unknown currency": Bad(said(price={**PRICE, "currency": "ZZZ"}), 422, "price.currency", "ISO 4217"),
    "a wrong exponent": Bad(said(price={**PRICE, "exponent": 3}), 422, "price.exponent", "Write exponent 2"),
    "two readings of an amount": Bad(
        said(price={"amount": "1.250", "currency": "EUR"}), 422, "price.amount", "State which marks"
    ),
    "text with a twin": Bad(said(reason="Cafe\u0301"), 400, "reason", "NFC"),
    "half a character": Bad(spliced(reason=r'"\ud800"'), 400, "reason", "Take it out"),
    "a missing field": Bad(json.dumps({"kind": "purchase", "issue": {"title": "A"}}), 422, "issue.number", "Give it"),
    "an unknown means": Bad(said(means="conjured"), 422, "means", "bought"),
    "a list for an object": Bad(said(issue=[]), 422, "issue", "curly braces"),
    "an object for a list": Bad(said(stated={"as_written": "x", "steps": {}}), 422, "stated.steps", "square brackets"),
    "a text that is too long": Bad(said(reason="a" * 4001), 422, "reason", "4000"),
    "a year out of reach": Bad(
        said(issue={"title": "A", "number": "1", "start_year": 17}), 422, "issue.start_year", "1800"
    ),
    "no object": Bad("[]", 400, "", "Send one"),
    "no JSON": Bad("{", 400, "", "not JSON"),
    "nothing": Bad("", 400, "", "not JSON"),
    "another kind": Bad(json.dumps({"kind": "sale"}), 422, "kind", "purchase"),
    "no kind at all": Bad(json.dumps({**purchase(), "kind": 7}), 422, "kind", "purchase"),
}


@pytest.mark.parametrize("bad", BODIES.values(), ids=BODIES)
def test_a_bad_body_is_refused_with_its_field_and_the_mend_and_nothing_is_written(door: Door, bad: Bad) -> None:
    before = door.size
    told = problem(door.post("/books", bad.body), bad.status)
    assert fields(told) == [bad.field]
    assert bad.mend in told["errors"][0]["sentence"]
    assert door.size == before


def test_every_problem_of_a_body_is_named_at_once(door: Door) -> None:
    body = purchase(colour="red", means="conjured", price={"amount": "1.250", "currency": "EUR"}, on="1998-13")
    told = problem(door.post("/books", body), 422)
    assert sorted(fields(told)) == ["colour", "means", "on", "price.amount"]


def test_a_list_with_a_bad_item_is_not_called_too_short_as_well(door: Door) -> None:
    book = door.a_book()
    path = f"/books/{book}/events"
    told = problem(door.post(path, {"kind": "outlook", "weights": [{"grade": "9.3", "per_mille": 1000}]}), 422)
    assert fields(told) == ["weights.0.grade"]
    told = problem(door.post(path, {"kind": "outlook", "weights": []}), 422)
    assert [each["sentence"] for each in told["errors"]] == ["weights has 1 or more items. Give them."]


def test_a_number_between_two_steps_of_the_scale_gets_its_neighbours(door: Door) -> None:
    steps = {grade.text for grade in grades()}
    for between, neighbours in {"9.3": ("9.2", "9.4"), "0.7": ("0.5", "1.0"), "8.7": ("8.5", "9.0")}.items():
        assert between not in steps
        sentence = problem(door.post("/books", purchase(stated=stated(between))), 422)["errors"][0]["sentence"]
        assert all(each in sentence for each in neighbours)


@pytest.mark.parametrize("kind", [[], {}, None, 7, True])
def test_a_kind_that_is_no_text_is_refused_at_every_door(door: Door, kind: object) -> None:
    book = door.a_book()
    for path in ("/books", f"/books/{book}/events", "/events"):
        assert fields(problem(door.post(path, {"kind": kind}), 422)) == ["kind"]
    told = problem(door.post("/acts", {"events": [{"book": book, "event": {"kind": kind}}]}), 422)
    assert fields(told) == ["events.0.event.kind"]


def test_bytes_that_are_not_utf_8_are_refused(door: Door) -> None:
    told = problem(door.post("/books", b'{"kind": "\xff"}'), 400)
    assert "UTF-8" in told["errors"][0]["sentence"]


def test_ten_megabytes_are_refused_before_they_are_read(door: Door) -> None:
    before = door.size
    told = problem(door.post("/books", b" " * 10_000_000), 413)
    assert told["detail"] == f"The body is longer than {BODY_MOST} bytes. Send it in several requests."
    assert door.size == before


def test_what_does_not_say_how_long_it_is_is_refused_while_it_is_read() -> None:
    pieces = iter([b" " * 100_000] * 100)
    read = 0

    async def receive() -> dict[str, Any]:
        nonlocal read
        read += 1
        return {"type": "http.request", "body": next(pieces), "more_body": True}

    with pytest.raises(TooLargeError) as refused:
        asyncio.run(read_capped(Request({"type": "http", "headers": []}, receive)))
    assert refused.value.most == BODY_MOST
    assert read == BODY_MOST // 100_000 + 1


def test_the_largest_body_is_read(door: Door) -> None:
    body = json.dumps(purchase()).encode()
    assert door.post("/books", body + b" " * (BODY_MOST - len(body))).status_code == 201
    problem(door.post("/books", body + b" " * (BODY_MOST - len(body) + 1)), 413)


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "application/json; charset=latin-1", ""]
)
def test_what_is_not_said_to_be_json_is_refused(door: Door, kind: str) -> None:
    before = door.size
    answer = door.post("/books", purchase(), Content_Type=kind)
    assert fields(problem(answer, 415)) == ["Content-Type"]
    assert answer.headers["accept"] == "application/json"
    assert door.size == before


@pytest.mark.parametrize(
    "kind", ["application/json", "Application/JSON; charset=UTF-8", 'application/json;charset="utf-8"']
)
def test_json_is_taken_however_its_type_is_written(door: Door, kind: str) -> None:
    assert door.post("/books", purchase(), Content_Type=kind).status_code == 201


def test_a_kind_that_speaks_of_something_else_is_told_where_it_belongs(door: Door) -> None:
    book = door.a_book()
    told = problem(door.post(f"/books/{book}/events", {"kind": "ruling"}), 422)
    assert "/events" in told["errors"][0]["sentence"]
    for kind, said in (("sale", "A sale"), ("arrival", "An arrival")):
        told = problem(door.post("/events", {"kind": kind}), 422)
        assert told["errors"][0]["sentence"].startswith(f"{said} speaks of a book.")
    told = problem(door.post("/events", {"kind": "seance"}), 422)
    assert "no such kind" in told["errors"][0]["sentence"]
    assert "note" in told["errors"][0]["sentence"]


def test_a_correction_to_what_cannot_be_is_refused_in_words_of_ours(door: Door) -> None:
    book = door.a_book()
    (entry,) = door.get(f"/books/{book}/events").json()["entries"]
    body = {"kind": "correction", "entry": entry["seq"], "changes": {"means": 7, "reason": [], "on": 5, "issue": "x"}}
    told = problem(door.post(f"/books/{book}/events", body, If_Match="*"), 422)
    said = {each["field"]: each["sentence"] for each in told["errors"]}
    assert set(said) == {"changes.means", "changes.reason", "changes.on", "changes.issue"}
    assert said["changes.on"] == "on is a text in quotes. Write it so."
    assert "Input" not in str(said)
