"""How cold the inner surface of an outer wall is, and what is assumed of damp there; an estimate, and never a reading."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.rules._tables import Row, table

__all__ = ["TABLE", "USUAL_RESISTANCE", "WallKind", "WallRules", "surface_celsius", "temperature_factor", "wall_rules"]

TABLE: Final = "damp_walls"
"""The name of the table."""
SURFACE_RESISTANCE: Final = 0.25
"""From the room's air to the surface behind furniture, curtains and pictures. Units: m2 K/W. Source: EN ISO 13788."""
USUAL_RESISTANCE: Final = 0.13
"""The same as it is in a transmittance. Units: m2 K/W. Source: EN ISO 6946, heat that flows sideways."""
_HUNDREDTHS: Final = 100


def temperature_factor(transmittance: float, resistance: float = SURFACE_RESISTANCE) -> float:
    """Which part of the way from outdoors to the room a surface is warm; 1 is as warm as the room.

    Units: W/(m2 K), m2 K/W from the room's air to the surface.
    Keeps: a wall that lets through more is never warmer. Of a plain wall: corners and lintels are colder.
    Source: EN ISO 13788, the temperature factor of the surface; with its resistance in place of that of EN ISO 6946.
    """
    beyond = max(0.0, 1 / transmittance - USUAL_RESISTANCE)
    return beyond / (beyond + resistance)


def surface_celsius(inside: float, outside: float, factor: float) -> float:
    """How warm the surface is while both stay as they are. Units: degrees Celsius, degrees Celsius, 1.

    Source: EN ISO 13788, solved for the surface.
    """
    return outside + factor * (inside - outside)


@dataclass(frozen=True)
class WallKind:
    """A wall as many are built. Units: W/(m2 K)."""

    id: str
    title: str
    transmittance: float

    @property
    def factor(self) -> float:
        """Its temperature factor."""
        return temperature_factor(self.transmittance)


@dataclass(frozen=True, kw_only=True)
class WallRules:
    """What is assumed, as it was shipped or as the collector ruled. Units: days, kelvin."""

    held_days: int
    """After so many days on end damp counts as lasting."""
    colder: tuple[float, float]
    """How much colder than its room an outer wall is where nobody measured it, on a mild and on a cold day."""
    kinds: tuple[WallKind, ...]

    def kind(self, name: str) -> WallKind | None:
        """The wall of that name."""
        return next((each for each in self.kinds if each.id == name), None)


def wall_rules(edited: Mapping[str, Row] | None = None) -> WallRules:
    """The table as it was shipped, with these rows in place of its own; less than nothing counts as nothing.

    Source: the row's own.
    """
    rows = {row.id: (edited or {}).get(row.id, row) for row in table(TABLE).rows}
    wall = rows["outer-wall"]
    mild, cold = sorted(float(max(0, wall.whole(name))) for name in ("mild_kelvin", "cold_kelvin"))
    return WallRules(
        held_days=max(0, rows["held"].whole("days")),
        colder=(mild, cold),
        kinds=tuple(
            WallKind(row.id, row.text("title"), max(1, row.whole("hundredths_w_m2k")) / _HUNDREDTHS)
            for row in rows.values()
            if "hundredths_w_m2k" in row.fields
        ),
    )
