"""How much faster paper ages in heat: an index that compares sessions, and no forecast of any book's years.

The rate doubles about every five degrees and follows a power of the humidity. What it says is a band, for neither the
moisture in a closed pack nor the energy of the reaction is known.
"""

from dataclasses import dataclass
from math import exp
from typing import Final

__all__ = [
    "ENERGIES",
    "ENERGY",
    "HUMID_RH",
    "REFERENCE_CELSIUS",
    "REFERENCE_RH",
    "TAU_MINUTES",
    "ZERO_CELSIUS",
    "Band",
    "acceleration",
    "cooling_days",
    "dried_factor",
    "hold_days",
    "lifetime_multiplier",
    "moisture_factor",
    "saturation_hpa",
]

GAS: Final = 8.314
"""Units: J/(mol K)."""
ZERO_CELSIUS: Final = 273.15
"""Units: K."""
REFERENCE_CELSIUS: Final = 20.0
REFERENCE_RH: Final = 50.0
"""Units: per cent."""
POWER: Final = 1.3
"""Of the humidity. Source: Michalski 2002, ICOM-CC 13th Triennial Meeting, vol. I, pp. 66-72."""
ENERGY: Final = 100.0
"""Of the reaction, the usual one. Units: kJ/mol. Source: as `POWER`."""
ENERGIES: Final = (70.0, 120.0)
"""The lowest and the highest that are carried. Units: kJ/mol. From memory: the span that is found in the literature."""
TAU_MINUTES: Final = (10.0, 60.0)
"""In what time a pack loses most of its heat, on a bench and in a heavy press. Our assumption."""
HUMID_RH: Final = 75.0
"""In a pack that was moistened before it was pressed. Units: per cent. Our assumption."""
MINUTES_A_DAY: Final = 1440.0
_STEPS: Final = 2000
"""Of the trapezoids that add up a cooling; each is a hundredth of the time in which most heat is lost, or less."""
_COLD: Final = 20
"""After so many of those times no heat is left: less than a millionth of a degree."""
_MAGNUS: Final = (6.1094, 17.625, 243.04)
"""Over water. Source: Alduchov and Eskridge 1996, Journal of Applied Meteorology 35, equation 21; units: hPa, 1, degrees."""


@dataclass(frozen=True, kw_only=True)
class Band:
    """Equivalent days at 20 degrees and 50 per cent: the least, the middle, the most."""

    low: float
    middle: float
    high: float

    def __add__(self, other: "Band") -> "Band":
        """Sessions add."""
        return Band(low=self.low + other.low, middle=self.middle + other.middle, high=self.high + other.high)


def lifetime_multiplier(celsius: float, rh: float, energy: float = ENERGY) -> float:
    """How many times as long unstable paper lasts as at 20 degrees and 50 per cent.

    Units: degrees Celsius, per cent, kJ/mol.
    Requires: paper near equilibrium with the air, at middling humidity.
    Source: Michalski 2002, ICOM-CC 13th Triennial Meeting, vol. I, pp. 66-72.
    """
    return float((REFERENCE_RH / rh) ** POWER) / acceleration(celsius, energy)


def acceleration(celsius: float, energy: float = ENERGY) -> float:
    """How many times as fast it ages as at 20 degrees with the same moisture.

    Units: degrees Celsius, kJ/mol.
    Source: Arrhenius; as `lifetime_multiplier`.
    """
    kelvin, reference = celsius + ZERO_CELSIUS, REFERENCE_CELSIUS + ZERO_CELSIUS
    return exp(energy * 1000 / GAS * (1 / reference - 1 / kelvin))


def moisture_factor(rh: float) -> float:
    """How many times as fast it ages at this humidity as at 50 per cent. Units: per cent.

    Source: as `lifetime_multiplier`.
    """
    return float((rh / REFERENCE_RH) ** POWER)


def saturation_hpa(celsius: float) -> float:
    """The vapour pressure over water. Units: degrees Celsius, hPa.

    Source: Alduchov and Eskridge 1996, equation 21, made for 0 to 60 degrees; three per cent too high at 105.
    """
    base, slope, offset = _MAGNUS
    return base * exp(slope * celsius / (offset + celsius))


def dried_factor(celsius: float, room_celsius: float = REFERENCE_CELSIUS, room_rh: float = REFERENCE_RH) -> float:
    """The moisture factor of a pack that has come to the vapour pressure of its room: the least there can be.

    Units: degrees Celsius, per cent. The power law was not tried so dry.
    Source: Dalton's law for the pack's vapour; as `moisture_factor` and `saturation_hpa`.
    """
    return moisture_factor(room_rh * saturation_hpa(room_celsius) / saturation_hpa(celsius))


def hold_days(celsius: float, minutes: float, *, energy: float = ENERGY, moisture: float = 1.0) -> float:
    """Equivalent days of a time at one temperature. Units: degrees Celsius, min, kJ/mol.

    Source: as `acceleration`, over the time.
    """
    return minutes / MINUTES_A_DAY * acceleration(celsius, energy) * moisture


def cooling_days(  # noqa: PLR0913 - what a cooling hangs on
    peak: float, ambient: float, minutes: float, tau: float, *, energy: float = ENERGY, moisture: float = 1.0
) -> float:
    """Equivalent days while it cools: the heat above the room is lost by the same share in every minute.

    Units: degrees Celsius, min, kJ/mol.
    Source: Newton's law of cooling; the trapezoid rule; as `acceleration`.
    """
    if minutes <= 0:
        return 0.0
    if minutes > _COLD * tau:
        # By then it is as cool as the room, and ages with it.
        room = hold_days(ambient, minutes - _COLD * tau, energy=energy, moisture=moisture)
        return room + cooling_days(peak, ambient, _COLD * tau, tau, energy=energy, moisture=moisture)
    step = minutes / _STEPS
    rates = [acceleration(ambient + (peak - ambient) * exp(-each * step / tau), energy) for each in range(_STEPS + 1)]
    return (sum(rates) - (rates[0] + rates[-1]) / 2) * step / MINUTES_A_DAY * moisture
