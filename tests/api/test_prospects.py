"""Prospects over REST: kept, changed, weighed, passed up, bought with the outlook first, taken away."""

from typing import Any

from httpx2 import Response

from api.book_outlook_example import BOOK_OUTLOOK_ANSWERS
from tests.api.door import Door, fields, problem, purchase
from tests.pictures import a_picture

ISSUE = {"title": "The Copper Lantern", "number": "14"}
MONEY = {"minor": 12000, "currency": "EUR", "exponent": 2}
DEFECT = {"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12"}
SAID = {"issue": ISSUE, "asking": MONEY, "seller": "A shop by the harbour", "defects": [DEFECT]}
WEIGHTS = [{"grade": "8.0", "per_mille": 400}, {"grade": "7.5", "per_mille": 600}]


def kept(door: Door, **changes: Any) -> dict[str, Any]:
    made = door.post("/prospects", {**SAID, **changes})
    assert made.status_code == 201, made.text
    told: dict[str, Any] = made.json()
    assert made.headers["Location"].endswith(f"/prospects/{told['id']}")
    return told


def put(door: Door, path: str, body: object) -> Response:
    return door.client.put(f"/prospects/{path}", json=body)


def test_a_prospect_is_kept_changed_and_taken_away_and_the_ledger_is_not_touched(door: Door) -> None:
    size = door.size
    made = kept(door)
    assert (made["asking"], made["verdict"], made["weights"], made["book"]) == (MONEY, "open", [], None)
    assert made["defects"][0]["size_mm"] == "12"
    assert door.get(f"/prospects/{made['id']}").json() == made
    assert door.get("/prospects").json() == {"prospects": [made]}
    changed = put(door, made["id"], {"issue": ISSUE, "note": "Ask for the back."}).json()
    assert (changed["asking"], changed["note"], changed["made"]) == (None, "Ask for the back.", made["made"])
    assert door.client.delete(f"/prospects/{made['id']}").status_code == 204
    problem(door.get(f"/prospects/{made['id']}"), 404)
    problem(door.client.delete(f"/prospects/{made['id']}"), 404)
    assert door.size == size


def test_its_pictures_are_those_that_were_sent_before(door: Door) -> None:
    picture = door.post("/photographs", a_picture(), Content_Type="image/png").json()
    made = kept(door, pictures=[picture["original"]])
    assert made["pictures"] == [picture["clean"]]
    assert door.get(f"/photographs/{picture['clean']}").status_code == 200
    told = problem(door.post("/prospects", {**SAID, "pictures": ["0" * 64]}), 422)
    assert fields(told) == ["pictures.0"]
    assert put(door, made["id"], SAID).json()["pictures"] == []


def test_what_is_wrong_is_named_by_its_field(door: Door) -> None:
    told = problem(door.post("/prospects", {"issue": {"title": "", "number": "1"}, "asking": {"minor": 1}}), 422)
    assert {each.partition(".")[0] for each in fields(told)} == {"issue", "asking"}
    told = problem(door.post("/prospects", {**SAID, "asking": {**MONEY, "minor": -1}}), 422)
    assert fields(told) == ["asking"]
    made = kept(door)
    told = problem(put(door, f"{made['id']}/outlook", {"weights": WEIGHTS[:1]}), 422)
    assert [each["rule"] for each in told["errors"]] == ["outlook.1"]
    assert fields(problem(put(door, f"{made['id']}/verdict", {"verdict": "bought"}), 422)) == ["verdict"]


def test_one_that_was_passed_up_can_be_taken_back(door: Door) -> None:
    made = kept(door)
    passed = put(door, f"{made['id']}/verdict", {"verdict": "passed up", "why": "Too dear."}).json()
    assert (passed["verdict"], passed["why"], bool(passed["decided"])) == ("passed up", "Too dear.", True)
    problem(put(door, made["id"], SAID), 409)
    problem(door.post(f"/prospects/{made['id']}/purchase", purchase()), 409)
    back = put(door, f"{made['id']}/verdict", {"verdict": "open"}).json()
    assert (back["verdict"], back["decided"]) == ("open", None)


def test_bought_its_outlook_is_the_first_entry_of_the_book(door: Door) -> None:
    made = kept(door)
    weighed = put(door, f"{made['id']}/outlook", {"weights": WEIGHTS}).json()
    assert [each["grade"] for each in weighed["weights"]] == ["7.5", "8.0"]
    path, key = f"/prospects/{made['id']}/purchase", door.new_key()
    bought = door.post(path, purchase(), Idempotency_Key=key)
    assert bought.status_code == 201, bought.text
    assert [each["kind"] for each in bought.json()["entries"]] == ["outlook", "purchase"]
    again = door.post(path, purchase(), Idempotency_Key=key)
    assert (again.headers["Idempotency-Replayed"], again.json()) == ("?1", bought.json())
    book = bought.json()["entries"][0]["book"]
    entries = door.get(f"/books/{book}/events?order=recorded").json()["entries"]
    assert [each["kind"] for each in entries] == ["outlook", "purchase"]
    assert door.get(f"/prospects/{made['id']}").json()["book"] == book
    problem(door.post(path, purchase()), 409)
    problem(door.client.delete(f"/prospects/{made['id']}"), 409)
    assert door.post("/verify", {}).json()["findings"] == []


def test_a_purchase_that_is_refused_names_its_own_fields(door: Door) -> None:
    made = kept(door)
    put(door, f"{made['id']}/outlook", {"weights": WEIGHTS})
    size = door.size
    told = problem(door.post(f"/prospects/{made['id']}/purchase", purchase(holder_number="A-1")), 422)
    assert fields(told) == ["holder_number"]
    assert door.size == size


def test_its_ceiling_and_chances_come_from_the_defects_that_were_seen(door: Door) -> None:
    crease = {"id": "d1", "type": "crease", "face": "front", "breaks_colour": "yes", "size_mm": "10"}
    told = door.get(f"/prospects/{kept(door, defects=[crease])['id']}/outlook").json()
    example = BOOK_OUTLOOK_ANSWERS["read_book_outlook"]["computed"]
    assert (told["defects"], told["expected"], told["at_least"]) == (1, None, False)
    assert told["computed"]["ceiling"] == "8.0"
    assert told["computed"]["grades_after"]["weights"] == example["grades_after"]["weights"]


def test_without_a_defect_nothing_is_computed(door: Door) -> None:
    told = door.get(f"/prospects/{kept(door, defects=[])['id']}/outlook").json()
    assert (told["defects"], told["computed"]) == (0, None)


def test_a_prospect_that_is_not_there_has_no_outlook(door: Door) -> None:
    assert door.get("/prospects/aaaaaaaaaaaaaaaaaaaaaaaaaa/outlook").status_code == 404
