"""Recipes over REST: adjusted into a new state, and read with what they did; the ledger is not touched by it."""

import json
from typing import Any

import pytest
from httpx2 import Response

from ledger.actor import Permission
from tests.api.door import Door, fields, problem

PRESS = {"technique": "hot-press-dry", "settings.total_minutes": "720"}
CLEAN = {"technique": "dry-cleaning"}


def put(door: Door, path: str, body: object) -> Response:
    return door.client.put(path, content=json.dumps(body), headers={"Content-Type": "application/json"})


def a_recipe(door: Door, name: str = "Flat") -> dict[str, Any]:
    made = door.post("/bench/recipes", {"name": name, "steps": [PRESS]})
    assert made.status_code == 201
    found: dict[str, Any] = made.json()
    return found


def read(door: Door, recipe: str) -> dict[str, Any]:
    answer = door.get(f"/bench/recipes/{recipe}")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def a_look(door: Door, book: str, on: str, *defects: dict[str, Any], **more: Any) -> int:
    return door.an_event(book, "examination", on=on, defects=list(defects), **more)


def bend(name: str, **more: Any) -> dict[str, Any]:
    return {"id": name, "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12", **more}


def test_a_recipe_that_was_never_worked_has_an_empty_history(door: Door) -> None:
    recipe = a_recipe(door)
    told = read(door, recipe["id"])
    assert {name: told[name] for name in recipe} == recipe
    assert (told["state"], told["earlier"], told["passages"]) == (1, [], [])
    assert told["in_all"] == {
        "key": None,
        "times": 0,
        "books": 0,
        "seen": 0,
        "changes": {},
        "few": True,
        "unseen": 0,
        "shared": 0,
        "waiting": 0,
        "overtaken": 0,
        "left": 0,
    }


def test_entries_that_tell_a_load_are_its_history_and_the_look_after_a_rest_says_what_came_of_it(door: Door) -> None:
    recipe, book = a_recipe(door)["id"], door.a_book(issue={"title": "Lantern", "number": "1", "cover_date": "1962-03"})
    a_look(door, book, "2026-03-01", bend("d1"), bend("d2"), tone="ivory")
    load = door.post("/bench/loads", {"books": [book], "values": PRESS, "recipe": recipe}).json()["id"]
    work = door.an_event(
        book, "intervention", on="2026-03-02", technique="hot-press-dry", worked_defects=[{"id": "d1"}, {"id": "d2"}]
    )
    assert read(door, recipe)["under_way"] == 1
    size = door.size
    assert door.client.delete(f"/bench/loads/{load}?entry={work}").status_code == 204
    assert door.size == size
    look = a_look(door, book, "2026-03-12", {**bend("d1", gone=True), "size_mm": None}, bend("d2"), rest_hours=168)
    told = read(door, recipe)
    (passage,) = told["passages"]
    assert (passage["book"], passage["entries"], passage["look"]) == (book, [work], look)
    assert (passage["era"], passage["tone"], passage["standing"]) == ("1956-1970", "ivory", "seen after a rest")
    assert [(each["defect"]["id"], each["change"]) for each in passage["outcomes"]] == [("d1", "gone"), ("d2", "same")]
    assert (passage["heat"]["sessions"], passage["heat"]["untold"]) == (1, 1)
    assert (told["in_all"]["times"], told["in_all"]["changes"]) == (1, {"gone": 1, "same": 1})
    assert [(each["key"], each["seen"]) for each in told["by_type"]] == [("bend", 2)]
    assert [(each["key"], each["seen"]) for each in told["by_era"]] == [("1956-1970", 2)]
    assert [(each["key"], each["seen"]) for each in told["by_tone"]] == [("ivory", 2)]
    assert [(each["key"], each["seen"]) for each in told["by_suppleness"]] == [(None, 2)]
    assert told["under_way"] == 0


def test_a_load_that_is_taken_away_without_an_entry_is_called_off(door: Door) -> None:
    recipe = a_recipe(door)["id"]
    load = door.post("/bench/loads", {"books": [door.a_book()], "values": PRESS, "recipe": recipe}).json()["id"]
    assert door.client.delete(f"/bench/loads/{load}").status_code == 204
    told = read(door, recipe)
    assert (told["called_off"], told["passages"]) == (1, [])


