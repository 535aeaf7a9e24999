"""Weights in whole thousandths, and the chances they stand for."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ledger.rules.largest_remainder import shared_out

__all__ = ["WHOLE", "chances", "thousandths"]

WHOLE: Final = 1000


def thousandths(shares: Sequence[Fraction]) -> tuple[int, ...]:
    """Shares as whole thousandths that are 1000 together; of equal remainders the first gets the thousandth.

    Requires: none below zero, one above.
    Source: the method of the largest remainder (Hare quota).
    """
    return shared_out(WHOLE, shares)


def chances(weights: Sequence[int]) -> tuple[Fraction, ...]:
    """The chance of each step, from its weight in thousandths.

    Source: by definition, weights over their sum.
    """
    return tuple(Fraction(weight, WHOLE) for weight in weights)
