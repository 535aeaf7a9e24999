"""From where light falls on a wall, by the sides of the compass; and what cannot be drawn says so."""

import pytest

from ledger.events.room import Basis, Lamp, LampKind, Reading, Room, Side, Wall, Window
from web.wall_light import WallLight, light_of


def lit(wall: Side | None, window: Side | None, **more: object) -> WallLight:
    """A wall, and a window in another one."""
    own = Wall(id="own", width_cm="300", height_cm="250", side=wall)
    other = Wall(id="other", width_cm="300", height_cm="250", side=window)
    opening = Window(wall="other", x_cm="10", y_cm="90", width_cm="80", height_cm="100")
    return light_of(Room(room="r", walls=(own, other), windows=(opening,), **more), own)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wall", "window", "kinds"),
    [
        # Who faces north has the east at the right hand, the west at the left and the south behind.
        (Side.NORTH, Side.EAST, ["right"]),
        (Side.NORTH, Side.NORTH_EAST, ["right"]),
        (Side.NORTH, Side.SOUTH_EAST, ["right"]),
        (Side.NORTH, Side.WEST, ["left"]),
        (Side.NORTH, Side.NORTH_WEST, ["left"]),
        (Side.NORTH, Side.SOUTH, ["all"]),
        (Side.SOUTH, Side.EAST, ["left"]),
        (Side.WEST, Side.NORTH, ["right"]),
        (Side.WEST, Side.SOUTH, ["left"]),
        (Side.NORTH, Side.NORTH, []),
        (None, Side.EAST, []),
        (Side.NORTH, None, []),
    ],
)
def test_daylight_falls_from_the_side_on_which_its_window_lies(
    wall: Side | None, window: Side | None, kinds: list[str]
) -> None:
    found = lit(wall, window)
    assert [each.kind for each in found.glows] == kinds
    assert any("side of the compass" in each for each in found.words) == (wall is None or window is None)


def test_a_lamp_glows_where_it_hangs_and_one_without_a_place_is_told() -> None:
    placed = Lamp(id="desk", kind=LampKind.LED, wall="own", x_cm="60", y_cm="200")
    away = Lamp(id="far", kind=LampKind.LED, wall="other", x_cm="60", y_cm="200")
    found = lit(Side.NORTH, Side.NORTH, lamps=(placed, away, Lamp(id="a", kind=LampKind.LED)))
    assert [(each.kind, each.x_cm, each.y_cm) for each in found.glows] == [("lamp", 60, 200)]
    assert [each.words for each in found.lamps] == ["lamp desk, LED"]
    assert "One lamp is not drawn, since where it hangs is not entered." in found.words


def test_what_was_read_and_what_was_estimated_are_told_apart_and_nothing_is_no_zero() -> None:
    read = Reading(wall="own", x_cm="1", y_cm="2", lux="52", hours_per_day="9", basis=Basis.MEASURED)
    guessed = Reading(wall="own", x_cm="5", y_cm="2", lux="100", hours_per_day="9", basis=Basis.ESTIMATED)
    found = lit(Side.NORTH, Side.NORTH, readings=(read, guessed))
    assert [each.words for each in found.readings] == ["52 lx, 9 h a day", "about 100 lx, 9 h a day, estimated"]
    dark = lit(Side.NORTH, Side.NORTH)
    assert dark.readings == ()
    assert "How light it is on this wall is not known: nobody has read or estimated it." in dark.words


def test_an_outer_wall_is_warned_of() -> None:
    wall = Wall(id="s", width_cm="300", height_cm="250", outer=True)
    assert any("outer wall" in each for each in light_of(Room(room="r", walls=(wall,)), wall).words)
