"""A room: its rules, that one entry states it whole, its line."""

from typing import Any

import pytest

from ledger.collection import Collection
from ledger.events.room import Basis, Lamp, LampKind, Reading, Room, Side, Wall, Window
from ledger.sealed import Sealed
from tests.builders import at, on, shut


def room(**changes: Any) -> Room:
    walls = (Wall(id="north", width_cm="246", height_cm="240", side=Side.NORTH), wall("west"))
    return Room(**{"on": on("2024-09-01"), "room": "r1", "walls": walls, **changes})


def wall(name: str = "north", width: str = "300", height: str = "240") -> Wall:
    return Wall(id=name, width_cm=width, height_cm=height)


def window(**changes: Any) -> Window:
    place = {"wall": "west", "x_cm": "80", "y_cm": "90", "width_cm": "120", "height_cm": "130"}
    return Window(**{**place, **changes})


def reading(lux: str = "58", hours: str = "5", **changes: Any) -> Reading:
    place = {"wall": "north", "x_cm": "108", "y_cm": "148", "basis": Basis.MEASURED}
    return Reading(**{**place, "lux": lux, "hours_per_day": hours, **changes})


def broken_rules(event: Room) -> list[tuple[str, str]]:
    found = [*event.flaws(), *event.check_collection(Collection(id="c"))]
    return [(problem.rule, problem.field) for problem in found]


def test_a_room_with_all_that_is_in_it_breaks_no_rule() -> None:
    lamps = (
        Lamp(id="one", kind=LampKind.LED, wall="north", x_cm="82", y_cm="220"),
        Lamp(id="two", kind=LampKind.HALOGEN, wall="north"),
        Lamp(id="three", kind=LampKind.OTHER),
    )
    light = (reading(), reading("0.5", "19"), reading(x_cm="246", y_cm="240"))
    assert broken_rules(room(windows=(window(),), lamps=lamps, readings=light)) == []
    assert broken_rules(room(walls=())) == []


def test_walls_and_lamps_have_ids_of_their_own() -> None:
    assert broken_rules(room(walls=(wall("a"), wall("b"), wall("a")))) == [("room.1", "walls.2.id")]
    lamp = Lamp(id="one", kind=LampKind.LED)
    assert broken_rules(room(lamps=(lamp, lamp))) == [("room.1", "lamps.1.id")]


def test_windows_lamps_and_readings_name_a_wall_of_this_room() -> None:
    assert broken_rules(room(windows=(window(wall="east"),))) == [("room.2", "windows.0.wall")]
    assert broken_rules(room(lamps=(Lamp(id="a", kind=LampKind.LED, wall="east"),))) == [("room.2", "lamps.0.wall")]
    assert broken_rules(room(readings=(reading(wall="east"),))) == [("room.2", "readings.0.wall")]


def test_they_lie_on_that_wall() -> None:
    assert broken_rules(room(windows=(window(x_cm="180.5"),))) == [("room.3", "windows.0.x_cm")]
    assert broken_rules(room(windows=(window(y_cm="111"),))) == [("room.3", "windows.0.y_cm")]
    assert broken_rules(room(readings=(reading(x_cm="246.1"),))) == [("room.3", "readings.0.x_cm")]
    high = Lamp(id="a", kind=LampKind.LED, wall="north", x_cm="1", y_cm="241")
    assert broken_rules(room(lamps=(high,))) == [("room.3", "lamps.0.y_cm")]


@pytest.mark.parametrize(("width", "height", "field"), [("0", "240", "width_cm"), ("300", "0.00", "height_cm")])
def test_a_wall_is_wider_and_higher_than_nothing(width: str, height: str, field: str) -> None:
    assert broken_rules(room(walls=(wall("a", width, height),))) == [("room.4", f"walls.0.{field}")]


def test_a_day_has_24_hours_at_one_spot_however_it_is_written() -> None:
    shared = (reading(hours="5"), reading(hours="19", x_cm="108.0"))
    assert broken_rules(room(readings=shared)) == []
    over = (*shared, reading(hours="0.001", x_cm="108.00"))
    assert broken_rules(room(readings=over)) == [("room.5", "readings.2.hours_per_day")]
    elsewhere = (*shared, reading(hours="24", x_cm="109"))
    assert broken_rules(room(readings=elsewhere)) == []


@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ({"wall": "north", "x_cm": "1"}, "y_cm"),
        ({"wall": "north", "y_cm": "1"}, "x_cm"),
        ({"x_cm": "1", "y_cm": "1"}, "wall"),
    ],
)
def test_the_position_of_a_lamp_is_a_wall_and_two_measures(given: dict[str, Any], missing: str) -> None:
    lamp = Lamp(id="a", kind=LampKind.LED, **given)
    assert broken_rules(room(lamps=(lamp,))) == [("room.6", f"lamps.0.{missing}")]


def test_a_later_entry_states_the_room_anew_and_leaves_the_others() -> None:
    collection = room().apply_collection(Collection(id="c"), at(3))
    collection = room(room="r2").apply_collection(collection, at(4))
    collection = room(walls=()).apply_collection(collection, at(9))
    assert dict(collection.rooms) == {"r1": 9, "r2": 4}


def test_its_line_tells_what_is_in_it_and_not_its_name() -> None:
    told = shut(room(windows=(window(),), readings=(reading(),), name=Sealed.of("Study")))
    assert told.summary() == "Room r1: 2 walls, 1 window, 1 reading"
    assert room(walls=()).summary() == "Room r1: nothing stated"
