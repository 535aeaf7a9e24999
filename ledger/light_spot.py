"""What light falls on a book where it is kept: the nearest reading of its wall, an estimate, the dark, or not known."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import Final

from ledger.events._parts import Answer
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.events.room import HOURS_A_DAY, Basis, Reading, Room
from ledger.rules.light import Extent, LightRules, uv_milliwatts

__all__ = ["DARK", "DayLight", "Known", "Where", "falls_on", "glazing_of", "light_at", "of_spot", "where_of"]

NOTHING: Final = Extent(low=0.0, middle=0.0, high=0.0)


class Known(StrEnum):
    """How the light of a spot is known."""

    MEASURED = "measured"
    ESTIMATED = "estimated by you"
    TABLE = "estimated from the table"
    DARK = "dark"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, kw_only=True)
class Where:
    """A spot in a room, and whether something before the book filters ultraviolet."""

    room: str | None = None
    wall: str | None = None
    x_cm: str | None = None
    y_cm: str | None = None
    glazing: Answer = Answer.NO


@dataclass(frozen=True, kw_only=True)
class DayLight:
    """The light of a day. Units: lx, h, lx h a day; None where it is not known."""

    known: Known
    lux_hours: Extent | None = None
    lux: float | None = None
    """The brightest it is."""
    filtered: Answer = Answer.UNSURE
    """Ultraviolet is filtered out before it falls on the book."""
    uv_milliwatts: float | None = None
    """Ultraviolet on it at the brightest, before any glazing. Units: mW/m²; None where it was not measured."""
    away_cm: int | None = None
    """How far off the reading was made; None without one, or where the book's place on the wall is not known."""

    def dimmed(self, share: float) -> "DayLight":
        """The same with that share of the light."""
        less = None if self.lux_hours is None else self.lux_hours.times(share)
        return replace(self, lux_hours=less, lux=_part(self.lux, share), uv_milliwatts=_part(self.uv_milliwatts, share))


def _part(value: float | None, share: float) -> float | None:
    return None if value is None else value * share


DARK: Final = DayLight(known=Known.DARK, lux_hours=NOTHING, lux=0.0, filtered=Answer.YES)
"""In a box or a safe. Our assumption: the minutes for which it is open are not counted."""
UNKNOWN: Final = DayLight(known=Known.NOT_KNOWN)


def where_of(placement: Placement) -> Where:
    """The spot of a book on a wall."""
    glazing = glazing_of(placement.housings)
    return Where(room=placement.room, wall=placement.wall, x_cm=placement.x_cm, y_cm=placement.y_cm, glazing=glazing)


def glazing_of(housings: Iterable[Housing]) -> Answer:
    """Whether a frame's glazing filters ultraviolet; not, where there is no frame: sleeve and holder are no filters.

    From memory: acrylic and polystyrene are no filters unless they were measured.
    """
    frame = next((each for each in housings if each.around is Around.FRAME), None)
    if frame is None:
        return Answer.NO
    return Answer.UNSURE if frame.uv_filter is None else frame.uv_filter


def falls_on(placement: Placement, rooms: Mapping[str, Room], rules: LightRules) -> DayLight:
    """The light on a book that was placed so, in rooms as they were stated then."""
    if placement.spot is not Spot.WALL:
        return DARK
    return light_at(where_of(placement), rooms, rules)


def light_at(where: Where, rooms: Mapping[str, Room], rules: LightRules) -> DayLight:
    """The light of a spot on a wall.

    Keeps: a reading counts within the distance that the table names, the nearest first; where the place on the wall is
    not known all readings of the wall do. Further off it is an estimate from the table, and without the room's entry or
    the wall's name nothing is known.
    """
    room = rooms.get(where.room or "")
    if room is None or where.wall not in {each.id for each in room.walls}:
        return UNKNOWN
    near, away = _near(where, room, rules.number("reading", "near_cm"))
    if not near:
        return replace(_estimate(room, rules), filtered=_filtered(where, room, (), rules))
    found = [of_spot(each, rules) for each in near]
    extents = [each.lux_hours for each in found if each.lux_hours is not None]
    whole = Extent(
        low=min(each.low for each in extents),
        middle=sum(each.middle for each in extents) / len(extents),
        high=max(each.high for each in extents),
    )
    measured = all(each.known is Known.MEASURED for each in found)
    return DayLight(
        known=Known.MEASURED if measured else Known.ESTIMATED,
        lux_hours=whole,
        lux=max(each.lux or 0.0 for each in found),
        uv_milliwatts=max((uv for each in found if (uv := each.uv_milliwatts) is not None), default=None),
        filtered=_filtered(where, room, [reading for each in near for reading in each], rules),
        away_cm=away,
    )


