"""An outlook corrected by how earlier ones missed, counted in steps."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from ledger.rules.scoring import Chances, middle
from ledger.rules.thousandths import thousandths

__all__ = ["RESULTS_NEEDED", "STRENGTH", "recalibrated"]

RESULTS_NEEDED: Final = 20
"""With fewer results a leaning may be chance, and nothing is offered. Our assumption."""
STRENGTH: Final = 20
"""The outlook's own shape counts for as many results. Our assumption."""


def recalibrated(chances: Chances, surprises: Sequence[int]) -> tuple[int, ...] | None:
    """The outlook as earlier results correct it, in thousandths of each step; None where there are too few of them.

    How far the result will lie from the outlook's middle step is taken to be drawn with unknown chances. Before any
    result those are the outlook's own shape, as a Dirichlet distribution of strength `STRENGTH`; each earlier result
    counts one for its steps of surprise. The mean of that is (strength x own chance + results so far) / (strength + all
    results). What lies beyond an end of the scale is on its last step.
    Source of the mean: the Dirichlet-multinomial, A. Gelman et al., Bayesian data analysis, section 3.4. That surprises
    are counted from the middle step whatever the book, and the strength: our assumption.
    """
    if len(surprises) < RESULTS_NEEDED:
        return None
    found, centre = [STRENGTH * chance for chance in chances], middle(chances)
    for each in surprises:
        found[min(max(centre + each, 0), len(found) - 1)] += 1
    return thousandths([Fraction(each) for each in found])
