"""What a room's air does to paper: how long it lasts there, where water settles, how damp a wall's surface is.

All of it compares places and times. It says nothing of ink, glue, staples or mould, and no year of any book's life.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from math import exp, log
from typing import Final

from ledger.rules._tables import Row, table
from ledger.rules.ageing import ENERGY, Band, acceleration, moisture_factor

__all__ = [
    "ALDUCHOV",
    "BOLTON",
    "ENERGY_STEPS",
    "SONNTAG",
    "Limit",
    "Magnus",
    "Range",
    "absolute_humidity",
    "dew_point",
    "equivalent_days",
    "limit",
    "mean_multiplier",
    "ranges",
    "rates",
    "rh_at",
    "saturation",
    "seasons",
    "swings",
    "tried",
]

ENERGY_STEPS: Final = (70.0, 80.0, 90.0, ENERGY, 110.0, 120.0)
"""Energies at which a log is added up; the middle one is the usual one. Units: kJ/mol. As `ageing.ENERGIES`."""
TRIED_RH: Final = (20.0, 80.0)
"""Beyond these the power of the humidity is an extrapolation. Units: per cent. From memory."""
SECONDS_A_DAY: Final = 86_400
_GRAMS: Final = 216.68
"""Of water a cubic metre, by hPa and kelvin. Units: g K/(m3 hPa). Source: the gas constant of water vapour."""
_ZERO: Final = 273.15


@dataclass(frozen=True)
class Magnus:
    """The vapour pressure over water as base x exp(slope t / (offset + t)). Units: hPa, 1, degrees Celsius."""

    base: float
    slope: float
    offset: float


ALDUCHOV: Final = Magnus(6.1094, 17.625, 243.04)
"""Source: Alduchov and Eskridge 1996, Journal of Applied Meteorology 35, equation 21; 0 to 60 degrees."""
SONNTAG: Final = Magnus(6.112, 17.62, 243.12)
"""Source: Sonntag 1990, Zeitschrift fuer Meteorologie 70; -45 to 60 degrees."""
BOLTON: Final = Magnus(6.112, 17.67, 243.5)
"""Source: Bolton 1980, Monthly Weather Review 108."""


def saturation(celsius: float, magnus: Magnus = ALDUCHOV) -> float:
    """The vapour pressure over water. Units: degrees Celsius, hPa.

    Source: Magnus's formula, with the constants of its set.
    """
    return magnus.base * exp(magnus.slope * celsius / (magnus.offset + celsius))


def dew_point(celsius: float, rh: float, magnus: Magnus = ALDUCHOV) -> float | None:
    """The temperature at which this air gives off water; None for air without any.

    Units: degrees Celsius, per cent.
    Source: Magnus's formula, solved for the temperature.
    """
    if rh <= 0:
        return None
    gamma = log(rh / 100) + magnus.slope * celsius / (magnus.offset + celsius)
    return magnus.offset * gamma / (magnus.slope - gamma)


def rh_at(celsius: float, rh: float, other: float) -> float:
    """The relative humidity of the same air where it is as cold as `other`, as at a wall's surface; 100 is wet.

    Units: degrees Celsius, per cent.
    Source: the vapour pressure stays, the saturation pressure does not.
    """
    return min(100.0, rh * saturation(celsius) / saturation(other))


def absolute_humidity(celsius: float, rh: float) -> float:
    """Water in the air. Units: degrees Celsius, per cent, g/m3.

    Source: the law of ideal gases for water vapour.
    """
    return _GRAMS * rh / 100 * saturation(celsius) / (celsius + _ZERO)


def tried(rh: float) -> bool:
    """The power of the humidity was tried at such a humidity. Units: per cent.

    From memory; as `TRIED_RH`.
    """
    low, high = TRIED_RH
    return low <= rh <= high


@lru_cache(maxsize=65_536)
def rates(celsius: float, rh: float) -> tuple[float, ...]:
    """How many times as fast paper ages as at 20 degrees and 50 per cent, at each of `ENERGY_STEPS`.

    Source: one over the lifetime multiplier of Michalski 2002.
    """
    damp = moisture_factor(rh)
    return tuple(damp * acceleration(celsius, energy) for energy in ENERGY_STEPS)


def equivalent_days(held: Iterable[tuple[float, float, float]]) -> Band:
    """Days at 20 degrees and 50 per cent that age as much, of (degrees, per cent, seconds); damage adds, life does not.

    Keeps: the band is over all of `ENERGY_STEPS`: with warm and cold times mixed, the least may lie between its ends.
    Source: as `rates`, over the time.
    """
    sums = [0.0] * len(ENERGY_STEPS)
    for celsius, rh, seconds in held:
        for place, rate in enumerate(rates(celsius, rh)):
            sums[place] += rate * seconds
    days = [each / SECONDS_A_DAY for each in sums]
    return Band(low=min(days), middle=days[ENERGY_STEPS.index(ENERGY)], high=max(days))


def mean_multiplier(equivalent: Band, seconds: int) -> Band | None:
    """How many times as long paper lasts as at 20 degrees and 50 per cent: the harmonic mean over a time.

    Source: as `rates`; damage adds, life does not. None where nothing is known of the time, or the air had no water at all.
    """
    days = seconds / SECONDS_A_DAY
    if not seconds or not equivalent.low:
        return None
    return Band(low=days / equivalent.high, middle=days / equivalent.middle, high=days / equivalent.low)


Ends = tuple[float | None, float | None]
"""From the one to the other; None is open on that side."""


@dataclass(frozen=True, kw_only=True)
class Range:
    """A published range, as a label for a log and no verdict on it; None is open on that side.

    Of `swings` the upper ends say how far temperature and humidity may lie from the day's middle; of `seasons` both ends
    say how far a month's mean may lie below and above the year's.
    """

    id: str
    title: str
    celsius: Ends
    rh: Ends
    sources: tuple[str, ...]
    warmest: float | None = None
    """Of a season: no month's mean is above it. Units: degrees Celsius."""

    def holds(self, celsius: float, rh: float) -> bool:
        """Air like this lies in it."""
        return _between(celsius, self.celsius) and _between(rh, self.rh)


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A humidity from which on it is damp, at once or when it lasts; how long that is says `walls`. Units: per cent."""

    rh: float
    sources: tuple[str, ...]


@cache
def ranges() -> tuple[Range, ...]:
    """All published ranges. Source: the row's own."""
    return tuple(_range(row) for row in _rows("range"))


