"""The ageing dose of heat: what a session of work did to the paper, as days at 20 degrees and 50 per cent, in a band."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from ledger.events._settings import Settings
from ledger.events.intervention import Intervention
from ledger.history import Moment
from ledger.rules.ageing import (
    ENERGIES,
    ENERGY,
    HUMID_RH,
    REFERENCE_CELSIUS,
    REFERENCE_RH,
    TAU_MINUTES,
    Band,
    cooling_days,
    dried_factor,
    hold_days,
    moisture_factor,
)

__all__ = ["NOTHING", "Dose", "Heat", "dose_of", "heat_of"]

NOTHING: Final = Band(low=0.0, middle=0.0, high=0.0)
WARM: Final = 30.0
"""From here on it counts as heat. Units: degrees Celsius. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Dose:
    """One session: its band, None where it cannot be told, and which figures it lacks or takes from the dial."""

    band: Band | None
    missing: tuple[str, ...] = ()
    """Names of the fields without which it cannot be told: `measured_celsius`, `hold_minutes`."""
    from_the_dial: bool = False
    """The temperature is the one that was set, and not measured at the paper."""
    cooling_left_out: bool = False
    """How long it cooled is not known, so that the cooling is not in it."""


@dataclass(frozen=True, kw_only=True)
class Heat:
    """All heat a book had here: the sum of the sessions that can be told, and how many cannot."""

    band: Band
    sessions: int
    untold: int
    without_cooling: int = 0
    """Sessions in the sum of which only the hold is: how long they cooled is not known."""


def dose_of(step: Intervention) -> Dose | None:
    """The dose of a step of work; None where there was no heat.

    Keeps: a time in the press is never taken for a time in the heat. What is not known is not zero.
    """
    settings, row = step.settings, step.row
    celsius = _celsius(settings)
    hot = celsius is not None and celsius >= WARM
    if not hot and not (row is not None and row.needs_heat and celsius is None):
        return None
    hold = settings.hold_minutes if settings is not None else None
    missing = tuple(name for name, value in (("measured_celsius", celsius), ("hold_minutes", hold)) if value is None)
    if celsius is None or hold is None or settings is None:
        return Dose(band=None, missing=missing)
    return Dose(
        band=_band(settings, celsius, hold),
        from_the_dial=settings.measured_celsius is None,
        cooling_left_out=settings.cooling_minutes is None,
    )


def heat_of(moments: Iterable[Moment]) -> Heat:
    """What all steps in force came to."""
    doses = [
        dose
        for moment in moments
        if moment.in_force and isinstance(moment.event, Intervention) and (dose := dose_of(moment.event))
    ]
    told = [each.band for each in doses if each.band is not None]
    return Heat(
        band=sum(told, NOTHING),
        sessions=len(doses),
        untold=len(doses) - len(told),
        without_cooling=sum(each.cooling_left_out for each in doses),
    )


def _celsius(settings: Settings | None) -> float | None:
    said = (settings.measured_celsius or settings.set_celsius) if settings is not None else None
    return None if said is None else float(said)


def _band(settings: Settings, celsius: float, hold: int) -> Band:
    """From the least moisture and energy to the most; in the middle the usual energy and the likeliest moisture."""
    least, likely, most = _moistures(settings, celsius)
    low, high = ENERGIES
    quick, slow = TAU_MINUTES
    cooling = settings.cooling_minutes or 0

    def days(energy: float, moisture: float, tau: float) -> float:
        hot = hold_days(celsius, hold, energy=energy, moisture=moisture)
        # The room itself ages it too, press or no press: only what the heat adds is counted.
        room = hold_days(REFERENCE_CELSIUS, cooling, energy=energy, moisture=moisture)
        cool = cooling_days(celsius, REFERENCE_CELSIUS, cooling, tau, energy=energy, moisture=moisture)
        return hot + cool - room

    return Band(low=days(low, least, quick), middle=days(ENERGY, likely, quick), high=days(high, most, slow))


def _moistures(settings: Settings, celsius: float) -> tuple[float, float, float]:
    """The least, the likeliest and the most moisture that what was recorded allows, as factors of the rate."""
    rh = None if settings.rh_percent is None else float(settings.rh_percent)
    if settings.moistened:
        wet = moisture_factor(HUMID_RH if rh is None else rh)
        return min(1.0, wet), wet, max(1.0, wet)
    room = REFERENCE_RH if rh is None else rh
    dry, unchanged = dried_factor(celsius, room_rh=room), moisture_factor(room)
    if settings.moisture is None:
        return dry, unchanged, max(unchanged, moisture_factor(HUMID_RH))
    return dry, unchanged, unchanged
