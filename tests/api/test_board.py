"""The board over REST: what each book at the bench waits for, and a load that goes on into its recipe's next step."""

from typing import Any

from tests.api.door import Door, problem

HOT = {"technique": "hot-press-dry", "settings.set_celsius": "60"}
COLD = {"technique": "cold-press", "tool": "Book press"}


def board(door: Door) -> list[dict[str, Any]]:
    books: list[dict[str, Any]] = door.get("/bench/board").json()["books"]
    return books


def a_load(door: Door, book: str) -> dict[str, Any]:
    """By the first step of a recipe of two."""
    recipe = door.post("/bench/recipes", {"name": "Warm, cold", "steps": [HOT, COLD]}).json()["id"]
    load: dict[str, Any] = door.post("/bench/loads", {"books": [book], "values": HOT, "recipe": recipe}).json()
    return load


def test_a_book_waits_for_its_load_then_for_a_decision_then_to_go_in(door: Door) -> None:
    book = door.a_book()
    assert board(door) == []
    load = a_load(door, book)
    (found,) = board(door)
    assert (found["book"], found["waits_for"], found["load"], found["over"]) == (book, "load", load["id"], None)
    assert found["name"] == "The Copper Lantern 14"
    door.client.delete(f"/bench/loads/{load['id']}")
    settings = {"measured_celsius": "65", "hold_minutes": 10, "cooling_minutes": 0}
    door.an_event(book, "intervention", on="2025-12-30", technique="hot-press-dry", settings=settings)
    (found,) = board(door)
    assert (found["waits_for"], found["load"]) == ("decision", None)
    assert found["over"] == {"technique": "hot-press-dry", "on": "2025-12-30"}
    # 65 degrees for ten minutes: 1.633 days by the formula of Michalski 2002, as in the tests of the heat.
    assert (found["heat"]["middle_days"], found["heat"]["sessions"]) == ("1.63", 1)
    door.an_event(book, "choice", on="2025-12-31", next="go on")
    (found,) = board(door)
    assert (found["waits_for"], found["over"], found["look_due"]) == ("step", None, None)


def test_a_look_after_a_rest_is_told_by_its_day(door: Door) -> None:
    book = door.a_book()
    bend = {"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12"}
    door.an_event(book, "examination", on="2025-12-01", defects=[bend])
    door.an_event(book, "intervention", on="2025-12-20", technique="cold-press", worked_defects=[{"id": "d1"}])
    (found,) = board(door)
    assert found["look_due"] == "2025-12-27"


def test_a_load_goes_on_and_the_one_before_stays_until_it_is_taken_away(door: Door) -> None:
    tool = door.post("/bench/tools", {"name": "Book press", "kind": "cold press", "capacity": 1}).json()["id"]
    load = a_load(door, door.a_book())
    size = door.size
    made = door.client.post(f"/bench/loads/{load['id']}/next")
    assert made.status_code == 201
    after = made.json()
    assert made.headers["Location"].endswith(f"/bench/loads/{after['id']}")
    assert (after["books"], after["values"], after["place"], after["tool"]) == (load["books"], COLD, 1, tool)
    before, now = door.get("/bench").json()["loads"]
    assert before["stopped"] is not None
    assert now == after
    problem(door.client.post(f"/bench/loads/{load['id']}/next"), 409)
    problem(door.client.post(f"/bench/loads/{after['id']}/next"), 409)
    problem(door.client.post("/bench/loads/nothing/next"), 404)
    assert door.size == size
