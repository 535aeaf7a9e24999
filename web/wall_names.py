"""What a wall is called, and how it is drawn: by its room and the side of the compass it lies on."""

from collections.abc import Mapping, Sequence

from ledger.events.room import Room, Wall
from ledger.views import HungRow
from web.wall_light import WallLight, light_of
from web.wall_shapes import Named
from web.wording import t

__all__ = ["named_wall", "room_name", "side_name", "wall_name"]


def room_name(rooms: Mapping[str, Room], room: str) -> str:
    """The name of a room; its id where it has none."""
    stated = rooms.get(room)
    return (stated.name.value if stated else None) or t("wall.room", room=room)


def wall_name(rooms: Mapping[str, Room], room: str, wall: str) -> str:
    """The name of one of its walls; of the room alone where none is named."""
    name = room_name(rooms, room)
    return t("wall.title_of", room=name, wall=side_name(rooms, room, wall)) if wall else name


def side_name(rooms: Mapping[str, Room], room: str, wall: str) -> str:
    """The name of a wall within its room: by the side it lies on; its id where no side was entered."""
    found = _wall(rooms, room, wall)
    return t("wall.side", side=found.side.value) if found and found.side else t("wall.of_room", wall=wall)


def named_wall(
    rooms: Mapping[str, Room],
    room: str,
    wall: str,
    hung: Sequence[HungRow],
    light_left: Mapping[str, str] | None = None,
) -> Named:
    """A wall of a room with what hangs on it and what lights it, as far as these were entered.

    `light_left` says what light leaves of a year to each book, in words.
    """
    stated, found = rooms.get(room), _wall(rooms, room, wall)
    return Named(
        title=wall_name(rooms, room, wall),
        hung=tuple(hung),
        width_cm=float(found.width_cm) if found else None,
        room=room if stated else "",
        wall=wall,
        light_left=light_left or {},
        light=light_of(stated, found) if stated and found else WallLight(),
    )


def _wall(rooms: Mapping[str, Room], room: str, wall: str) -> Wall | None:
    stated = rooms.get(room)
    return next((each for each in stated.walls if each.id == wall), None) if stated else None
