"""What another outlook of a book is worth, and the most to pay for one that is not bought yet; exact until it is shown."""

from dataclasses import dataclass
from fractions import Fraction

from ledger.money import Money, OtherCurrencyError
from ledger.rules.grades import Grade
from ledger.rules.worth import (
    WHOLE,
    Unvalued,
    Way,
    Weights,
    WorthError,
    chance_of_at_least,
    mean_at,
    refuse_unfit,
    shares,
    weighed,
)

__all__ = ["Gain", "Most", "gained", "most_to_pay"]


@dataclass(frozen=True, kw_only=True)
class Gain:
    """What another outlook is worth against the one before: in money on average, and in the chance of a grade."""

    value: Fraction
    """Units: the smallest unit of the currency; exact."""
    at_least: Grade
    chance: Fraction
    """How much likelier that grade or a better one is; below 0 where it is less likely."""


def gained(way: Way, after: Weights, at_least: Grade) -> Gain | Unvalued:
    """What it is worth that the outlook of a way becomes another one, all else as it is.

    To see what easing one defect is worth, the outlook after is the one with that defect's chances changed.
    Source: by definition, a difference of expected values.
    Raises: WorthError, OtherCurrencyError.
    """
    refuse_unfit(way)
    before, then = shares(way.weights), shares(after)
    missing = tuple(sorted(grade for grade in {*before, *then} if grade not in way.values))
    if missing:
        return Unvalued(choice=way.choice, steps=missing)
    value = sum(mean_at(way, grade) * (then.get(grade, 0) - before.get(grade, 0)) for grade in {*before, *then})
    chance = chance_of_at_least(after, at_least) - chance_of_at_least(way.weights, at_least)
    return Gain(value=Fraction(value), at_least=at_least, chance=chance)


@dataclass(frozen=True, kw_only=True)
class Most:
    """The most to pay for a book that is not bought yet.

    Units: `exact` in the smallest unit of `currency`; below 0 where not even a gift would do.
    """

    exact: Fraction
    currency: str
    exponent: int

    @property
    def money(self) -> Money:
        """In whole smallest units, rounded down, so that it is never too much."""
        return Money(self.exact.numerator // self.exact.denominator, self.currency, self.exponent)


def most_to_pay(
    way: Way, *, premium_per_mille: int = 0, tax_per_mille: int = 0, margin: Money | None = None
) -> Most | Unvalued:
    """The price at which buying, working, grading and selling leaves exactly the margin on average; none is zero.

    The premium is on the price, the tax on both together. `given_up` of the way is what else is paid on buying, whatever
    the price is, such as carriage.
    Source: the linear equation net = margin, solved for the price.
    Raises: WorthError, OtherCurrencyError.
    """
    if min(premium_per_mille, tax_per_mille) < 0:
        raise WorthError(problem="premium or tax is below zero", mend="Write it as zero or more.")
    if margin is not None and margin.currency != way.given_up.currency:
        raise OtherCurrencyError(left=way.given_up.currency, right=margin.currency)
    found = weighed(way)
    if isinstance(found, Unvalued):
        return found
    left = found.net - (margin.minor if margin is not None else 0)
    factor = Fraction((WHOLE + premium_per_mille) * (WHOLE + tax_per_mille), WHOLE * WHOLE)
    return Most(exact=left / factor, currency=found.currency, exponent=found.exponent)
