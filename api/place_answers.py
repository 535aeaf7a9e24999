"""Places as they are answered: rooms and walls with what hangs there, boxes and safes with what is in them."""

from pydantic import Field

from api.schemas import Answer
from ledger.events.room import Lamp, Reading, Room, Wall, Window
from ledger.hanging import clashes
from ledger.usecases.places import Places, RoomNow
from ledger.views import HungRow

__all__ = ["KeptPlace", "PlacesAnswer", "RoomDrawing", "room_answer", "room_drawing"]

_CM = {"x-unit": "cm"}


class WallPlace(Answer):
    """One wall and what hangs on it."""

    id: str = Field(description="Its id within the room.")
    side: str | None = Field(description="Side of the compass; null is not known.")
    outer: bool = Field(description="Its other side is outdoors.")
    books: list[str] = Field(description="Ids of the books that hang there.")


class RoomPlace(Answer):
    """One room with its walls."""

    id: str = Field(description="The collector's own id of it.")
    name: str | None = Field(description="Its name; null where none was entered, or it was erased.")
    entry: int = Field(description="Number of the entry that states it.")
    on: str | None = Field(description="Since when it is so, in EDTF; null is not known.")
    walls: list[WallPlace] = Field(description="Its walls.")


class KeptPlace(Answer):
    """One box or safe."""

    spot: str = Field(description="box or safe.")
    place: str | None = Field(description="Its name; null where none was entered, or it was erased.")
    count: int = Field(description="How many books are in it.")
    room: str | None = Field(
        description="Id of the room it stands in, whose climate counts; null where no book in it names one, or they "
        "name several."
    )
    books: list[str] = Field(description="Ids of the books in it, at most 500.")


class PlacesAnswer(Answer):
    """Every place."""

    rooms: list[RoomPlace] = Field(description="Rooms by their ids.")
    elsewhere: list[str] = Field(description="Ids of books that hang on a wall that nobody described.")
    kept: list[KeptPlace] = Field(description="Boxes and safes.")


class HungPlace(Answer):
    """One book on a wall, at its true size."""

    book: str = Field(description="Id of the book.")
    x_cm: str | None = Field(
        description="From the left end to its middle; null where that was not entered. Units: cm.",
        json_schema_extra=dict(_CM),
    )
    y_cm: str | None = Field(
        description="From the floor to its middle; null where that was not entered. Units: cm.",
        json_schema_extra=dict(_CM),
    )
    width_cm: str = Field(
        description="Width of what hangs: the book, or its holder. Units: cm.", json_schema_extra=dict(_CM)
    )
    height_cm: str = Field(description="Height of what hangs. Units: cm.", json_schema_extra=dict(_CM))
    measured: bool = Field(description="The book was measured; otherwise it has the size common at its time.")
    in_holder: bool = Field(description="It hangs in a holder, whose reach beyond the book is assumed.")
    since: str | None = Field(description="Since when it hangs there, in EDTF; null is not known.")


class InTheWayAnswer(Answer):
    """Something that lies over something else, or reaches beyond the wall."""

    book: str = Field(description="Id of the book.")
    against: str = Field(description="book, window, left end of the wall, right end of the wall, floor or ceiling.")
    other: str = Field(description="Id of the other book, or the number of the window in the room; else empty.")


class WallDrawing(Answer):
    """What one wall is drawn from."""

    id: str = Field(description="Its id within the room.")
    width_cm: str = Field(description="Units: cm.", json_schema_extra=dict(_CM))
    height_cm: str = Field(description="Units: cm.", json_schema_extra=dict(_CM))
    windows: list[dict[str, str]] = Field(
        description="Windows in it: number in the room, lower left corner, width and height. Units: cm."
    )
    lamps: list[dict[str, str | None]] = Field(
        description="Lamps that light it from near by: id, kind and place. Units: cm."
    )
    readings: list[dict[str, str | None]] = Field(
        description="Light by spot: lux, hours a day, measured or estimated, ultraviolet. Units: cm, lx, h, µW/lm."
    )
    hung: list[HungPlace] = Field(description="What hangs on it.")
    in_the_way: list[InTheWayAnswer] = Field(description="What lies over something else.")


class RoomDrawing(Answer):
    """What the walls of a room are drawn from."""

    id: str = Field(description="The collector's own id of the room.")
    name: str | None = Field(description="Its name; null where none was entered, or it was erased.")
    walls: list[WallDrawing] = Field(description="Its walls.")


def room_answer(places: Places, room: RoomNow) -> RoomPlace:
    """A room with what hangs on its walls."""
    event = room.event
    walls = [
        WallPlace(
            id=each.id,
            side=each.side.value if each.side is not None else None,
            outer=each.outer,
            books=[row.book for row in places.on_wall(event.room, each.id)],
        )
        for each in event.walls
    ]
    on = None if event.on is None else str(event.on)
    return RoomPlace(id=event.room, name=event.name.value, entry=room.entry.seq, on=on, walls=walls)


def room_drawing(places: Places, room: RoomNow) -> RoomDrawing:
    """Every wall of a room, as it is drawn."""
    event = room.event
    walls = [_wall(places, event, each) for each in event.walls]
    return RoomDrawing(id=event.room, name=event.name.value, walls=walls)


def _wall(places: Places, room: Room, wall: Wall) -> WallDrawing:
    hung = places.on_wall(room.room, wall.id)
    met = clashes(places.pieces(hung), wall, room.windows)
    windows = enumerate(room.windows, start=1)
    return WallDrawing(
        id=wall.id,
        width_cm=wall.width_cm,
        height_cm=wall.height_cm,
        windows=[_window(number, each) for number, each in windows if each.wall == wall.id],
        lamps=[_lamp(each) for each in room.lamps if each.wall == wall.id],
        readings=[_reading(each) for each in room.readings if each.wall == wall.id],
        hung=[_hung(places, each) for each in hung],
        in_the_way=[InTheWayAnswer(book=each.book, against=each.against.value, other=each.other) for each in met],
    )


def _window(number: int, window: Window) -> dict[str, str]:
    names = ("x_cm", "y_cm", "width_cm", "height_cm")
    return {"number": str(number), **{name: getattr(window, name) for name in names}}


def _lamp(lamp: Lamp) -> dict[str, str | None]:
    return {"id": lamp.id, "kind": lamp.kind.value, "x_cm": lamp.x_cm, "y_cm": lamp.y_cm}


def _reading(reading: Reading) -> dict[str, str | None]:
    names = ("x_cm", "y_cm", "lux", "hours_per_day", "uv_microwatts_per_lumen")
    return {**{name: getattr(reading, name) for name in names}, "basis": reading.basis.value}


def _hung(places: Places, row: HungRow) -> HungPlace:
    extent = places.extent(row)
    return HungPlace(
        book=row.book,
        x_cm=row.x_cm,
        y_cm=row.y_cm,
        width_cm=f"{extent.width_cm.normalize():f}",
        height_cm=f"{extent.height_cm.normalize():f}",
        measured=row.width_mm is not None and row.height_mm is not None,
        in_holder=row.holding == "slabbed",
        since=row.placed_on,
    )
