"""A whole number in whole parts by their weights, which add up to it exactly; money, chances and weights are split so."""

from collections.abc import Sequence
from fractions import Fraction

__all__ = ["shared_out"]


def shared_out(whole: int, weights: Sequence[int | Fraction]) -> tuple[int, ...]:
    """Each part is its quota rounded down; the units left over go to the largest rests, ties to the earlier part.

    Requires: a whole and weights from 0 up, one of the weights above 0.
    Source: largest remainder method (Hare quota).
    """
    of = sum(weights)
    quotas = [Fraction(whole * weight) / of for weight in weights]
    parts = [quota.numerator // quota.denominator for quota in quotas]
    neediest = sorted(range(len(parts)), key=lambda place: (parts[place] - quotas[place], place))
    for place in neediest[: whole - sum(parts)]:
        parts[place] += 1
    return tuple(parts)
