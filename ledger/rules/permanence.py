"""Two other yardsticks for the same air: isoperms of paper, and the preservation index of acetate film.

Both stand beside the lifetime multiplier so that nobody takes one formula for the truth. Neither is years of a book.
"""

from collections.abc import Iterable
from math import exp
from typing import Final

from ledger.rules.ageing import REFERENCE_CELSIUS, REFERENCE_RH, ZERO_CELSIUS, Band

__all__ = ["HEATS", "film_years", "isoperm", "mean_film", "mean_isoperm"]

HEATS: Final = (25.0, 30.0, 35.0)
"""Heats of activation. Units: kcal/mol. Source: the first and the last are Sebera's 1994; the middle is our assumption."""
_KCAL: Final = 0.001987
"""The gas constant. Units: kcal/(mol K)."""
_FILM_FACTOR: Final = 5.9e12
_FILM_ENERGY: Final = 90_300.0
"""Units: J/mol."""
_GAS: Final = 8.314


def isoperm(celsius: float, rh: float, heat: float) -> float | None:
    """How many times as permanent paper is as at 20 degrees and 50 per cent; None in air without water.

    Units: degrees Celsius, per cent, kcal/mol.
    Requires: paper in equilibrium with the air; the centre of a closed book may take months.
    Source: Sebera 1994, Isoperms, equations 2 and 3, without the small prefactor of his equation 5.
    """
    rate = _rate(celsius, rh, heat)
    return 1 / rate if rate else None


def mean_isoperm(held: Iterable[tuple[float, float, float]]) -> Band | None:
    """The same over a time of (degrees, per cent, seconds), at each of `HEATS`; damage adds, permanence does not.

    Source: as `isoperm`, the harmonic mean.
    """
    sums, whole = [0.0] * len(HEATS), 0.0
    for celsius, rh, seconds in held:
        whole += seconds
        for place, heat in enumerate(HEATS):
            sums[place] += _rate(celsius, rh, heat) * seconds
    if not whole or not min(sums):
        return None
    means = [whole / each for each in sums]
    return Band(low=min(means), middle=means[1], high=max(means))


def film_years(celsius: float, rh: float) -> float | None:
    """The preservation index of acetate film, to compare climates by; None in air without water.

    Units: degrees Celsius, per cent, years of film and of no book.
    Source: Reilly and others 1995, New Tools for Preservation, as fitted by Padfield 2004.
    """
    rate = _film_rate(celsius, rh)
    return 1 / rate if rate else None


def mean_film(held: Iterable[tuple[float, float, float]]) -> float | None:
    """How many times the index of 20 degrees and 50 per cent it is over a time of (degrees, per cent, seconds).

    Source: as `film_years`; the time-weighted index is the harmonic mean.
    """
    whole = worn = 0.0
    for celsius, rh, seconds in held:
        whole, worn = whole + seconds, worn + _film_rate(celsius, rh) * seconds
    return whole * _film_rate(REFERENCE_CELSIUS, REFERENCE_RH) / worn if worn else None


def _rate(celsius: float, rh: float, heat: float) -> float:
    reference, kelvin = REFERENCE_CELSIUS + ZERO_CELSIUS, celsius + ZERO_CELSIUS
    return rh / REFERENCE_RH * exp(heat / _KCAL * (1 / reference - 1 / kelvin))


def _film_rate(celsius: float, rh: float) -> float:
    return rh * _FILM_FACTOR * exp(-_FILM_ENERGY / (_GAS * (celsius + ZERO_CELSIUS)))
