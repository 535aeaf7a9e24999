"""What a fit says of one grade, and of weights over grades."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from ledger.money import Money
from ledger.rules.fair_value import Fit, Level, money_of
from ledger.rules.grades import Grade

__all__ = ["Bound", "Expected", "How", "Value", "bound_at", "expected_under", "value_at"]


class How(StrEnum):
    """What a value rests on."""

    SALES = "sales of this grade"
    POOLED = "sales of this grade and its neighbours drawn together"
    BETWEEN = "between the grades above and below"


@dataclass(frozen=True, kw_only=True)
class Value:
    """What a grade is worth: the middle price, and a band for a single sale.

    Keeps: low <= mid <= high. The middle is the median of the prices the fit expects, not their mean.
    """

    mid: Money
    low: Money
    high: Money
    how: How
    grades: tuple[Grade, ...]
    """Its neighbours: the grades whose sales it rests on."""
    sales: tuple[str, ...]
    """Ids of these sales."""


@dataclass(frozen=True, kw_only=True)
class Bound:
    """All that can be said beyond the sales: no less than the best grade sold, no more than the lowest."""

    at_least: Money | None
    at_most: Money | None
    grade: Grade
    """The nearest grade with sales."""


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What weights over grades come to.

    Where weight lies beyond the sales the amounts are "at least": a grade above the best one sold counts as that one,
    a grade below the lowest as nothing.
    """

    mid: Money
    quantiles: Mapping[int, Money]
    """By percent: the least price that is reached with at least that chance or stays below it."""
    beyond: Fraction
    """Share of the weight beyond the sales."""

    @property
    def at_least(self) -> bool:
        """It is a lower bound."""
        return self.beyond > 0


def value_at(fit: Fit, grade: Grade) -> Value | None:
    """What this grade is worth; None where there were too few sales, or none at both ends of it.

    Between two steps with sales the logarithm of the price goes on a straight line over the steps, so that it never
    falls; it is as sure as the less sure of the two. Amounts are rounded half to even to the smallest unit.
    Source: linear interpolation on the step scale, our assumption.
    """
    below = next((each for each in reversed(fit.levels) if each.step <= grade.step), None)
    above = next((each for each in fit.levels if each.step >= grade.step), None)
    if below is None or above is None:
        return None
    if below is above:
        first, last = below.pool
        inside = [each for each in fit.levels if first <= each.step <= last]
        return _value(fit, below.log, below.effective, How.SALES if first == last else How.POOLED, inside)
    way = (grade.step - below.step) / (above.step - below.step)
    log = below.log + (above.log - below.log) * way
    return _value(fit, log, min(below.effective, above.effective), How.BETWEEN, [below, above])


def bound_at(fit: Fit, grade: Grade) -> Bound | None:
    """What can be said of a grade beyond the sales; None within them, or where there were too few.

    Source: what monotone prices imply of a grade above or below all that were sold.
    """
    if not fit.enough or fit.levels[0].step <= grade.step <= fit.levels[-1].step:
        return None
    lower = grade.step < fit.levels[0].step
    end = fit.levels[0 if lower else -1]
    amount = money_of(end.log, fit.currency)
    return Bound(at_least=None if lower else amount, at_most=amount if lower else None, grade=end.grade)


def expected_under(fit: Fit, weights: Mapping[Grade, int], percents: Sequence[int] = (10, 50, 90)) -> Expected | None:
    """The expected price and its quantiles where each grade has this weight; None where there were too few sales.

    The scatter of single sales about each grade's price is not in the quantiles: a value's band tells it.
    Requires: whole weights from 0 up, at least one above 0. Keeps: exact fractions until the last rounding, half to
    even. Source: expected value and inverse distribution function of a discrete distribution.
    """
    total = sum(weights.values())
    if not fit.enough:
        return None
    lines = sorted((*_counted(fit, grade), weight) for grade, weight in weights.items() if weight)
    mean = sum((Fraction(minor) * weight for minor, _, weight in lines), Fraction(0)) / total
    exponent = Money.zero(fit.currency).exponent
    return Expected(
        mid=Money(round(mean), fit.currency, exponent),
        quantiles={each: Money(_quantile(lines, each, total), fit.currency, exponent) for each in percents},
        beyond=Fraction(sum(weight for _, beyond, weight in lines if beyond), total),
    )


def _counted(fit: Fit, grade: Grade) -> tuple[int, bool]:
    """What a grade counts for, in the smallest unit, and whether it lies beyond the sales."""
    value = value_at(fit, grade)
    if value is not None:
        return value.mid.minor, False
    bound = bound_at(fit, grade)
    return (bound.at_least.minor if bound is not None and bound.at_least is not None else 0), True


def _quantile(lines: Sequence[tuple[int, bool, int]], percent: int, total: int) -> int:
    """The smallest amount at which the weights so far reach this share."""
    reached = 0
    for minor, _, weight in lines:
        reached += weight
        if reached * 100 >= percent * total:
            return minor
    return lines[-1][0]


def _value(fit: Fit, log: float, effective: float, how: How, inside: Sequence[Level]) -> Value:
    half = fit.half_width(effective)
    low, mid, high = (money_of(each, fit.currency) for each in (log - half, log, log + half))
    return Value(
        mid=mid,
        low=low,
        high=high,
        how=how,
        grades=tuple(each.grade for each in inside),
        sales=tuple(sale for each in inside for sale in each.sales),
    )
