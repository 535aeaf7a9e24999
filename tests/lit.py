"""Rooms, placements and the light of a book in them, for the tests of light."""

from datetime import date
from typing import Any

from ledger.entry import Entry
from ledger.events import Event
from ledger.events.placement import Placement, Spot
from ledger.events.room import Basis, Reading, Room, Wall
from ledger.history import fold, history
from ledger.light_dose import rooms_of
from ledger.light_share import Light, light_of, standing_of
from ledger.light_spot import DayLight, Where, light_at
from ledger.rules.light import light_rules
from tests.builders import BOOK, CODEC, an_entry, chain, on

RULES = light_rules()
WALL = Wall(id="n", width_cm="400", height_cm="250")
UNTIL = date(2025, 1, 1)


def a_reading(lux: str = "50", hours: str = "8", x: str = "100", y: str = "150", **more: Any) -> Reading:
    said = {"wall": "n", "x_cm": x, "y_cm": y, "lux": lux, "hours_per_day": hours, "basis": Basis.MEASURED}
    return Reading(**{**said, **more})


def a_room(when: str | None = "2020-01-01", *readings: Reading, **more: Any) -> Room:
    return Room(**{"on": on(when), "room": "r", "walls": (WALL,), "readings": readings or (a_reading(),), **more})


def hung(when: str | None, x: str | None = "100", y: str | None = "150", **more: Any) -> Placement:
    return Placement(**{"on": on(when), "spot": Spot.WALL, "room": "r", "wall": "n", "x_cm": x, "y_cm": y, **more})


def boxed(when: str | None) -> Placement:
    return Placement(on=on(when), spot=Spot.BOX)


def house(*rooms: Event) -> list[Entry]:
    return [an_entry(each, seq, book=None) for seq, each in enumerate(rooms, start=1)]


def light(*events: Event, rooms: tuple[Event, ...] = (), until: date = UNTIL, **standing: Any) -> Light:
    """The light of a book with these entries, bought at the start of 2020 unless they begin with a purchase."""
    moments = history(chain(*events), CODEC)
    book = fold(BOOK, 1, moments)
    stated = rooms_of(history(house(*(rooms or (a_room(),))), CODEC), until)
    made = standing_of(RULES, book, standing.get("chosen"), standing.get("signature"))
    return light_of(book, moments, stated, RULES, made, until)


def spot(where: Where, room: Room) -> DayLight:
    return light_at(where, {"r": room}, RULES)


HERE = Where(room="r", wall="n", x_cm="100", y_cm="150")


def middle(of: DayLight) -> float:
    assert of.lux_hours is not None
    return of.lux_hours.middle


def extent(of: DayLight) -> tuple[float, float, float]:
    assert of.lux_hours is not None
    return of.lux_hours.low, of.lux_hours.middle, of.lux_hours.high
