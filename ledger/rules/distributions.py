"""How likely each step of the scale is: whole weights over all 25 steps, exact, and what is read off them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from typing import Final

from ledger.proof.report import MalformedError
from ledger.rules.grades import Grade, grades
from ledger.rules.largest_remainder import shared_out

__all__ = ["CENTRAL", "Distribution", "DistributionError", "certain", "summed"]

CENTRAL: Final = Fraction(80, 100)
"""So much lies between the two ends of a spread. Our assumption."""


@dataclass(eq=False, kw_only=True)
class DistributionError(MalformedError):
    """Weights that are no distribution over the steps."""

    what: str = "Distribution"
    mend: str = "Give each step a whole weight from 0 up, and at least one of them above 0."


@dataclass(frozen=True)
class Distribution:
    """One weight a step, the lowest first; their sum is `of`.

    Keeps: the shares add up to 1 exactly, for they are whole numbers over their own sum.
    """

    weights: tuple[int, ...]

    def __post_init__(self) -> None:
        if len(self.weights) != len(grades()) or min(self.weights) < 0 or not any(self.weights):
            raise DistributionError(problem="these weights are none")

    @classmethod
    def over(cls, weights: Mapping[int, int]) -> "Distribution":
        """The distribution with these weights by step, brought to the smallest whole numbers."""
        common = gcd(*weights.values()) or 1
        return cls(tuple(weights.get(step, 0) // common for step in range(len(grades()))))

    @property
    def of(self) -> int:
        """All weights together."""
        return sum(self.weights)

    @property
    def shares(self) -> tuple[Fraction, ...]:
        """The chance of each step, the lowest first."""
        return tuple(Fraction(weight, self.of) for weight in self.weights)

    def chance_of(self, grade: Grade) -> Fraction:
        """The chance of that very step."""
        return Fraction(self.weights[grade.step], self.of)

    def at_least(self, grade: Grade) -> Fraction:
        """The chance of that step or a better one."""
        return Fraction(sum(self.weights[grade.step :]), self.of)

    @property
    def likeliest(self) -> Grade:
        """The step with the greatest weight; of several the lowest."""
        return Grade.at(self.weights.index(max(self.weights)))

    def quantile(self, share: Fraction) -> Grade:
        """The lowest step up to and with which at least that share lies."""
        needed, so_far = share * self.of, 0
        for step, weight in enumerate(self.weights):
            so_far += weight
            if so_far >= needed and so_far > 0:
                return Grade.at(step)
        return grades()[-1]

    def central(self, share: Fraction = CENTRAL) -> tuple[Grade, Grade]:
        """The two steps between which at least that share lies, themselves among them, as much left out on either side.

        No more than half of the rest lies below the first, and no more than half above the second.
        """
        outside = (1 - share) / 2
        return self.quantile(outside), self.quantile(1 - outside)

    def per_mille(self) -> tuple[int, ...]:
        """Whole thousandths of each step, the lowest first, which add up to 1000 exactly.

        Source: largest remainder method (Hare quota); ties go to the lower step.
        """
        return shared_out(1000, self.weights)


def certain(grade: Grade) -> Distribution:
    """All of it on one step."""
    return Distribution.over({grade.step: 1})


def summed(parts: Iterable[tuple[int, int]]) -> dict[int, int]:
    """Weights by step, those of one step put together."""
    found: dict[int, int] = {}
    for step, weight in parts:
        found[step] = found.get(step, 0) + weight
    return found
