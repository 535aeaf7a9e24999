"""How chances that nobody named are shared over the steps: the rest of an outlook, and three grades alone."""

from bisect import bisect_left
from enum import StrEnum
from fractions import Fraction
from typing import Final

__all__ = ["REST_STEPS", "SPREAD_RULE", "TRIANGLE_RULE", "Side", "share_rest", "triangle"]

REST_STEPS: Final = 4
"""Steps over which a rest reaches on one side. Our assumption."""
HALF: Final = Fraction(1, 2)
INSIDE: Final = Fraction(4, 5)
"""What lies from low to high, or a little less. Our assumption."""
WIDTHS: Final = range(100, 400)
"""How far the triangle may reach, the least first, in hundredths of the way to the outer edges of low and high."""
SPREAD_RULE: Final = (
    "The rest lies on up to four steps next to those named, each step half as likely as the one before it."
)
TRIANGLE_RULE: Final = (
    "The weights fall in a straight line from the likely step to both sides, so far out that about 80 % lie from the low "
    "to the high grade."
)


class Side(StrEnum):
    """Where the rest lies, seen from the grades that are named."""

    BELOW = "below"
    ABOVE = "above"
    BOTH = "both"


def share_rest(left: Fraction, lowest: int, highest: int, side: Side, steps: int) -> dict[int, Fraction]:
    """What each step gets of the rest: half as much as the one before, over up to `REST_STEPS` steps of a side.

    On both sides each gets half, and one without a step leaves its half to the other; nothing where there is no step.
    Source: our assumption.
    """
    below = range(lowest - 1, max(lowest - 1 - REST_STEPS, -1), -1) if side is not Side.ABOVE else range(0)
    above = range(highest + 1, min(highest + 1 + REST_STEPS, steps)) if side is not Side.BELOW else range(0)
    taken = [each for each in (below, above) if each]
    found: dict[int, Fraction] = {}
    for each in taken:
        whole = 2 ** len(each) - 1
        for place, step in enumerate(each):
            found[step] = left / len(taken) * Fraction(2 ** (len(each) - 1 - place), whole)
    return found


def triangle(low: int, likely: int, high: int, steps: int) -> tuple[Fraction, ...]:
    """The chance of each step from three: a triangle of weights on the steps, highest on the likely one.

    Its ends lie k times as far from the likely step as the outer edges of low and high, half a step beyond them; k is the
    least of `WIDTHS` with no more than `INSIDE` from low to high. What would lie beyond an end of the scale is left out
    and the others share it in proportion.
    Requires: low, likely and high that do not fall.
    Source: the triangular distribution, as in S. Kotz and J. R. van Dorp, Beyond beta (2004) chapter 1; on steps, and
    how far it reaches: our assumption.
    """
    below, above = likely - low, high - likely
    place = bisect_left(WIDTHS, True, key=lambda each: _inside(below, above, Fraction(each, 100)) <= INSIDE)  # noqa: FBT003
    wider = Fraction(WIDTHS[place], 100)
    ends = wider * (below + HALF), wider * (above + HALF)
    found = [_height(step - likely, *ends) for step in range(steps)]
    total = sum(found, Fraction(0))
    return tuple(each / total for each in found)


def _height(away: int, left: Fraction, right: Fraction) -> Fraction:
    """The weight so many steps from the likely one, which has 1."""
    return max(1 - abs(away) / (left if away < 0 else right), Fraction(0))


def _inside(below: int, above: int, wider: Fraction) -> Fraction:
    """The share from low to high on a scale without ends."""
    left, right = wider * (below + HALF), wider * (above + HALF)
    heights = {away: _height(away, left, right) for away in range(-int(left) - 1, int(right) + 2)}
    within = sum((height for away, height in heights.items() if -below <= away <= above), Fraction(0))
    return within / sum(heights.values(), Fraction(0))
