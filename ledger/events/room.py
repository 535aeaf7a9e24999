"""room: a room with its walls, windows, lamps and measured light, stated whole."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, Scope, fact, measure, sealed
from ledger.events._parts import Answer
from ledger.events._spelling import short_id
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.collection import Collection

HOURS_A_DAY = Decimal(24)


class Side(StrEnum):
    """The side of the compass a wall lies on, seen from the middle of the room."""

    NORTH = "north"
    NORTH_EAST = "north-east"
    EAST = "east"
    SOUTH_EAST = "south-east"
    SOUTH = "south"
    SOUTH_WEST = "south-west"
    WEST = "west"
    NORTH_WEST = "north-west"


class LampKind(StrEnum):
    """How a lamp makes its light."""

    LED = "LED"
    INCANDESCENT = "incandescent"
    HALOGEN = "halogen"
    FLUORESCENT = "fluorescent"
    OTHER = "other"


class Basis(StrEnum):
    """How a figure of light came about."""

    MEASURED = "measured"
    ESTIMATED = "estimated"


@dataclass(frozen=True, kw_only=True)
class Wall:
    """One wall, as one stands before it."""

    id: str = short_id("Wall", "Its id within the room.")
    width_cm: str = measure("Width", "cm", default=...)
    height_cm: str = measure("Height", "cm", default=...)
    side: Side | None = fact("Side", "Side of the compass; null is not known.", default=None)
    outer: bool = fact("Outer wall", "Its other side is outdoors.", default=False)


@dataclass(frozen=True, kw_only=True)
class Window:
    """One window, by the lower left corner of its opening."""

    wall: str = short_id("Wall", "The wall it is in.")
    x_cm: str = measure("From the left", "cm", "From the left end of the wall.", default=...)
    y_cm: str = measure("From the floor", "cm", default=...)
    width_cm: str = measure("Width", "cm", default=...)
    height_cm: str = measure("Height", "cm", default=...)
    uv_filter: Answer = fact("Filters UV", "Glass or film that filters ultraviolet.", default=Answer.UNSURE)


@dataclass(frozen=True, kw_only=True)
class Lamp:
    """One lamp; on a wall or before it, or somewhere in the room."""

    id: str = short_id("Lamp", "Its id within the room.")
    kind: LampKind = fact("Kind")
    wall: str | None = short_id("Wall", "The wall it lights from near by.", default=None)
    x_cm: str | None = measure("From the left", "cm", "From the left end of that wall.")
    y_cm: str | None = measure("From the floor", "cm")
    uv_filter: Answer = fact("Filters UV", "A filter before it.", default=Answer.UNSURE)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """The light at one spot of a wall, and for how long each day it is so; readings of one spot add up."""

    wall: str = short_id("Wall", "The wall it was read at.")
    x_cm: str = measure("From the left", "cm", "From the left end of the wall.", default=...)
    y_cm: str = measure("From the floor", "cm", default=...)
    lux: str = measure("Light", "lx", default=...)
    hours_per_day: str = measure("Hours a day", "h", "Mean over the year.", default=...)
    basis: Basis = fact("Basis", "Measured with a meter, or estimated.")
    uv_microwatts_per_lumen: str | None = measure("Ultraviolet", "µW/lm", "As read off a UV meter.")
    on: When | None = fact("Read on", "EDTF; null is not known.", default=None)

    @property
    def spot(self) -> tuple[str, Decimal, Decimal]:
        """Where it was read, so that 50 and 50.0 are one spot."""
        return self.wall, Decimal(self.x_cm), Decimal(self.y_cm)


@dataclass(frozen=True, kw_only=True)
class Room(Event):
    """The room is so from now on; what an earlier entry said of it holds until then.

    Keeps: positions are seen by one who stands before the wall: from its left end, and from the floor.

    Rules: 1 walls have ids of their own, and so have lamps. 2 Window, lamp and reading name a wall of this room. 3
    They lie on it. 4 A wall has a width and a height above zero. 5 Readings of one spot come to 24 hours a day at most.
    6 A lamp's position has both measures, and its wall.
    """

    kind: ClassVar[str] = "room"
    title: ClassVar[str] = "Room"
    lane: ClassVar[Lane] = Lane.CARE
    scope: ClassVar[Scope] = Scope.COLLECTION

    room: str = short_id("Room", "Your own id of it, such as r1; placements name it.")
    walls: tuple[Wall, ...] = fact("Walls", default=(), max_length=40)
    windows: tuple[Window, ...] = fact("Windows", default=(), max_length=40)
    lamps: tuple[Lamp, ...] = fact("Lamps", default=(), max_length=40)
    readings: tuple[Reading, ...] = fact("Light readings", default=(), max_length=400)
    uv_filter: Answer = fact(
        "UV filtered", "All light in the room passes a filter of ultraviolet.", default=Answer.UNSURE
    )
    name: Sealed[str] = sealed("Name of the room")
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rules 1 to 6."""
        yield from super().flaws()
        yield from self._named_once("walls", [each.id for each in self.walls])
        yield from self._named_once("lamps", [each.id for each in self.lamps])
        for place, wall in enumerate(self.walls):
            for name, given in (("width_cm", wall.width_cm), ("height_cm", wall.height_cm)):
                if Decimal(given) == 0:
                    yield self.rule(4, "A wall is wider and higher than nothing. Measure it.", f"walls.{place}.{name}")
        for place, window in enumerate(self.windows):
            far = (_sum(window.x_cm, window.width_cm), _sum(window.y_cm, window.height_cm))
            yield from self._on_wall(f"windows.{place}", window.wall, *far)
        for place, lamp in enumerate(self.lamps):
            yield from self._lamp(f"lamps.{place}", lamp)
        for place, reading in enumerate(self.readings):
            yield from self._on_wall(f"readings.{place}", *reading.spot)
        yield from self._hours()

    def _named_once(self, field: str, ids: Sequence[str]) -> Iterator[Problem]:
        for place, each in enumerate(ids):
            if each in ids[:place]:
                yield self.rule(
                    1, f"{each} is named twice among the {field}. Give each its own id.", f"{field}.{place}.id"
                )

    def _lamp(self, where: str, lamp: Lamp) -> Iterator[Problem]:
        given = [each is not None for each in (lamp.wall, lamp.x_cm, lamp.y_cm)]
        if lamp.x_cm is not None and lamp.y_cm is not None and lamp.wall is not None:
            yield from self._on_wall(where, lamp.wall, Decimal(lamp.x_cm), Decimal(lamp.y_cm))
        elif any(given[1:]):
            sentence = "A lamp's position is a wall and two measures. Give all three, or the wall alone."
            yield self.rule(6, sentence, f"{where}.{('wall', 'x_cm', 'y_cm')[given.index(False)]}")
        elif lamp.wall is not None:
            yield from self._on_wall(where, lamp.wall, Decimal(0), Decimal(0))

    def _on_wall(self, where: str, wall: str, x_cm: Decimal, y_cm: Decimal) -> Iterator[Problem]:
        """Rules 2 and 3: there is such a wall, and it reaches as far as this."""
        found = next((each for each in self.walls if each.id == wall), None)
        if found is None:
            yield self.rule(2, f"This room has no wall {wall}. Name one of its walls.", f"{where}.wall")
            return
        if x_cm > Decimal(found.width_cm):
            yield self.rule(3, f"Wall {wall} is {found.width_cm} cm wide; this lies beyond. Check it.", f"{where}.x_cm")
        if y_cm > Decimal(found.height_cm):
            yield self.rule(3, f"Wall {wall} is {found.height_cm} cm high; this lies above. Check it.", f"{where}.y_cm")

    def _hours(self) -> Iterator[Problem]:
        hours: dict[tuple[str, Decimal, Decimal], Decimal] = {}
        for place, each in enumerate(self.readings):
            hours[each.spot] = hours.get(each.spot, Decimal(0)) + Decimal(each.hours_per_day)
            if hours[each.spot] > HOURS_A_DAY:
                sentence = "With this, the readings of the spot come to more than 24 hours a day. Share the day out."
                yield self.rule(5, sentence, f"readings.{place}.hours_per_day")

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """The room is as this entry states it."""
        return replace(collection, rooms=MappingProxyType({**collection.rooms, self.room: at.seq}))

    def summary(self) -> str:
        """The room's id and what is in it."""
        counts = (("wall", self.walls), ("window", self.windows), ("lamp", self.lamps), ("reading", self.readings))
        parts = [f"{len(each)} {word}{'s' if len(each) > 1 else ''}" for word, each in counts if each]
        return f"Room {self.room}: {', '.join(parts) or 'nothing stated'}"


def _sum(first: str, second: str) -> Decimal:
    return Decimal(first) + Decimal(second)