@cache
def swings() -> tuple[Range, ...]:
    """How little types of control let the climate swing within a day. Source: the row's own."""
    return tuple(_range(row) for row in _rows("swing"))


@cache
def seasons() -> tuple[Range, ...]:
    """How far types of control let a month's mean lie from the year's. Source: the row's own."""
    return tuple(_range(row) for row in _rows("season"))


@cache
def limit(name: str) -> Limit:
    """One of `damp-held` and `damp`. Source: the row's own."""
    row = next(row for row in _rows("limit") if row.id == name)
    return Limit(rh=float(row.texts("rh")[0]), sources=row.sources)


def _rows(use: str) -> list[Row]:
    return [row for row in table("climate").rows if row.text("use") == use]


def _range(row: Row) -> Range:
    return Range(
        id=row.id,
        title=row.text("title"),
        celsius=_ends(row, "celsius"),
        rh=_ends(row, "rh"),
        sources=row.sources,
        warmest=float(row.whole("warmest")) if "warmest" in row.fields else None,
    )


def _ends(row: Row, name: str) -> Ends:
    low, high = (float(Decimal(each)) if each else None for each in row.texts(name))
    return low, high


def _between(value: float, ends: Ends) -> bool:
    low, high = ends
    return (low is None or low <= value) and (high is None or value <= high)
