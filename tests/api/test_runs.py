"""Runs and wants over REST: said, read, changed, taken away; only with the permission to record."""

from ledger.actor import Permission
from tests.api.door import Door

ISSUE = {"title": "Amber Anchor", "start_year": 1952}
SAID = {**ISSUE, "first": 1, "last": 4, "never": "3", "also": "1/2"}
WANT = {**ISSUE, "number": "2", "least": "6.0", "most": {"minor": 4000, "currency": "EUR", "exponent": 2}}


def test_a_run_shows_what_is_owned_and_missing(real_door: Door) -> None:
    books = [real_door.a_book(issue={**ISSUE, "number": number}) for number in ("2", "2", "9")]
    told = real_door.post("/runs", SAID).json()
    assert (told["missing"], told["double"]) == (["1/2", "1", "4"], ["2"])
    assert [(each["number"], each["exists"]) for each in told["owned"]] == [("2", True), ("9", False)]
    assert [each["book"] for each in told["owned"][0]["copies"]] == books[:2]
    assert real_door.get(f"/runs/{told['run']}").json() == told
    assert real_door.get("/runs").json()["runs"] == [told]
    assert real_door.client.delete(f"/runs/{told['run']}").status_code == 204
    after = real_door.get(f"/runs/{told['run']}").json()
    assert (after["said"], after["missing"]) == (False, [])


def test_a_want_is_kept_changed_and_taken_away(real_door: Door) -> None:
    made = real_door.post("/wants", WANT)
    assert made.status_code == 201
    told = made.json()
    assert (told["met"], told["best"], told["least"]) == (False, None, "6.0")
    book = real_door.a_book(issue={**ISSUE, "number": "2"})
    changed = real_door.client.put(f"/wants/{told['id']}", json={**WANT, "least": None}).json()
    assert (changed["met"], changed["best"]) == (True, {"book": book, "grade": None})
    assert real_door.get("/wants").json()["wants"] == [changed]
    assert real_door.client.delete(f"/wants/{told['id']}").status_code == 204
    assert real_door.get("/wants").json()["wants"] == []
    assert real_door.client.delete(f"/wants/{told['id']}").status_code == 404


def test_what_cannot_be_is_refused_at_its_field(real_door: Door) -> None:
    for body, field in (
        ({**SAID, "last": None}, "last"),
        ({**SAID, "first": 9}, "last"),
        ({**SAID, "title": " "}, "title"),
    ):
        answer = real_door.post("/runs", body)
        assert answer.status_code == 422
        assert [each["field"] for each in answer.json()["errors"]] == [field]
    assert real_door.post("/wants", {**WANT, "least": "6.1"}).status_code in (400, 422)
    assert real_door.get("/runs/nothing-x-00000000").status_code == 404


def test_a_token_that_only_reads_keeps_nothing(real_door: Door) -> None:
    reader = real_door.as_other(Permission.READ)
    assert reader.post("/runs", SAID).status_code == 403
    assert reader.post("/wants", WANT).status_code == 403
    assert reader.get("/runs").status_code == reader.get("/wants").status_code == 200
