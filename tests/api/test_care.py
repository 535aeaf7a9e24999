"""Care and rotation over HTTP: a plan is made, changed and accepted, a swap checked off, a shelf counted."""

from datetime import date, timedelta
from typing import Any

import pytest

from ledger.actor import Permission
from tests.api.door import Door, fields, problem

SPOT = {"id": "hall", "room": "r1", "wall": "w1", "x_cm": "60", "y_cm": "150", "lux_hours_a_day": "400"}
BAND = {"fade": {"low": 500_000, "middle": 1_000_000, "high": 2_000_000}}
HUNG = {name: SPOT[name] for name in ("room", "wall", "x_cm", "y_cm")}


def asked(*books: str, **changes: Any) -> dict[str, Any]:
    rows = [{"book": book, **BAND} for book in books]
    return {"starts": "2024-06-01", "periods": [30, 30], "spots": [SPOT], "books": rows, **changes}


def proposed(door: Door, *books: str, **changes: Any) -> dict[str, Any]:
    made = door.post("/rotations", asked(*books, **changes))
    assert made.status_code == 201, made.text
    told: dict[str, Any] = made.json()
    assert made.headers["Location"].endswith(f"/rotations/{told['id']}")
    return told


def test_a_plan_is_proposed_read_changed_accepted_and_taken_away_and_the_ledger_is_not_touched(door: Door) -> None:
    first, second = door.a_book(), door.a_book()
    size = door.size
    plan = proposed(door, first, second)
    # By hand: 30 days of 400 lx h, of 1,000,000, of 2,000,000 and of 500,000.
    assert (plan["largest"], plan["least_possible"], plan["exact"]) == ("0.0120", "0.0120", True)
    assert plan["books"][0]["share"] == {"low": "0.0060", "middle": "0.0120", "high": "0.0240"}
    told = plan["books"][0]
    assert (told["taken"], told["had"], told["taken_for"], told["fade"]["low"]) == (None, None, "typed", "500000")
    assert plan["spots"][0]["light"] == {"low": "400", "middle": "400", "high": "400"}
    assert plan["spots"][0]["known"] == "typed"
    assert [each["number"] for each in plan["swaps"]] == [1, 2]
    assert door.get(f"/rotations/{plan['id']}").json() == plan
    assert door.get("/rotations").json() == {"rotations": [plan]}
    changed = door.client.put(f"/rotations/{plan['id']}/rows", json={"rows": [[first], [first]]}).json()
    assert (changed["by_hand"], changed["largest"]) == (True, "0.0240")
    taken = door.client.post(f"/rotations/{plan['id']}/acceptance").json()
    assert taken == {**changed, "standing": "accepted"}
    assert door.client.delete(f"/rotations/{plan['id']}").status_code == 204
    assert door.get("/rotations").json() == {"rotations": []}
    assert door.size == size


def test_a_plan_is_tried_in_half_the_light_and_its_spots_tell_the_days_they_allow(door: Door) -> None:
    first, second = door.a_book(), door.a_book()
    size, plan = door.size, proposed(door, first, second)
    reader = door.as_other(Permission.READ)
    tried = reader.post(f"/rotations/{plan['id']}/what-if", {"dim_to_percent": 50}).json()
    # By hand: 30 days of 200 lx h, of 1,000,000.
    assert (tried["now"], tried["then"]["largest"]) == (plan, "0.0060")
    days = reader.get(f"/rotations/{plan['id']}/days").json()["days"]
    assert days == [{"spot": "hall", "book": each, "days": None, "copies": None} for each in (first, second)]
    assert fields(problem(door.post(f"/rotations/{plan['id']}/what-if", {"spot": "attic"}), 422)) == ["spot"]
    problem(door.post("/rotations/nothing/what-if", {}), 404)
    assert door.size == size


def test_light_that_the_ledger_knows_is_not_typed(door: Door) -> None:
    reading = {"wall": "w1", "x_cm": "60", "y_cm": "150", "lux": "50", "hours_per_day": "4", "basis": "measured"}
    dark = {**reading, "lux": "0", "hours_per_day": "20"}
    walls = [{"id": "w1", "width_cm": "300", "height_cm": "250", "outer": False}]
    door.post("/events", {"kind": "room", "room": "r1", "walls": walls, "readings": [reading, dark]})
    first, second = door.a_book(), door.a_book()
    plan = proposed(door, first, second, spots=[HUNG | {"id": "hall"}], books=[{"book": first}, {"book": second}])
    (spot,) = plan["spots"]
    assert (spot["known"], spot["light"]["middle"], spot["filtered"]) == ("measured", "200", "unsure")
    told = plan["books"][0]
    assert (told["taken_for"], told["fade"]["middle"], told["filtered"]["middle"]) == ("high", "600000", "1000000")
    days = door.get(f"/rotations/{plan['id']}/days").json()["days"]
    # 15,000 lx h a year (CIE 157:2004, the most sensitive class) last 75 days of 200 lx h; 365 / 75, rounded up, are 5.
    assert [(each["days"]["middle"], each["copies"]) for each in days] == [(75.0, 5), (75.0, 5)]


