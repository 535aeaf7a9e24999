"""The bench over REST: books go in, come out and are taken away; recipes are kept; the ledger is not touched."""

import pytest

from tests.api.door import Door, problem

PRESS = {"technique": "cold-press", "settings.total_minutes": "720"}


def test_books_go_in_come_out_and_are_taken_away(door: Door) -> None:
    book = door.a_book()
    size = door.size
    made = door.post("/bench/loads", {"books": [book], "values": PRESS})
    assert made.status_code == 201
    load = made.json()
    assert (load["books"], load["values"], load["stopped"]) == ([book], PRESS, None)
    assert load["started"] < load["ends"]
    assert made.headers["Location"].endswith(f"/bench/loads/{load['id']}")
    assert door.get("/bench").json()["loads"] == [load]
    stopped = door.post(f"/bench/loads/{load['id']}/stop", {}).json()
    assert stopped["stopped"] is not None
    assert door.client.delete(f"/bench/loads/{load['id']}").status_code == 204
    assert door.get("/bench").json() == {"loads": [], "recipes": [], "tools": []}
    assert door.size == size


def test_a_book_in_another_load_is_in_the_way(door: Door) -> None:
    book = door.a_book()
    door.post("/bench/loads", {"books": [book], "values": PRESS})
    problem(door.post("/bench/loads", {"books": [book], "values": PRESS}), 409)


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"books": ["nobody"], "values": PRESS}, 404),
        ({"books": [], "values": PRESS}, 422),
        ({"books": ["b"], "values": {"technique": "wishing"}}, 422),
        ({"books": ["b"], "values": {**PRESS, "remark": "x"}}, 422),
        ({"values": PRESS}, 422),
    ],
)
def test_what_cannot_go_in_is_refused_in_the_usual_shape(door: Door, body: object, status: int) -> None:
    problem(door.post("/bench/loads", body), status)


def test_a_load_that_is_not_there_is_not_found(door: Door) -> None:
    problem(door.post("/bench/loads/nothing/stop", {}), 404)
    problem(door.client.delete("/bench/loads/nothing"), 404)


def test_a_recipe_is_kept_replaced_by_its_name_and_taken_away(door: Door) -> None:
    first = door.post("/bench/recipes", {"name": "Flat", "steps": [PRESS]})
    assert first.status_code == 201
    again = door.post("/bench/recipes", {"name": "flat", "steps": [{"technique": "dry-cleaning"}, PRESS]}).json()
    assert again["id"] == first.json()["id"]
    assert door.get("/bench").json()["recipes"] == [again]
    problem(door.post("/bench/recipes", {"name": " ", "steps": [PRESS]}), 422)
    problem(door.post("/bench/recipes", {"name": "x", "steps": [{}]}), 422)
    assert door.client.delete(f"/bench/recipes/{again['id']}").status_code == 204
    assert door.get("/bench").json()["recipes"] == []
