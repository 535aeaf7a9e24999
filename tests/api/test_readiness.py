"""Readiness tells a watchman whether the ledger is kept safe, and whoever was turned away stands in the door book."""

import logging
from dataclasses import replace

import pytest

from ledger.actor import Permission
from ledger.held import HeldLog
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.doorbook import BOOK, Came
from tests.api.door import OWNER, Door, door_to


def test_it_answers_each_question_with_what_mends_it(door: Door) -> None:
    told = door.get("/readiness").json()
    assert not told["ready"]
    assert [each["name"] for each in told["points"]] == ["writer", "signed", "room", "backup", "drill", "anchor"]
    points = {each["name"]: each for each in told["points"]}
    assert points["writer"] == {"name": "writer", "well": True, "sentence": "It can be written to."}
    assert "slipsheet backup" in points["backup"]["sentence"]
    sign_checkpoint(door.ledger, OWNER)
    points = {each["name"]: each for each in door.get("/readiness").json()["points"]}
    assert points["signed"]["well"]


def test_it_needs_a_token_that_may_read(door: Door) -> None:
    assert door.get("/readiness", Authorization="").status_code == 401
    assert door_to(door.ledger, {Permission.SIGN}).get("/readiness").status_code == 403


def test_a_ledger_that_is_held_says_so_and_takes_nothing_in(door: Door) -> None:
    held = replace(door.ledger, log=HeldLog(door.ledger.log, "2 are missing."))
    shut = replace(door, ledger=held, client=door_to(door.ledger, set(Permission)).client)
    shut.client.app.state.ledger = held  # type: ignore[attr-defined]  # the application, as it was given
    answer = shut.post("/books", {"issue": {"title": "Captain Lantern", "number": "9"}})
    assert answer.status_code == 409
    assert answer.json()["type"] == "urn:slipsheet:problem:held"
    assert "2 are missing." in answer.json()["detail"]


def test_who_is_turned_away_stands_in_the_door_book(door: Door, caplog: pytest.LogCaptureFixture) -> None:
    narrow = door_to(door.ledger, {Permission.READ})
    with caplog.at_level(logging.INFO, BOOK):
        door.get("/books", Authorization="")
        door.get("/books", Authorization="Bearer slip_not-one")
        narrow.client.post("/checkpoint")
        door.get("/books", Host="evil.example")
    told = [(each.getMessage(), getattr(each, "facts", {})) for each in caplog.records if each.name == BOOK]
    assert [event for event, _ in told] == [
        Came.TOKEN_REFUSED,
        Came.TOKEN_REFUSED,
        Came.NOT_PERMITTED,
        Came.OTHER_NAME,
    ]
    assert [facts.get("given") for _, facts in told[:2]] == ["no", "yes"]
    assert told[2][1]["needs"]
    assert not any("slip_not-one" in str(each) for each in told)
