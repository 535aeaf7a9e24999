"""What lights a wall, as it can be drawn: its lamps and windows, the glow of each, and what was read where.

Units: cm, from the left end of the wall and from the floor.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from ledger.events.room import Basis, Lamp, Reading, Room, Side, Wall, Window
from web.wording import t

__all__ = ["Glow", "Mark", "Opening", "WallLight", "light_of"]

LAMP_CM: Final = 130.0
DAY_CM: Final = 150.0
"""How far the glow of a lamp or a window is drawn; a drawing, and no measure. Source: our assumption."""
_SIDES: Final = tuple(Side)
_AROUND: Final = len(_SIDES)
_OPPOSITE: Final = _AROUND // 2


@dataclass(frozen=True, kw_only=True)
class Glow:
    """Soft light: around a lamp or a window, from one end of the wall, or all over it."""

    kind: str
    """lamp, window, left, right or all"""
    x_cm: float = 0
    y_cm: float = 0
    reach_cm: float = 0


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A lamp, or a spot at which light was read, with its words."""

    x_cm: float
    y_cm: float
    words: str


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A window in the wall; `y_cm` is its lower edge."""

    x_cm: float
    y_cm: float
    width_cm: float
    height_cm: float
    words: str


@dataclass(frozen=True, kw_only=True)
class WallLight:
    """All of it; one of which nothing was entered is empty."""

    glows: tuple[Glow, ...] = ()
    lamps: tuple[Mark, ...] = ()
    windows: tuple[Opening, ...] = ()
    readings: tuple[Mark, ...] = ()
    words: tuple[str, ...] = ()
    """What is drawn and what cannot be, in sentences."""


def light_of(room: Room, wall: Wall) -> WallLight:
    """What was entered of the light on one wall."""
    lamps = [each for each in room.lamps if each.wall == wall.id and each.x_cm is not None and each.y_cm is not None]
    windows = [each for each in room.windows if each.wall == wall.id]
    readings = [each for each in room.readings if each.wall == wall.id]
    return WallLight(
        glows=tuple(_glows(room, wall, lamps)),
        lamps=tuple(_mark(each, t("wall_light.lamp", id=each.id, kind=each.kind.value)) for each in lamps),
        windows=tuple(_opening(room, each) for each in windows),
        readings=tuple(_mark(each, _read(each)) for each in readings),
        words=tuple(_words(room, wall, lamps)),
    )


def _glows(room: Room, wall: Wall, lamps: list[Lamp]) -> Iterator[Glow]:
    walls = {each.id: each for each in room.walls}
    for window in room.windows:
        middle = float(window.x_cm) + float(window.width_cm) / 2, float(window.y_cm) + float(window.height_cm) / 2
        if window.wall == wall.id:
            yield Glow(kind="window", x_cm=middle[0], y_cm=middle[1], reach_cm=DAY_CM)
        elif kind := _from(walls[window.wall].side, wall.side):
            yield Glow(kind=kind, reach_cm=DAY_CM)
    for lamp in lamps:
        yield Glow(kind="lamp", x_cm=float(lamp.x_cm or 0), y_cm=float(lamp.y_cm or 0), reach_cm=LAMP_CM)


def _from(window: Side | None, wall: Side | None) -> str:
    """From where light of a window on that side falls on a wall on this one; empty where that is not known.

    Who stands before a wall on the north side has the east at the right.
    """
    if window is None or wall is None:
        return ""
    turned = (_SIDES.index(window) - _SIDES.index(wall)) % _AROUND
    if turned in (0, _OPPOSITE):
        return "all" if turned else ""
    return "right" if turned < _OPPOSITE else "left"


def _mark(each: Lamp | Reading, words: str) -> Mark:
    return Mark(x_cm=float(each.x_cm or 0), y_cm=float(each.y_cm or 0), words=words)


def _read(each: Reading) -> str:
    if each.basis is Basis.MEASURED:
        return t("wall_light.measured", lux=each.lux, hours=each.hours_per_day)
    return t("wall_light.estimated", lux=each.lux, hours=each.hours_per_day)


def _opening(room: Room, window: Window) -> Opening:
    sizes = (float(each) for each in (window.x_cm, window.y_cm, window.width_cm, window.height_cm))
    x_cm, y_cm, width_cm, height_cm = sizes
    words = t("wall_light.window", number=room.windows.index(window) + 1)
    return Opening(x_cm=x_cm, y_cm=y_cm, width_cm=width_cm, height_cm=height_cm, words=words)


def _words(room: Room, wall: Wall, lamps: list[Lamp]) -> Iterator[str]:
    elsewhere = [each for each in room.lamps if each not in lamps and each.wall in (None, wall.id)]
    if elsewhere:
        yield t.n("wall_light.lamps_elsewhere", len(elsewhere))
    walls = {each.id: each for each in room.walls}
    away = [each for each in room.windows if each.wall != wall.id]
    if any(not (walls[each.wall].side and wall.side) for each in away):
        yield t("wall_light.side_not_known")
    if not any(each.wall == wall.id for each in room.readings):
        yield t("wall_light.nothing_read")
    if wall.outer:
        yield t("wall_light.outer")
