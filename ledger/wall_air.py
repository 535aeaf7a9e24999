"""The air of a room at the surface of an outer wall: where nobody measured it an estimate, beside what was measured."""

from dataclasses import dataclass
from typing import Final

from ledger.rules import climate, mould
from ledger.rules.mould import Seen
from ledger.rules.walls import USUAL_RESISTANCE, WallKind, WallRules, surface_celsius, temperature_factor

__all__ = ["AtSurface", "WallAir", "WallAsked", "wall_air"]

_WET: Final = 100.0


@dataclass(frozen=True, kw_only=True)
class WallAsked:
    """The air of the room, and what is known of the wall. Units: degrees Celsius, per cent."""

    celsius: float
    rh: float
    outside: float | None = None
    kind: str | None = None
    """One of the walls of the table; None is not known, and then it may be any of them."""
    surface: float | None = None
    """As it was measured."""


@dataclass(frozen=True, kw_only=True)
class AtSurface:
    """The air as it is there. Units: degrees Celsius, per cent, weeks."""

    celsius: float
    rh: float
    wet: bool
    """It is no warmer than the dew point, so that water settles."""
    mould_begins: bool
    """Above the humidity from which on mould can begin; no finding of mould."""
    mould_grows: bool
    """Above the humidity from which on it grows by a millimetre a day."""
    seen: Seen | None
    """After how many days of this it is seen, by a curve for 20 to 25 degrees; None is drier than the curve goes."""
    wood_weeks: tuple[float, float] | None
    """Weeks to first growth and until it is seen on sawn pine, which is no paper; None where it cannot begin."""


@dataclass(frozen=True, kw_only=True)
class WallAir:
    """All of it. The estimate goes from behind furniture and pictures at the worst wall to bare at the best."""

    dew_point: float | None
    estimate: tuple[AtSurface, AtSurface] | None
    """The coldest and the warmest it may be; None where the temperature outdoors was not given."""
    measured: AtSurface | None


def wall_air(asked: WallAsked, rules: WallRules) -> WallAir:
    """What the room's air comes to at the wall while both sides stay as they are.

    Keeps: a measured surface takes nothing from the estimate; both are told.
    """
    measured = None if asked.surface is None else _at(asked, asked.surface)
    estimate = None
    if asked.outside is not None:
        kinds = [each for each in rules.kinds if asked.kind in (None, each.id)]
        factors = [factor for each in kinds for factor in _factors(each)]
        ends = sorted(surface_celsius(asked.celsius, asked.outside, each) for each in factors)
        estimate = _at(asked, ends[0]), _at(asked, ends[-1])
    return WallAir(dew_point=climate.dew_point(asked.celsius, asked.rh), estimate=estimate, measured=measured)


def _factors(kind: WallKind) -> tuple[float, float]:
    """Behind something that hangs or stands there, and bare."""
    return kind.factor, temperature_factor(kind.transmittance, USUAL_RESISTANCE)


def _at(asked: WallAsked, celsius: float) -> AtSurface:
    rh = climate.rh_at(asked.celsius, asked.rh, celsius)
    growth, seen = mould.wood_weeks_to_growth(celsius, rh), mould.wood_weeks_to_seen(celsius, rh)
    return AtSurface(
        celsius=celsius,
        rh=rh,
        wet=rh >= _WET,
        mould_begins=rh > mould.critical_rh(celsius),
        mould_grows=rh > mould.growing_rh(celsius),
        seen=next((each for each in reversed(mould.seen_after()) if rh >= each[0]), None),
        wood_weeks=None if growth is None or seen is None else (growth, seen),
    )
