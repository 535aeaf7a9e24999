"""Whether work is worth it: leaving a book, selling it raw, working and grading, one more session, weighed exactly.

Everything is counted in fractions of the smallest unit of one currency; only what is shown is rounded, at the end.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from ledger.money import Money, OtherCurrencyError
from ledger.proof.report import MalformedError
from ledger.rules.ageing import Band
from ledger.rules.grades import Grade

__all__ = [
    "CENTRAL",
    "WHOLE",
    "BreakEven",
    "Choice",
    "Unvalued",
    "Way",
    "Weighed",
    "Weights",
    "WorthError",
    "chance_of_at_least",
    "mean_at",
    "refuse_unfit",
    "shares",
    "weighed",
]

WHOLE: Final = 1000
CENTRAL: Final = (Fraction(1, 20), Fraction(19, 20))
"""Where the central ninety per cent begin and end."""

Weights = Mapping[Grade, int | Fraction]
"""How likely each step is held to be, by its share of all weights together: thousandths, or exact chances."""


class Choice(StrEnum):
    """What can be done with a book."""

    LEAVE = "leave"
    SELL_RAW = "sell-raw"
    WORK_THEN_GRADE = "work-then-grade"
    ONE_MORE_SESSION = "one-more-session"


@dataclass(eq=False, kw_only=True)
class WorthError(MalformedError):
    """Something by which nothing can be weighed."""

    what: str = "Worth"


@dataclass(frozen=True, kw_only=True)
class Way:
    """One choice with all that it is weighed by.

    Requires: every amount in the currency of `given_up`. Units: `risk_per_mille`, `harm_takes_per_mille` and
    `sale_keeps_per_mille` from 0 to 1000; days.
    """

    choice: Choice
    given_up: Money
    """What the book is worth as it is, which is given up."""
    weights: Weights
    values: Mapping[Grade, Money]
    """What it would bring at each step: graded where it is graded, raw where it stays raw."""
    spent: tuple[Money, ...] = ()
    """Fees, postage, supplies."""
    sale_keeps_per_mille: int = 0
    risk_per_mille: int = 0
    harm_takes_per_mille: int = 0
    days: int | None = None
    heat: Band | None = None
    """The heat it costs; None where there is none."""


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """The grade that is needed, and how likely it or a better one must be for nothing to be won or lost on average."""

    needed: Grade
    chance: Fraction
    """Between 0 and 1; the steps on either side keep their shares among themselves."""
    held: Fraction
    """How likely it is held to be."""


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """What a choice comes to, against leaving the book as it is.

    Units: `cost`, `net`, `low` and `high` in the smallest unit of `currency`; exact.
    """

    choice: Choice
    currency: str
    exponent: int
    cost: Fraction
    """All that is spent before a sale."""
    net: Fraction
    low: Fraction
    high: Fraction
    """Nine times in ten it lies between them, both counted in."""
    loss: Fraction
    """How likely it leaves less than leaving the book."""
    break_even: BreakEven | None
    """None where no step would do, or where nothing hangs on the grade."""
    days: int | None
    heat: Band | None

    def money(self, exact: Fraction) -> Money:
        """An amount of this choice in whole smallest units, halves to the even one."""
        return Money(round(exact), self.currency, self.exponent)


@dataclass(frozen=True, kw_only=True)
class Unvalued:
    """A choice that cannot be weighed: what the book would bring at these steps is not known, and is not guessed."""

    choice: Choice
    steps: tuple[Grade, ...]


def shares(weights: Weights) -> dict[Grade, Fraction]:
    """Each step's chance, the lowest first; steps without weight are left out.

    Keeps: they are 1 together, exactly. Raises: WorthError.
    Source: by definition, weights over their sum.
    """
    total = sum((Fraction(each) for each in weights.values()), Fraction(0))
    if total <= 0 or any(each < 0 for each in weights.values()):
        raise WorthError(problem="the weights are no chances", mend="Give weights from 0 up, one of them above 0.")
    return {grade: Fraction(weights[grade]) / total for grade in sorted(weights) if weights[grade]}


def chance_of_at_least(weights: Weights, grade: Grade) -> Fraction:
    """How likely that step or a better one is.

    Source: by definition, the weight of the steps from there on.
    """
    return sum((share for step, share in shares(weights).items() if step >= grade), Fraction(0))


def weighed(way: Way) -> Weighed | Unvalued:
    """What a choice comes to: mean, central ninety per cent, chance of loss and break-even, all exact.

    The low end is the least amount not exceeded with a chance of at least 1/20, the high end that of at least 19/20.
    Raises: WorthError, OtherCurrencyError.
    Source: expected value and quantile of a discrete distribution, any textbook of probability.
    """
    refuse_unfit(way)
    if way.choice is Choice.LEAVE:
        return _told(way, {Fraction(0): Fraction(1)}, cost=Fraction(0), even=None)
    missing = tuple(grade for grade in shares(way.weights) if grade not in way.values)
    if missing:
        return Unvalued(choice=way.choice, steps=missing)
    return _told(way, _outcomes(way), cost=_spent(way), even=_break_even(way))


def _told(way: Way, outcomes: Mapping[Fraction, Fraction], *, cost: Fraction, even: BreakEven | None) -> Weighed:
    low, high = (_quantile(outcomes, at) for at in CENTRAL)
    return Weighed(
        choice=way.choice,
        currency=way.given_up.currency,
        exponent=way.given_up.exponent,
        cost=cost,
        net=sum((amount * chance for amount, chance in outcomes.items()), Fraction(0)),
        low=low,
        high=high,
        loss=sum((chance for amount, chance in outcomes.items() if amount < 0), Fraction(0)),
        break_even=even,
        days=way.days,
        heat=way.heat,
    )


def _outcomes(way: Way) -> dict[Fraction, Fraction]:
    """Every net amount that can come of it, with its chance."""
    found: dict[Fraction, Fraction] = {}
    risk = Fraction(way.risk_per_mille, WHOLE)
    for grade, share in shares(way.weights).items():
        for left, chance in ((Fraction(1), 1 - risk), (1 - Fraction(way.harm_takes_per_mille, WHOLE), risk)):
            if chance:
                net = _brought(way, grade) * left - _spent(way) - way.given_up.minor
                found[net] = found.get(net, Fraction(0)) + share * chance
    return found


def _brought(way: Way, grade: Grade) -> Fraction:
    """What is left of the value of a step after a sale."""
    return way.values[grade].minor * Fraction(WHOLE - way.sale_keeps_per_mille, WHOLE)


def _spent(way: Way) -> Fraction:
    return Fraction(sum(each.minor for each in way.spent))


def mean_at(way: Way, grade: Grade) -> Fraction:
    """The net amount of a step on average over harm and no harm.

    Source: expected value over two cases, any textbook of probability.
    """
    harm = Fraction(way.risk_per_mille * way.harm_takes_per_mille, WHOLE * WHOLE)
    return _brought(way, grade) * (1 - harm) - _spent(way) - way.given_up.minor


def _break_even(way: Way) -> BreakEven | None:
    """The lowest step from which on nothing is lost on average, and the chance of it at which the whole is zero.

    With A the mean from that step on and B the mean below it, chance times A plus the rest times B is zero. Where one
    side has no weight, its nearest step with a value stands for it.
    """
    steps = sorted(way.values)
    means = {grade: mean_at(way, grade) for grade in steps}
    losing = [grade for grade in steps if means[grade] < 0]
    enough = [grade for grade in steps if not losing or grade > losing[-1]]
    if not enough:
        return None
    needed = enough[0]
    below = [grade for grade in steps if grade < needed]
    above = _mean_over(way, means, [needed], enough)
    under = _mean_over(way, means, below[-1:], below) if below else Fraction(0)
    chance = -under / (above - under) if under < 0 else Fraction(0)
    return BreakEven(needed=needed, chance=chance, held=chance_of_at_least(way.weights, needed))


def _mean_over(way: Way, means: Mapping[Grade, Fraction], nearest: Sequence[Grade], steps: Sequence[Grade]) -> Fraction:
    """The mean over these steps by their shares among themselves."""
    held = {grade: share for grade, share in shares(way.weights).items() if grade in steps}
    held = held or dict.fromkeys(nearest, Fraction(1))
    return sum((means[grade] * share for grade, share in held.items()), Fraction(0)) / sum(held.values())


def _quantile(outcomes: Mapping[Fraction, Fraction], at: Fraction) -> Fraction:
    """The least amount that is not exceeded with at least that chance."""
    so_far = Fraction(0)
    for amount in sorted(outcomes):
        so_far += outcomes[amount]
        if so_far >= at:
            return amount
    return max(outcomes)


def refuse_unfit(way: Way) -> None:
    """Raises: OtherCurrencyError, WorthError, for a way that cannot be weighed."""
    for each in (*way.spent, *way.values.values()):
        if each.currency != way.given_up.currency:
            raise OtherCurrencyError(left=way.given_up.currency, right=each.currency)
    for share in (way.risk_per_mille, way.harm_takes_per_mille, way.sale_keeps_per_mille):
        if not 0 <= share <= WHOLE:
            raise WorthError(problem=f"{share} per mille is no share", mend="Write it from 0 to 1000.")
    if any(each.minor < 0 for each in (way.given_up, *way.spent, *way.values.values())):
        raise WorthError(problem="an amount is below zero", mend="Write it as zero or more.")
