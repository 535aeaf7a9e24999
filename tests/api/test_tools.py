"""Tools over REST: added, read, changed, retired, taken away; a load goes into one, and its calibration is told beside it."""

from typing import Any

import pytest

from ledger.actor import Permission
from tests.api.door import Door, fields, problem

POINTS = [{"set_celsius": "60", "measured_celsius": "57.5"}, {"set_celsius": "40", "measured_celsius": "38.5"}]
CALIBRATION = {"on": "2026-01-01", "measured_with": "thermocouple between two boards", "points": POINTS}
PRESS = {"name": "Large press", "kind": "hot press", "capacity": 1, "calibration": CALIBRATION}
HOT = {"technique": "hot-press-dry", "settings.set_celsius": "50", "settings.total_minutes": "720"}


def added(door: Door, **changes: Any) -> dict[str, Any]:
    made = door.post("/bench/tools", {**PRESS, **changes})
    assert made.status_code == 201, made.text
    told: dict[str, Any] = made.json()
    assert made.headers["Location"].endswith(f"/bench/tools/{told['id']}")
    return told


def put(door: Door, tool: str, body: object) -> Any:
    return door.client.put(f"/bench/tools/{tool}", json=body)


def test_a_tool_is_added_read_changed_and_taken_away_and_the_ledger_is_not_touched(door: Door) -> None:
    size = door.size
    tool = added(door)
    assert (tool["name"], tool["room"], tool["retired"], tool["note"]) == ("Large press", 1, False, "")
    assert tool["calibration"] == {**CALIBRATION, "points": POINTS[::-1]}
    assert door.get(f"/bench/tools/{tool['id']}").json() == tool
    assert door.get("/bench/tools").json() == {"tools": [tool]}
    changed = put(door, tool["id"], {"name": "Larger press", "kind": "hot press", "retired": True})
    assert changed.json() == {
        **tool, "name": "Larger press", "capacity": None, "room": None, "calibration": None, "retired": True,
    }  # fmt: skip
    assert door.get("/bench").json()["tools"] == [changed.json()]
    assert door.client.delete(f"/bench/tools/{tool['id']}").status_code == 204
    assert door.get("/bench/tools").json() == {"tools": []}
    assert door.size == size


def test_a_full_press_refuses_and_says_what_comes_out_when(door: Door) -> None:
    tool = added(door)
    load = door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": tool["id"]})
    assert load.status_code == 201
    assert (load.json()["tool"], load.json()["values"]["tool"]) == (tool["id"], "Large press")
    assert door.get(f"/bench/tools/{tool['id']}").json()["room"] == 0
    told = problem(door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": tool["id"]}), 409)
    assert (
        "Large press has no room left, and one is to go in. In it: Hot press, dry (one book), out on" in told["detail"]
    )


def test_the_calibration_is_told_beside_a_load_and_as_not_measured_in_it(door: Door) -> None:
    tool = added(door)
    load = door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": tool["id"]}).json()
    # By hand: halfway between 38.5 and 57.5.
    told = {"set_celsius": "50", "measured_celsius": "48.0", "on": "2026-01-01"}
    assert load["expected"] == {**told, "measured_with": CALIBRATION["measured_with"]}
    assert "settings.measured_celsius" not in load["values"]
    stopped = door.post(f"/bench/loads/{load['id']}/stop", {}).json()
    assert stopped["expected"] == load["expected"]
    hotter = {**HOT, "settings.set_celsius": "90"}
    other = door.post("/bench/loads", {"books": [door.a_book()], "values": hotter, "tool": tool["id"]}).json()
    assert other["expected"]["measured_celsius"] is None


def test_a_load_without_a_tool_expects_nothing(door: Door) -> None:
    load = door.post("/bench/loads", {"books": [door.a_book()], "values": HOT}).json()
    assert (load["tool"], load["expected"]) == (None, None)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": " "}, "name"),
        ({"kind": "oven"}, "kind"),
        ({"capacity": 0}, "capacity"),
        ({"capacity": True}, "capacity"),
        ({"calibration": {**CALIBRATION, "on": "2099-01-01"}}, "calibration.on"),
        ({"calibration": {**CALIBRATION, "on": "2026-02-30"}}, "calibration.on"),
        ({"calibration": {**CALIBRATION, "points": [*POINTS, POINTS[0]]}}, "calibration.points.2.set_celsius"),
        ({"calibration": {**CALIBRATION, "points": []}}, "calibration.points"),
        ({"kind": "cold press"}, "calibration.points.0.set_celsius"),
        ({"colour": "grey"}, "colour"),
    ],
)
def test_what_cannot_be_so_is_named_at_its_field(door: Door, changes: dict[str, Any], field: str) -> None:
    assert fields(problem(door.post("/bench/tools", {**PRESS, **changes}), 422)) == [field]
    tool = added(door)
    assert fields(problem(put(door, tool["id"], {**PRESS, **changes}), 422)) == [field]


def test_what_is_not_there_is_not_found(door: Door) -> None:
    problem(door.get("/bench/tools/nothing"), 404)
    problem(put(door, "nothing", PRESS), 404)
    problem(door.client.delete("/bench/tools/nothing"), 404)
    problem(door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": "nothing"}), 404)


def test_a_name_that_is_taken_and_a_tool_at_work_are_in_the_way(door: Door) -> None:
    tool = added(door)
    problem(door.post("/bench/tools", PRESS), 409)
    door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": tool["id"]})
    problem(door.client.delete(f"/bench/tools/{tool['id']}"), 409)
    put(door, tool["id"], {**PRESS, "capacity": 9, "retired": True})
    problem(door.post("/bench/loads", {"books": [door.a_book()], "values": HOT, "tool": tool["id"]}), 409)


def test_bench_work_chooses_a_tool_and_changes_none(door: Door) -> None:
    tool, book = added(door), door.a_book()
    bench = door.as_other(Permission.BENCH)
    problem(bench.post("/bench/tools", {**PRESS, "name": "Other"}), 403)
    problem(put(bench, tool["id"], PRESS), 403)
    problem(bench.client.delete(f"/bench/tools/{tool['id']}"), 403)
    load = bench.post("/bench/loads", {"books": [book], "values": HOT, "tool": tool["id"]})
    assert load.status_code == 201
    assert load.json()["expected"]["measured_celsius"] == "48.0"
