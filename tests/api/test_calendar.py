"""The calendar of the bench over REST: RFC 5545 for whoever may read, without an address of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from api.routes.calendar import _EXAMPLE
from ledger.actor import Permission
from ledger.bootstrap import open_ledger
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.feed import make_feed
from tests.api.door import OWNER, Door, door_to, problem
from tests.calendars import flaws
from tests.fakes import FakeClock

PRESS = {"technique": "cold-press", "settings.total_minutes": "720"}


@pytest.fixture
def opened(tmp_path: Path, clock: FakeClock) -> Iterator[Ledger]:
    """A ledger as the program opens it."""
    with open_ledger(Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys")), clock=clock) as ledger:
        yield ledger


def test_ends_stand_in_it_without_titles_and_by_titles_where_their_owner_asked(opened: Ledger) -> None:
    door = door_to(opened, set(Permission))
    door.post("/bench/loads", {"books": [door.a_book()], "values": PRESS})
    answer = door.get("/bench/calendar")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert flaws(answer.content) == []
    assert "SUMMARY:Comes out: Cold press\\, one book\r\n" in answer.text
    make_feed(opened, OWNER, titles=True)
    assert "one book" not in door.get("/bench/calendar").text


def test_it_takes_the_permission_to_read(opened: Ledger) -> None:
    assert door_to(opened, {Permission.READ}).get("/bench/calendar").status_code == 200
    problem(door_to(opened, {Permission.RECORD}).get("/bench/calendar"), 403)


def test_where_no_calendar_is_written_that_is_said(door: Door) -> None:
    problem(door.get("/bench/calendar"), 409)


def test_the_example_of_the_document_is_a_calendar() -> None:
    assert flaws(_EXAMPLE.encode()) == []