def _near(where: Where, room: Room, near_cm: int) -> tuple[list[list[Reading]], int | None]:
    """The spots that count, each with its readings, and how far off the one is that was nearest."""
    spots: dict[tuple[str, Decimal, Decimal], list[Reading]] = {}
    for each in room.readings:
        if each.wall == where.wall:
            spots.setdefault(each.spot, []).append(each)
    if where.x_cm is None or where.y_cm is None:
        return list(spots.values()), None
    x_cm, y_cm = Decimal(where.x_cm), Decimal(where.y_cm)
    by_distance = sorted((((x - x_cm) ** 2 + (y - y_cm) ** 2).sqrt(), place) for place, (_, x, y) in enumerate(spots))
    if not by_distance or by_distance[0][0] > near_cm:
        return [], None
    away, place = by_distance[0]
    return [list(spots.values())[place]], round(away)


def of_spot(readings: Sequence[Reading], rules: LightRules) -> DayLight:
    """What the readings of one spot add up to; of hours that none speaks of the table says what they may be."""
    middle = float(sum(Decimal(each.lux) * Decimal(each.hours_per_day) for each in readings))
    rest = float(HOURS_A_DAY - sum(Decimal(each.hours_per_day) for each in readings))
    estimated = any(each.basis is Basis.ESTIMATED for each in readings)
    factor = max(1, rules.number("reading", "estimated_factor")) if estimated else 1
    extent = Extent(
        low=middle / factor + rest * rules.number("off-hours", "least_lux"),
        middle=middle + rest * rules.number("off-hours", "least_lux"),
        high=middle * factor + rest * max(rules.number("off-hours", n) for n in ("least_lux", "most_lux")),
    )
    known = Known.ESTIMATED if estimated else Known.MEASURED
    measured = (
        uv_milliwatts(float(each.lux), float(each.uv_microwatts_per_lumen))
        for each in readings
        if each.uv_microwatts_per_lumen is not None
    )
    brightest = float(max(Decimal(each.lux) for each in readings))
    return DayLight(known=known, lux_hours=extent, lux=brightest, uv_milliwatts=max(measured, default=None))


def _estimate(room: Room, rules: LightRules) -> DayLight:
    """What walls of such rooms commonly get."""
    place = rules.places["inner-wall" if room.windows else "corridor"]
    lux = sorted(float(each) for each in (place.low, place.lux, place.high))
    given = (place.hours_low, place.hours, place.hours_high)
    hours = sorted(min(float(HOURS_A_DAY), float(each)) for each in given)
    low, middle, high = (each * lit for each, lit in zip(lux, hours, strict=True))
    return DayLight(known=Known.TABLE, lux_hours=Extent(low=low, middle=middle, high=high), lux=lux[1])


def _filtered(where: Where, room: Room, readings: Iterable[Reading], rules: LightRules) -> Answer:
    """Whether ultraviolet is filtered out: by the glazing, in the room, as it was measured, or at every source."""
    sources = [*(each.uv_filter for each in room.windows), *(each.uv_filter for each in room.lamps)]
    all_filter = bool(sources) and all(each is Answer.YES for each in sources)
    if Answer.YES in (where.glazing, room.uv_filter) or all_filter:
        return Answer.YES
    measured = [Decimal(each.uv_microwatts_per_lumen) for each in readings if each.uv_microwatts_per_lumen is not None]
    if measured and max(measured) <= rules.number("ultraviolet", "filtered_to"):
        return Answer.YES
    strong = bool(measured) and max(measured) > rules.number("ultraviolet", "unfiltered_over")
    through = strong or Answer.NO in (room.uv_filter, *sources)
    return Answer.NO if through and where.glazing is Answer.NO else Answer.UNSURE