def test_an_entry_that_tells_of_no_work_on_its_books_is_in_the_way(door: Door) -> None:
    recipe, book = a_recipe(door)["id"], door.a_book()
    load = door.post("/bench/loads", {"books": [book], "values": PRESS, "recipe": recipe}).json()["id"]
    note = door.an_event(book, "note", topic="story", words="It rests.")
    problem(door.client.delete(f"/bench/loads/{load}?entry={note}"), 409)
    problem(door.client.delete(f"/bench/loads/{load}?entry=999"), 404)
    problem(door.client.delete(f"/bench/loads/{load}?entry=0"), 400)
    assert read(door, recipe)["under_way"] == 1


def test_a_recipe_is_adjusted_into_a_new_state(door: Door) -> None:
    recipe = a_recipe(door)
    changed = put(door, f"/bench/recipes/{recipe['id']}", {"name": "Flat", "steps": [CLEAN, PRESS], "state": 1})
    assert changed.status_code == 200
    assert (changed.json()["id"], changed.json()["state"]) == (recipe["id"], 2)
    assert changed.json()["steps"] == [CLEAN, PRESS]
    same = put(door, f"/bench/recipes/{recipe['id']}", {"name": "Flat", "steps": [CLEAN, PRESS], "state": 2})
    assert same.json() == changed.json()
    assert door.get("/bench").json()["recipes"] == [changed.json()]


def test_what_was_adjusted_since_or_takes_anothers_name_is_in_the_way(door: Door) -> None:
    recipe = a_recipe(door)["id"]
    a_recipe(door, "Other")
    put(door, f"/bench/recipes/{recipe}", {"name": "Flat", "steps": [CLEAN], "state": 1})
    told = problem(put(door, f"/bench/recipes/{recipe}", {"name": "Flat", "steps": [PRESS], "state": 1}), 409)
    assert "adjusted since" in told["detail"]
    problem(put(door, f"/bench/recipes/{recipe}", {"name": "other", "steps": [PRESS], "state": 2}), 409)


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"name": "", "steps": [PRESS], "state": 1}, "name"),
        ({"name": "x", "steps": [], "state": 1}, "steps"),
        ({"name": "x", "steps": [{"technique": "wishing"}], "state": 1}, "steps.0.technique"),
        ({"name": "x", "steps": [PRESS]}, "state"),
        ({"name": "x", "steps": [PRESS], "state": 0}, "state"),
        ({"name": "x", "steps": [PRESS], "state": 1, "more": 1}, "more"),
    ],
)
def test_what_cannot_be_kept_so_is_refused_with_its_field(door: Door, body: object, field: str) -> None:
    recipe = a_recipe(door)["id"]
    assert fields(problem(put(door, f"/bench/recipes/{recipe}", body), 422)) == [field]


def test_one_that_is_not_there_is_not_found(door: Door) -> None:
    problem(door.get("/bench/recipes/nothing"), 404)
    problem(put(door, "/bench/recipes/nothing", {"name": "x", "steps": [PRESS], "state": 1}), 404)


def test_who_may_only_read_reads_it_and_a_program_for_the_bench_adjusts_it(door: Door) -> None:
    recipe = a_recipe(door)["id"]
    reader, bench = door.as_other(Permission.READ), door.as_other(Permission.BENCH)
    body = {"name": "x", "steps": [PRESS], "state": 1}
    assert reader.get(f"/bench/recipes/{recipe}").status_code == 200
    problem(put(reader, f"/bench/recipes/{recipe}", body), 403)
    assert put(bench, f"/bench/recipes/{recipe}", body).status_code == 200
    problem(bench.get(f"/bench/recipes/{recipe}"), 403)


def test_the_starter_steps_stand_beside_the_other_rule_tables(door: Door) -> None:
    told = door.get("/rules/steps").json()
    assert (told["name"], told["version"]) == ("steps", 1)
    rows = {each["id"]: each for each in told["rows"]}
    assert rows["cold-press-12"]["fields"]["settings"] == {"settings.total_minutes": "720"}
    assert all(each["sources"] == ["common practice, no source"] for each in rows.values())
