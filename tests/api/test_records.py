"""Records over REST: made with what was chosen, taken in each form, given by a link, checked and received."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.actor import Permission
from ledger.bootstrap import open_ledger
from ledger.ports import Ledger
from ledger.proof.forms import check_file, open_file
from ledger.proof.page import page_of
from ledger.proof.record_file import RecordFile, digest_of
from ledger.settings import Settings
from ledger.usecases.hand_on import record_at
from tests.api.door import Door, door_to, problem
from tests.fakes import FakeClock

PRIVATE = {"seller": "canary seller", "price": {"minor": 432199, "currency": "EUR", "exponent": 2}}


def a_ledger(folder: Path, clock: FakeClock) -> Any:
    return open_ledger(Settings(folder=str(folder / "data"), keys=str(folder / "keys")), clock=clock)


@pytest.fixture
def opened(tmp_path: Path, clock: FakeClock) -> Iterator[Ledger]:
    """A ledger as the program opens it."""
    with a_ledger(tmp_path / "one", clock) as ledger:
        yield ledger


@pytest.fixture
def door(opened: Ledger) -> Door:
    return door_to(opened, set(Permission))


def made(door: Door, book: str, **asked: Any) -> dict[str, Any]:
    answer = door.post(f"/books/{book}/records", asked)
    assert answer.status_code == 201, answer.text
    found = answer.json()
    assert answer.headers["Location"].endswith(f"/records/{found['sha256']}")
    return dict(found)


def sent(door: Door, path: str, data: bytes, **headers: str) -> Any:
    return door.post(path, data, Content_Type="application/octet-stream", **headers)


def test_the_sheet_to_print_is_a_pdf(door: Door) -> None:
    record = made(door, door.a_book(**PRIVATE))
    answer = door.get(f"/records/{record['sha256']}?form=sheet")
    assert (answer.status_code, answer.content[:5]) == (200, b"%PDF-")


@pytest.mark.parametrize("form", ["page", "bag", "file"])
def test_a_record_is_made_and_taken_in_each_form(door: Door, form: str) -> None:
    book = door.a_book(**PRIVATE)
    record = made(door, book)
    answer = door.get(f"/records/{record['sha256']}?form={form}")
    assert (answer.status_code, int(answer.headers["Content-Length"])) == (200, len(answer.content))
    assert check_file(answer.content, [door.ledger.signer.verifier]).trusted
    assert b"canary" not in answer.content
    assert door.get(f"/books/{book}/records").json()["records"] == [record]


def test_what_can_be_opened_is_listed_without_its_values_and_opened_when_asked(door: Door) -> None:
    book = door.a_book(**PRIVATE)
    listed = door.get(f"/books/{book}/records")
    assert "canary" not in listed.text
    seller = next(each for each in listed.json()["fields"] if each["name"] == "seller")
    assert (seller["corrected_by"], seller["withdrawn_by"]) == (None, None)
    record = made(door, book, opened=[{"entry": seller["entry"], "name": "seller"}], recipient="canary buyer")
    report = check_file(door.get(f"/records/{record['sha256']}?form=file").content)
    assert {name: value for each in report.entries for name, value in each.opened.items()} == {
        "seller": "canary seller"
    }


def test_what_can_be_opened_says_which_entry_says_it_anew(door: Door) -> None:
    book = door.a_book(**PRIVATE)
    first = door.get(f"/books/{book}/records").json()["fields"][0]["entry"]
    second = door.an_event(book, "correction", entry=first, changes={"seller": "another"}, reason="misread")
    found = {(each["entry"], each["name"]): each for each in door.get(f"/books/{book}/records").json()["fields"]}
    assert found[first, "seller"]["corrected_by"] == second
    assert found[second, "new.seller"]["corrected_by"] is None


def test_the_same_request_makes_one_record(door: Door) -> None:
    book, key = door.a_book(), '"once"'
    answers = [door.post(f"/books/{book}/records", {}, Idempotency_Key=key).json() for _ in range(2)]
    assert answers[0] == answers[1]


@pytest.mark.parametrize(
    "body", [{"opened": [{"entry": 99, "name": "seller"}]}, {"pictures": [1]}, {"days": 3}, {"opened": "all"}]
)
def test_what_the_book_does_not_have_is_refused(door: Door, body: dict[str, Any]) -> None:
    problem(door.post(f"/books/{door.a_book()}/records", body), 422)


def test_making_one_takes_the_permissions_to_record_and_to_sign(opened: Ledger, door: Door) -> None:
    book = door.a_book()
    for less in ({Permission.RECORD}, {Permission.SIGN}, {Permission.READ}):
        problem(door_to(opened, less).post(f"/books/{book}/records", {}), 403)


def test_a_link_is_made_and_ended(door: Door) -> None:
    record = made(door, door.a_book())
    answer = door.post(f"/records/{record['sha256']}/links", {"days": 30})
    assert answer.status_code == 201
    link = answer.json()
    assert record_at(door.ledger, link["path"].removeprefix("/handed/")).kept.sha256 == record["sha256"]
    problem(door.post(f"/records/{record['sha256']}/links", {"days": 400}), 422)
    problem(door.post(f"/records/{'0' * 64}/links", {"days": 4}), 404)
    for _ in range(2):
        assert door.client.delete(f"/records/links/{link['id']}").status_code == 204


def test_another_collection_checks_it_and_receives_it(door: Door, tmp_path: Path, clock: FakeClock) -> None:
    record = made(door, door.a_book())
    page = door.get(f"/records/{record['sha256']}?form=page").content
    key = door.ledger.signer.verifier.vkey
    with a_ledger(tmp_path / "two", clock) as other:
        theirs = door_to(other, set(Permission))
        assert sent(theirs, "/records/check", page).json()["verdict"] == "whole, signer not known"
        checked = theirs.client.post(
            "/records/check", params={"key": key}, content=page, headers={"Content-Type": "text/html"}
        ).json()
        assert (checked["verdict"], checked["sha256"], checked["findings"]) == ("whole", record["sha256"], [])
        book = theirs.a_book()
        answer = sent(theirs, f"/books/{book}/records/received", page)
        assert answer.status_code == 201, answer.text
        (kept,) = theirs.get(f"/books/{book}/records").json()["records"]
        assert (kept["received"], kept["entry"], kept["sha256"]) == (True, None, record["sha256"])


def test_each_record_of_an_owner_before_is_told_with_its_own_verdict(
    door: Door, tmp_path: Path, clock: FakeClock
) -> None:
    data, beside = open_file(door.get(f"/records/{made(door, door.a_book())['sha256']}?form=page").content)
    file = RecordFile.from_bytes(data)
    forged = replace(file, sheet=replace(file.sheet, lead="Nothing was done here.")).to_bytes()
    with a_ledger(tmp_path / "two", clock) as other:
        theirs = door_to(other, set(Permission))
        book = theirs.a_book()
        assert sent(theirs, f"/books/{book}/records/received", page_of(forged, beside)).status_code == 201
        onward = made(theirs, book)
        page = theirs.get(f"/records/{onward['sha256']}?form=page").content
        keys = [other.signer.verifier.vkey, door.ledger.signer.verifier.vkey]
        told = door.client.post(
            "/records/check", params={"key": keys}, content=page, headers={"Content-Type": "text/html"}
        ).json()
    assert (told["verdict"], told["findings"]) == ("whole", [])
    (inner,) = told["earlier"]
    assert (inner["sha256"], inner["inside"], inner["verdict"]) == (digest_of(forged), onward["sha256"], "broken")
    assert any("they were changed" in each for each in inner["findings"])
    assert inner["title"] == file.sheet.title


def test_a_file_that_is_none_is_told_so_and_not_received(door: Door) -> None:
    checked = sent(door, "/records/check", b"hello").json()
    assert (checked["verdict"], checked["title"]) == ("broken", None)
    assert checked["findings"]
    book = door.a_book()
    problem(sent(door, f"/books/{book}/records/received", b"hello"), 422)
    problem(door.post("/records/check", b"x", Content_Type="image/png"), 415)
    problem(sent(door, "/records/check?key=nonsense", b"x"), 422)


def test_a_record_that_is_not_there_is_not_found(door: Door) -> None:
    problem(door.get(f"/records/{'0' * 64}"), 404)
    problem(door.get("/books/nothing/records"), 404)
