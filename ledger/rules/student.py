"""Student's t distribution, as far as a band around few sales needs it."""

import math
from functools import lru_cache
from statistics import NormalDist
from typing import Final

__all__ = ["t_chance", "t_quantile"]

_TINY: Final = 1e-300
_CLOSE: Final = 1e-14
_ROUNDS: Final = 500


def t_chance(x: float, degrees: float) -> float:
    """The chance of a value up to x.

    Requires: degrees of freedom above 0, whole or not.
    Source: NIST Digital Library of Mathematical Functions, 8.17(i) and (v): the regularised incomplete beta function
    by its continued fraction.
    """
    if x == 0:
        return 0.5
    # The tail is found from the smaller of the two arguments, so that no digit is lost near the middle.
    square = x * x
    tail = 0.5 * _incomplete_beta(degrees / 2, 0.5, degrees / (degrees + square), square / (degrees + square))
    return 1 - tail if x > 0 else tail


@lru_cache(maxsize=256)
def t_quantile(chance: float, degrees: float) -> float:
    """The value that is not exceeded with this chance.

    Requires: a chance above a half and below one.
    Source: Newton's method from the normal quantile, which lies below; the distribution is concave there, so that every
    step stays below the root.
    """
    at = NormalDist().inv_cdf(chance)
    for _ in range(_ROUNDS):
        step = (chance - t_chance(at, degrees)) / _density(at, degrees)
        at += step
        if abs(step) <= 1e-12 * at:
            break
    return at


def _density(x: float, degrees: float) -> float:
    front = math.lgamma((degrees + 1) / 2) - math.lgamma(degrees / 2) - 0.5 * math.log(degrees * math.pi)
    return math.exp(front - (degrees + 1) / 2 * math.log1p(x * x / degrees))


def _incomplete_beta(a: float, b: float, x: float, rest: float) -> float:
    """I_x(a, b); `rest` is 1 - x, known more exactly than by subtracting."""
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(b, a, rest, x)
    if x == 0:
        return 0.0
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log(rest)
    return math.exp(front) * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction by Lentz's method. Source: DLMF 8.17.22 and 3.10(iii)."""
    value, upper, lower = 1.0, 1.0, 1 / _not_zero(1 - (a + b) * x / (a + 1))
    value = lower
    for m in range(1, _ROUNDS):
        for part in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            lower = 1 / _not_zero(1 + part * lower)
            upper = _not_zero(1 + part / upper)
            value *= lower * upper
        if abs(lower * upper - 1) < _CLOSE:
            break
    return value


def _not_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
