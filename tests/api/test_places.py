"""Places over REST: what is where, what a wall is drawn from, and books moved as one act."""

from typing import Any

import pytest

from tests.api.door import Door, problem

WINDOW = {"wall": "n", "x_cm": "200", "y_cm": "90", "width_cm": "80", "height_cm": "100"}
LAMP = {"id": "desk", "kind": "LED", "wall": "n", "x_cm": "60", "y_cm": "200"}
READING = {"wall": "n", "x_cm": "50", "y_cm": "150", "lux": "52", "hours_per_day": "9", "basis": "measured"}


@pytest.fixture
def study(door: Door) -> Door:
    """A room of one wall with a window, a lamp and a reading."""
    walls = [{"id": "n", "width_cm": "300", "height_cm": "250", "side": "north"}]
    room = {"kind": "room", "room": "study", "walls": walls, "windows": [WINDOW], "lamps": [LAMP], "name": "Study"}
    made = door.post("/events", {**room, "readings": [READING], "on": "2026-01-01"})
    assert made.status_code == 201, made.text
    return door


def onto(book: str, x_cm: str = "50", **changes: Any) -> dict[str, Any]:
    return {"book": book, "spot": "wall", "room": "study", "wall": "n", "x_cm": x_cm, "y_cm": "150", **changes}


def test_books_are_moved_as_one_act_and_the_places_tell_where_they_are(study: Door) -> None:
    first, second = study.a_book(), study.a_book()
    body = {"moves": [onto(first), {"book": second, "spot": "safe", "place": "House safe"}], "on": "2026-03-01"}
    made = study.post("/places/move", body)
    assert made.status_code == 201, made.text
    written = made.json()
    assert made.headers["Location"].endswith(f"/acts/{written['act']}")
    assert [(each["kind"], each["on"]) for each in written["entries"]] == [("placement", "2026-03-01")] * 2
    places = study.get("/places").json()
    (room,) = places["rooms"]
    assert (room["id"], room["name"], room["on"]) == ("study", "Study", "2026-01-01")
    assert room["walls"] == [{"id": "n", "side": "north", "outer": False, "books": [first]}]
    kept = {"spot": "safe", "place": "House safe", "count": 1, "room": None, "books": [second]}
    assert places["kept"] == [kept]
    assert places["elsewhere"] == []


def test_a_wall_tells_all_that_it_is_drawn_from(study: Door) -> None:
    book = study.a_book()
    study.post("/places/move", {"moves": [onto(book, "285")], "despite": True})
    (wall,) = study.get("/places/rooms/study").json()["walls"]
    assert (wall["width_cm"], wall["height_cm"]) == ("300", "250")
    assert [(each["number"], each["x_cm"]) for each in wall["windows"]] == [("1", "200")]
    assert [(each["id"], each["y_cm"]) for each in wall["lamps"]] == [("desk", "200")]
    assert [(each["lux"], each["hours_per_day"], each["basis"]) for each in wall["readings"]] == [
        ("52", "9", "measured")
    ]
    (hung,) = wall["hung"]
    assert (hung["book"], hung["x_cm"], hung["measured"], hung["since"]) == (book, "285", False, None)
    assert {each["against"] for each in wall["in_the_way"]} == {"window"}
    assert [each["other"] for each in wall["in_the_way"]] == ["1"]
    assert study.get("/places/rooms/attic").status_code == 404


def test_what_is_in_the_way_is_refused_at_its_field_unless_it_is_sent_despite(study: Door) -> None:
    first, second = study.a_book(), study.a_book()
    study.post("/places/move", {"moves": [onto(first)]})
    size = study.size
    told = problem(study.post("/places/move", {"moves": [onto(second, "60")]}), 409)
    assert [each["field"] for each in told["errors"]] == ["moves.0.x_cm"]
    assert study.size == size
    assert study.post("/places/move", {"moves": [onto(second, "60")], "despite": True}).status_code == 201


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"moves": []}, 422),
        ({"moves": [{"book": "{book}", "spot": "attic"}]}, 422),
        ({"moves": [{"book": "{book}", "spot": "wall", "room": "attic"}]}, 422),
        ({"moves": [{"book": "{book}", "spot": "wall", "room": "study", "wall": "s"}]}, 422),
        ({"moves": [{"book": "{book}", "spot": "box", "wall": "n"}]}, 422),
        ({"moves": [{"book": "{book}", "spot": "box", "x_cm": "1,5"}]}, 422),
        ({"moves": [{"book": "{book}", "spot": "box"}], "on": "yesteryear"}, 422),
        ({"moves": [{"book": "nothing", "spot": "box"}]}, 404),
        ({"moves": [{"book": "{book}", "spot": "box"}, {"book": "{book}", "spot": "safe"}]}, 422),
    ],
)
def test_a_move_that_cannot_be_is_refused_and_nothing_is_written(
    study: Door, body: dict[str, Any], status: int
) -> None:
    book = study.a_book()
    for each in body["moves"]:
        each["book"] = each["book"].replace("{book}", book)
    size = study.size
    problem(study.post("/places/move", body), status)
    assert study.size == size


def test_the_same_move_sent_twice_moves_once(study: Door) -> None:
    body = {"moves": [onto(study.a_book())]}
    key = study.new_key()
    first, again = (study.post("/places/move", body, Idempotency_Key=key) for _ in range(2))
    assert (first.json(), again.headers["Idempotency-Replayed"]) == (again.json(), "?1")


def test_a_safe_stands_where_the_books_in_it_say_and_takes_the_next_one_there(study: Door) -> None:
    first, second = study.a_book(), study.a_book()
    for book, said in ((first, {"room": "study"}), (second, {})):
        line = {"book": book, "spot": "safe", "place": "House safe", **said}
        assert study.post("/places/move", {"moves": [line], "on": "2026-03-01"}).status_code == 201
    (kept,) = study.get("/places").json()["kept"]
    assert (kept["room"], sorted(kept["books"])) == ("study", sorted([first, second]))
    written = study.get(f"/books/{second}/events").json()["entries"][-1]
    assert (written["kind"], written["body"]["room"]) == ("placement", "study")