def test_who_may_work_at_the_bench_counts_and_plans_nothing(door: Door) -> None:
    book, bench = door.a_book(), door.as_other(Permission.READ, Permission.BENCH)
    assert bench.post("/care/counts", {"books": [book]}).status_code == 201
    problem(bench.client.put(f"/books/{book}/planned", json={"planned": []}), 403)
    problem(bench.post("/rotations", asked(book)), 403)


def test_a_swap_is_checked_off_once_and_writes_one_act(door: Door) -> None:
    first, second = door.a_book(), door.a_book()
    door.an_event(first, "placement", on="2024-05-01", spot="wall", **HUNG)
    plan = proposed(door, first, second, periods=[30])
    own = plan["id"]
    other = second if plan["swaps"][0]["books"] == [first] else first
    door.client.put(f"/rotations/{own}/rows", json={"rows": [[other]]})
    door.client.post(f"/rotations/{own}/acceptance")
    size, key = door.size, door.new_key()
    body = {"number": 1, "on": "2024-06-01", "place": "Box 3"}
    done = door.post(f"/rotations/{own}/swaps", body, Idempotency_Key=key)
    assert done.status_code == 200, done.text
    told = done.json()
    assert [(each["book"], each["kind"]) for each in told["entries"]] == [(first, "placement"), (second, "placement")]
    assert told["rotation"]["swaps"][0]["act"] == told["act"]
    assert door.size == size + 2
    again = door.post(f"/rotations/{own}/swaps", body, Idempotency_Key=key)
    assert (again.json()["act"], again.headers["Idempotency-Replayed"], door.size) == (told["act"], "?1", size + 2)
    problem(door.post(f"/rotations/{own}/swaps", body), 409)
    problem(door.post(f"/rotations/{own}/swaps", {"number": 2}), 404)


@pytest.mark.parametrize(
    ("changes", "status", "field"),
    [
        ({"spots": [{**SPOT, "x_cm": "1,5"}]}, 422, "spots.0.x_cm"),
        ({"spots": [SPOT, {**SPOT, "id": "other"}]}, 422, "spots"),
        ({"spots": [HUNG | {"id": "unlit"}]}, 422, "spots.0.lux_hours_a_day"),
        ({"periods": [0]}, 422, "periods"),
        ({"starts": "2024-13-01"}, 422, "starts"),
        ({"apart": [{"one": "a", "other": "b"}]}, 422, "apart.0"),
        ({"odd": 1}, 422, "odd"),
    ],
)
def test_what_cannot_be_planned_is_refused_at_its_field(
    door: Door, changes: dict[str, Any], status: int, field: str
) -> None:
    told = problem(door.post("/rotations", asked(door.a_book(), door.a_book(), **changes)), status)
    assert field in fields(told)


def test_care_is_listed_by_place_and_a_shelf_is_counted(door: Door) -> None:
    near, far = door.a_book(), door.a_book()
    sleeve = {"around": "sleeve", "material": "polyethylene", "changed_on": "2024-02-05"}
    door.an_event(near, "placement", on="2024-03-01", spot="box", place="Box 3", housings=[sleeve])
    told = door.get("/care").json()
    assert (told["books"], told["further"]) == (2, False)
    here = door.get("/care?place=Box%203").json()
    assert {each["book"] for each in here["dues"]} == {near}
    housing = next(each for each in here["dues"] if each["care"] == "housing")
    assert (housing["on"], housing["since"], housing["by_table"], housing["place"]) == (
        "2027-02-05", "2024-02-05", True, "Box 3",
    )  # fmt: skip
    counted = door.post("/care/counts", {"books": [near, far], "on": "2024-07-01"})
    assert counted.status_code == 201, counted.text
    assert {each["summary"] for each in counted.json()["entries"]} == {"Counted: found"}
    due = {each["book"]: each["on"] for each in door.get("/care").json()["dues"] if each["care"] == "count"}
    assert due == {near: "2025-07-01", far: "2025-07-01"}
    assert fields(problem(door.post("/care/counts", {"books": [near, near]}), 422)) == ["books.1"]


def test_what_is_planned_for_a_book_is_put_whole_and_read(door: Door) -> None:
    book = door.a_book()
    day = (door.ledger.clock.today() + timedelta(days=9)).isoformat()
    body = {"planned": [{"what": "trip", "on": day}]}
    assert door.client.put(f"/books/{book}/planned", json=body).json() == body
    assert door.get(f"/books/{book}/planned").json() == body
    before = [each for each in door.get("/care").json()["dues"] if each["care"] == "look before"]
    assert [(each["ahead"], each["before"]) for each in before] == [("trip", day)]
    late = {"planned": [{"what": "trip", "on": date(2001, 1, 1).isoformat()}]}
    assert fields(problem(door.client.put(f"/books/{book}/planned", json=late), 422)) == ["on"]
    assert door.client.put(f"/books/{book}/planned", json={"planned": []}).json() == {"planned": []}
    problem(door.get("/books/nobody/planned"), 404)


def test_who_may_only_read_plans_and_counts_nothing(door: Door) -> None:
    book = door.a_book()
    reader = door.as_other(Permission.READ)
    assert reader.get("/care").status_code == 200
    problem(reader.post("/care/counts", {"books": [book]}), 403)
    problem(reader.post("/rotations", asked(book)), 403)
