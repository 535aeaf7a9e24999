"""What is published of mould: from which humidity on it can begin and grow, and after how long it is seen.

All of it is a label for air that was logged. None of it says that a book is safe, and none that it has mould.
"""

from functools import cache
from math import cosh, exp, log
from typing import Final

from ledger.rules._tables import table

__all__ = [
    "Seen",
    "critical_rh",
    "growing_rh",
    "seen_after",
    "wood_critical_rh",
    "wood_weeks_to_growth",
    "wood_weeks_to_seen",
]

_BEGINS: Final = 0.7153
_GROWS: Final = 0.7950
_WARM: Final = 20.0
_WOOD_WARM_RH: Final = 80.0
_MEETS: Final = 0.05
"""So far the curve misses the 80 per cent that it is meant to meet at 20 degrees. Units: per cent."""

Seen = tuple[float, int | None, int | None]
"""From this humidity on it is seen after so many days, at the least and at the most. Units: per cent, days.

Without a most it is a year or more, without a least it is years.
"""


def critical_rh(celsius: float) -> float:
    """From this humidity on mould can begin to grow.

    Units: degrees Celsius, per cent.
    Source: Zeng and others 2023, Building Services Engineering Research and Technology 44, pp. 63-79.
    """
    return _isoline(celsius, _BEGINS)


def growing_rh(celsius: float) -> float:
    """From this humidity on it grows by a millimetre a day.

    Units: degrees Celsius, per cent.
    Source: as `critical_rh`, with the constant of that speed.
    """
    return _isoline(celsius, _GROWS)


def wood_critical_rh(celsius: float) -> float:
    """From this humidity on mould can begin on sawn softwood.

    Units: degrees Celsius, per cent.
    Source: Hukka and Viitanen 1999, Wood Science and Technology 33, pp. 475-485; the sign of the linear term from
    memory, the one with which it meets 80 per cent at 20 degrees.
    """
    if celsius > _WARM:
        return _WOOD_WARM_RH
    return -0.00267 * celsius**3 + 0.160 * celsius**2 - 3.13 * celsius + 100


def wood_weeks_to_growth(celsius: float, rh: float) -> float | None:
    """Weeks until it begins on sawn pine; None where it cannot.

    Units: degrees Celsius, per cent. Wood is slower than starchy, dirty paper.
    Source: as `wood_critical_rh`.
    """
    return _wood_weeks(celsius, rh, (-0.68, -13.9, 66.02))


def wood_weeks_to_seen(celsius: float, rh: float) -> float | None:
    """Weeks until it is seen on sawn pine; None where it cannot begin.

    Units: degrees Celsius, per cent. Wood is slower than starchy, dirty paper.
    Source: as `wood_critical_rh`.
    """
    return _wood_weeks(celsius, rh, (-0.74, -12.72, 61.50))


@cache
def seen_after() -> tuple[Seen, ...]:
    """After how many days of a humidity mould is seen at 20 to 25 degrees, the driest first.

    Source: the rows `mould-…` of the climate table, from memory.
    """
    rows = [row for row in table("climate").rows if row.text("use") == "mould"]
    return tuple((float(row.texts("rh")[0]), *_days(row.texts("seen_days"))) for row in rows)


def _days(given: tuple[str, ...]) -> tuple[int | None, int | None]:
    least, most = (int(each) if each else None for each in given)
    return least, most


def _isoline(celsius: float, constant: float) -> float:
    return 100 * (0.02633 * cosh(0.10083 * (celsius - 30)) + constant)


def _wood_weeks(celsius: float, rh: float, terms: tuple[float, float, float]) -> float | None:
    # The logarithm needs a temperature above zero, and the fit was made above it.
    if celsius <= 0 or rh < wood_critical_rh(celsius) - _MEETS:
        return None
    warm, damp, whole = terms
    return exp(warm * log(celsius) + damp * log(rh) + whole)
