"""Printed catalogues over HTTP: begun, looked at, fetched as a PDF, called off, and refused with the mend."""

from collections.abc import Iterator
from threading import Event
from typing import Any

import pytest

from ledger.actor import Permission
from ledger.adapters.makings import FileMakings
from ledger.adapters.sheets import TypstSheets
from ledger.errors import ConflictError
from ledger.events.erasure import Erasure
from ledger.makings import KEPT_FOR
from ledger.store.codec import EventCodec
from ledger.usecases import catalogue as reading
from ledger.usecases import catalogues as module
from ledger.usecases.catalogues import NOT_AT_HAND
from ledger.usecases.found import found
from ledger.usecases.record import Draft, record
from tests.api.door import OWNER, Door, door_to, fields, problem
from tests.check import check_ledger
from tests.conftest import COLLECTION, ledger_on
from tests.fakes import FakeClock, FakeLog
from tests.pdf import opened, words
from tests.web.shelves import a_shelf

SOON = 20.0
NOWHERE = "c5h2g4f6d5s3a7b7q2m4x6n5k3"


@pytest.fixture
def door() -> Iterator[Door]:
    """Six books behind a door that only reads, of a ledger that can print."""
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()), sheets=TypstSheets())
    found(ledger, OWNER)
    a_shelf(ledger)
    yield door_to(ledger, {Permission.READ})
    makings_of(ledger).stop()
    check_ledger(ledger)


def makings_of(ledger: Any) -> FileMakings[Any, Any]:
    assert isinstance(ledger.catalogues, FileMakings)
    return ledger.catalogues


def ended(door: Door, body: object) -> str:
    """Where the catalogue is, once it is under way no more."""
    begun = door.post("/catalogues", body)
    assert begun.status_code == 202, begun.text
    where: str = begun.headers["location"]
    assert where == f"/catalogues/{begun.json()['id']}"
    makings_of(door.ledger).wait(SOON)
    return where


def text(data: bytes) -> str:
    return words("".join(page.extract_text() for page in opened(data).pages))


def test_an_erasure_takes_away_what_was_printed_before_it(door: Door) -> None:
    where = ended(door, {"print_places": True})
    assert door.get(f"{where}/file").status_code == 200
    with door.ledger.log.read() as reader:
        book = reader.entry(2).book

    record(door.ledger, OWNER, [Draft(event=Erasure(entry=2, names=("price",)), book=book)])

    assert door.get(where).status_code == 404
    assert door.get("/catalogues").json() == {"catalogues": []}


class Gate:
    """A catalogue that waits after its third book."""

    def __init__(self) -> None:
        self.begun, self.may_go_on, self.went_on = Event(), Event(), Event()

    def __call__(self, *given: Any) -> Any:
        *_, progress = given
        progress(3, 6)
        self.begun.set()
        assert self.may_go_on.wait(SOON)
        progress(4, 6)
        self.went_on.set()
        raise ConflictError(sentence="There was no room.")


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    waiting = Gate()
    monkeypatch.setattr(module, "catalogue", waiting)
    yield waiting
    waiting.may_go_on.set()


def test_it_is_begun_looked_at_and_fetched_as_a_pdf(door: Door) -> None:
    where = ended(door, {})
    told = door.get(where).json()
    fetched = door.get(f"{where}/file")
    assert fetched.headers["content-type"] == "application/pdf"
    assert "slipsheet-catalogue.pdf" in fetched.headers["content-disposition"]
    assert told["state"] == "ready"
    assert (told["books"], told["done"], told["expected"], told["chosen"]) == (5, 5, 5, [])
    assert (told["bytes"], told["entries"]) == (len(fetched.content), door.size)
    said = text(fetched.content)
    for part in ("Catalogue of the collection", "5 books.", "Contents", "Index", "Alpha (1962)", "Omega<&>"):
        assert words(part) in said, part
    assert "Gone" not in said, "what has left is in it only where that is asked for"
    assert "Box2" not in said, "where a book is stands in it only where that is asked for"
    assert door.get("/catalogues").json() == {"catalogues": [told]}


