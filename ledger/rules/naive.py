"""Forecasts that anybody could make: the grade stays, and it gains what books gained on average so far."""

from collections.abc import Sequence
from fractions import Fraction
from math import floor

__all__ = ["it_gains", "it_stays"]


def it_stays(step: int, steps: int) -> tuple[Fraction, ...]:
    """All weight on the step that the book has.

    Source: persistence, the forecast others are held against; Wilks, as in `scoring.skill`.
    """
    return tuple(Fraction(each == step) for each in range(steps))


def it_gains(step: int, gains: Sequence[int], steps: int) -> tuple[Fraction, ...] | None:
    """The step that the book has and the average gain of earlier results, counted in steps; None where there are none.

    An average between two whole numbers of steps shares the weight between both, so that the average is kept exactly;
    what lies beyond an end of the scale is on its last step. Our assumption.
    """
    if not gains:
        return None
    average = Fraction(sum(gains), len(gains))
    whole = floor(average)
    found = [Fraction(0)] * steps
    for gain, share in ((whole, 1 - (average - whole)), (whole + 1, average - whole)):
        found[min(max(step + gain, 0), steps - 1)] += share
    return tuple(found)
