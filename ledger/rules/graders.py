"""How far from the ceiling a grader lands, in steps: weights to begin with, and what own results make of them."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import gcd
from types import MappingProxyType
from typing import Final

from ledger.rules._tables import Row, TableError, table
from ledger.rules.distributions import Distribution, summed
from ledger.rules.grades import Grade, grades

__all__ = ["GraderRow", "Kernel", "grader_row", "learned", "read_grader", "spread", "steps_above"]

FIELDS: Final[Mapping[str, int]] = MappingProxyType(
    {"below_3": -3, "below_2": -2, "below_1": -1, "met": 0, "above_1": 1, "above_2": 2}
)
"""Which field of a row speaks of how many steps above the ceiling; below is negative."""
NEVER_ZERO: Final = 2
"""Graders differ both ways, so within so many steps nothing is impossible. Common practice, no source."""


@dataclass(frozen=True)
class Kernel:
    """The weight of each distance from the ceiling, in steps; above it is positive."""

    weights: Mapping[int, int]

    @property
    def of(self) -> int:
        """All weights together."""
        return sum(self.weights.values())

    def share(self, steps: int) -> Fraction:
        """The chance of that distance."""
        return Fraction(self.weights.get(steps, 0), self.of)


@dataclass(frozen=True, kw_only=True)
class GraderRow:
    """What any service is held to do before it is known better, and how many own results weigh as much."""

    id: str
    kernel: Kernel
    strength: int
    sources: tuple[str, ...]


@cache
def grader_row() -> GraderRow:
    """The row that ships.

    Source: the row's own: our assumption, to be replaced by the collector's own results.
    """
    return read_grader(table("graders").rows[0])


def read_grader(row: Row) -> GraderRow:
    """One row, shipped or ruled on.

    Keeps: numbers that add up to something else than a thousand count by their shares.
    Raises: TableError, for a row that gives no weights, or one that holds a distance within two steps impossible.
    """
    where = f"{row.table}, row {row.id}"
    weights = {steps: row.whole(name) for name, steps in FIELDS.items()}
    strength = row.whole("strength")
    if min(weights.values()) < 0 or min(weights[each] for each in weights if abs(each) <= NEVER_ZERO) < 1:
        raise TableError(where=where, problem="a weight is below 0, or 0 within two steps of the ceiling")
    if strength < 1:
        raise TableError(where=where, problem="the strength is not a whole number from 1 up")
    return GraderRow(id=row.id, kernel=Kernel(MappingProxyType(weights)), strength=strength, sources=row.sources)


def learned(row: GraderRow, results: Sequence[int]) -> Kernel:
    """The weights after these results of one service, each so many steps above the ceiling it was then.

    The mean of the Dirichlet distribution whose parameters are strength times weight plus the times counted. A distance
    that no weight was given to begin with has what was counted alone.
    Source: conjugate prior of the multinomial distribution, Gelman et al., Bayesian Data Analysis, 3rd ed., 3.4.
    """
    counts, prior = Counter(results), row.kernel
    found = {
        steps: row.strength * prior.weights.get(steps, 0) + prior.of * counts[steps]
        for steps in sorted({*prior.weights, *counts})
    }
    common = gcd(*found.values())
    return Kernel(MappingProxyType({steps: weight // common for steps, weight in found.items()}))


def spread(ceilings: Distribution, kernel: Kernel) -> Distribution:
    """The chance of each grade given, from the chance of each ceiling and of each distance from it.

    Keeps: what would lie beyond an end of the scale lies on that end, so the weights still make 1.
    Source: the distribution of a sum of two independent numbers, by convolution; its ends held, our assumption.
    """
    top = len(grades()) - 1
    return Distribution.over(
        summed(
            (min(max(step + steps, 0), top), weight * share)
            for step, weight in enumerate(ceilings.weights)
            if weight
            for steps, share in kernel.weights.items()
        )
    )


def steps_above(given: Grade, ceiling: Grade) -> int:
    """How many steps a grade lies above the ceiling; below is negative.

    Source: by definition, a difference of ranks.
    """
    return given.step - ceiling.step