@pytest.mark.parametrize(
    ("body", "titles", "chosen"),
    [
        ({"q": " ta "}, ["Beta", "Delta", "Zeta"], ["search for ta"]),
        ({"holdings": ["slabbed"]}, ["Alpha"], ["Raw or in a holder: in a holder"]),
        ({"headings": ["restoration"]}, ["Beta"], ["Work done here: restoration"]),
        (
            {"headings": ["none"], "left": True, "places": ["Box 1"]},
            ["Alpha"],
            ["Where: Box 1", "Work done here: none here", "Where it stands: show also what has left"],
        ),
        ({"unnamed": True}, ["Delta", "Zeta"], ["Where: not known"]),
        (
            {"statuses": ["in other hands", "left the collection"]},
            ["Gone", "Omega<&>"],
            ["Where it stands: in other hands", "Where it stands: left the collection"],
        ),
        ({"on_bench": True}, ["Delta"], ["Where it stands: on the bench"]),
        ({"grade_from": "8.5", "grade_to": "9.2"}, ["Alpha"], ["grade from 8.5 to 9.2"]),
        ({"grade_from": "8.5"}, ["Alpha"], ["grade from 8.5 to 10.0"]),
    ],
)
def test_what_is_chosen_is_printed_and_told(door: Door, body: Any, titles: list[str], chosen: list[str]) -> None:
    where = ended(door, body)
    assert door.get(where).json()["chosen"] == chosen
    said = text(door.get(f"{where}/file").content)
    found = [title for title in ("Alpha", "Beta", "Delta", "Gone", "Omega<&>", "Zeta") if title in said]
    assert found == titles
    assert words("; ".join(chosen)) in said


def test_in_which_order_answers_are_given_does_not_matter(door: Door) -> None:
    ways: list[dict[str, Any]] = [
        {"places": ["Box 2", "Box 1"], "holdings": ["raw", "slabbed"], "print_places": True},
        {"print_places": True, "holdings": ["slabbed", "raw", "raw"], "places": ["Box 1", "Box 2"]},
    ]
    first, second = (door.get(f"{ended(door, way)}/file").content for way in ways)
    assert first == second
    assert "Box2" in text(first)


def test_while_it_is_made_its_count_is_told_and_no_other_begins(door: Door, gate: Gate) -> None:
    begun = door.post("/catalogues", {}).json()
    assert gate.begun.wait(SOON)
    told = door.get(f"/catalogues/{begun['id']}").json()
    assert (told["state"], told["done"], told["expected"], told["ended"]) == ("under way", 3, 6, None)
    problem(door.get(f"/catalogues/{begun['id']}/file"), 404)
    refused = problem(door.post("/catalogues", {}), 409)
    assert "Wait until it is done" in refused["detail"]
    gate.may_go_on.set()
    makings_of(door.ledger).wait(SOON)
    told = door.get(f"/catalogues/{begun['id']}").json()
    assert (told["state"], told["failure"]) == ("failed", "There was no room.")
    problem(door.get(f"/catalogues/{begun['id']}/file"), 404)


def test_called_off_it_ends_at_its_next_count_and_another_begins_at_once(
    door: Door, gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    where = f"/catalogues/{door.post('/catalogues', {}).json()['id']}"
    assert gate.begun.wait(SOON)
    assert door.client.delete(where).status_code == 204
    for answer in (door.get(where), door.get(f"{where}/file"), door.client.delete(where)):
        problem(answer, 404)
    monkeypatch.setattr(module, "catalogue", reading.catalogue)
    again = door.post("/catalogues", {})
    assert again.status_code == 202
    assert door.get(again.headers["location"]).json()["done"] == 0, "one at a time: it waits for the one before"
    gate.may_go_on.set()
    makings_of(door.ledger).wait(SOON)
    assert not gate.went_on.is_set()
    (left,) = door.get("/catalogues").json()["catalogues"]
    assert (left["id"], left["state"]) == (again.json()["id"], "ready")
    assert [each.name for each in makings_of(door.ledger)._folder.iterdir()] == [left["id"]]


def test_one_that_waits_for_its_turn_can_be_called_off_too(door: Door, gate: Gate) -> None:
    for _ in range(3):
        begun = door.post("/catalogues", {})
        assert begun.status_code == 202
        assert gate.begun.wait(SOON)
        assert door.client.delete(begun.headers["location"]).status_code == 204
    gate.begun.clear()
    gate.may_go_on.set()
    makings_of(door.ledger).wait(SOON)
    assert not gate.begun.is_set()
    assert list(makings_of(door.ledger)._folder.iterdir()) == []


@pytest.mark.parametrize("name", [NOWHERE, "no such", "x" * 65, "%20"])
def test_one_that_is_not_there_is_not_found(door: Door, name: str) -> None:
    for answer in (
        door.get(f"/catalogues/{name}"),
        door.get(f"/catalogues/{name}/file"),
        door.client.delete(f"/catalogues/{name}"),
    ):
        assert "catalogue" in problem(answer, 404)["detail"]


@pytest.mark.parametrize(
    ("body", "field", "mend"),
    [
        ({"grade_from": "9.1"}, "grade_from", "9.2"),
        ({"holdings": ["in a bag"]}, "holdings.0", "raw"),
        ({"statuses": "here"}, "statuses", ""),
        ({"q": "a" * 201}, "q", "200"),
        ({"q": " ".join(f"word{number}" for number in range(30))}, "q", "Leave some out."),
        ({"spine": "any"}, "spine", ""),
        ({"places": [""]}, "places.0", ""),
    ],
)
def test_a_filter_that_there_is_not_is_refused_with_its_field_and_the_mend(
    door: Door, body: Any, field: str, mend: str
) -> None:
    told = problem(door.post("/catalogues", body), 422)
    assert fields(told) == [field]
    assert mend in told["errors"][0]["sentence"]
    assert door.get("/catalogues").json() == {"catalogues": []}


def test_a_choice_that_finds_no_book_begins_nothing(door: Door) -> None:
    assert "nothing to print. Choose others." in problem(door.post("/catalogues", {"q": "nowhere"}), 409)["detail"]
    assert door.get("/catalogues").json() == {"catalogues": []}


def test_more_books_than_a_catalogue_has_fail_with_the_mend(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "BOOKS_MOST", 2)
    where = ended(door, {})
    told = door.get(where).json()
    assert told["state"] == "failed"
    assert "Choose fewer" in told["failure"]
    problem(door.get(f"{where}/file"), 404)


def test_without_what_makes_a_pdf_the_door_says_what_to_install(door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ledger.adapters.sheets.find_spec", lambda _name: None)
    told = problem(door.post("/catalogues", {}), 409)
    assert told["detail"] == NOT_AT_HAND
    assert "Install the program with its extra report" in NOT_AT_HAND
    assert door.get("/catalogues").json() == {"catalogues": []}


def test_after_a_day_it_is_gone(door: Door) -> None:
    where = ended(door, {})
    makings = makings_of(door.ledger)
    assert isinstance(makings._clock, FakeClock)
    module.CATALOGUES.sweep(door.ledger)
    assert door.get(where).status_code == 200
    makings._clock.time += KEPT_FOR
    module.CATALOGUES.sweep(door.ledger)
    problem(door.get(where), 404)
    assert list(makings._folder.iterdir()) == []


def test_who_may_only_write_does_not_print(door: Door) -> None:
    where = ended(door, {})
    other = door.as_other(Permission.RECORD)
    for answer in (
        other.post("/catalogues", {}),
        other.get("/catalogues"),
        other.get(where),
        other.get(f"{where}/file"),
        other.client.delete(where),
    ):
        problem(answer, 403)
    assert door.get(where).status_code == 200
