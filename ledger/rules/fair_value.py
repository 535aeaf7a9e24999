"""Fair value: what sales of an issue say each grade is worth; never less for a higher grade, and nothing beyond them."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from operator import itemgetter, mul
from typing import Final, NamedTuple

from ledger.money import MINOR_MOST, Money
from ledger.rules.currencies import currency
from ledger.rules.fair_terms import Terms
from ledger.rules.grades import Grade, grades
from ledger.rules.student import t_quantile

__all__ = ["Adjustment", "Fit", "Level", "Priced", "fit_prices", "isotonic"]

HOLDER: Final = "holder"
TONE: Final = "page tone"


class Priced(NamedTuple):
    """One sale that counts: at which step, for how much, how long ago.

    Units: `minor` in the smallest unit of the one currency all are in, above 0; `age` in days, from 0.
    """

    id: str
    step: int
    minor: int
    age: int
    like_holder: bool | None = None
    """Sold as the book that is valued is: raw or slabbed; None where that was not told of either."""
    like_tone: bool | None = None
    """Its page tone is the one asked for; None where that was not told of either."""


@dataclass(frozen=True, kw_only=True)
class Level:
    """A step at which there were sales, and what the fit makes of it.

    Units: `log` and `seen` natural logarithms of the smallest unit; `weight` in sales of today.
    """

    step: int
    log: float
    """As fitted."""
    seen: float
    """The weighted mean of the logarithms at this step alone."""
    weight: float
    effective: float
    """How many sales of equal weight the pool it lies in is as good as."""
    pool: tuple[int, int]
    """The first and last step that were drawn together to one price."""
    sales: tuple[str, ...]

    @property
    def grade(self) -> Grade:
        """The step as a grade."""
        return grades()[self.step]


@dataclass(frozen=True, kw_only=True)
class Adjustment:
    """What a difference in holder or page tone was found to do to the price, or that there was too little to tell."""

    of: str
    like: int
    """Sales like the book, at grades where the others were sold too."""
    unlike: int
    needed: int
    log: float | None
    """Added to the logarithm of the price of those unlike the book; None where there is too little to tell."""

    @property
    def percent(self) -> int | None:
        """By how many percent those like the book sold for more; None where that cannot be told."""
        return None if self.log is None else round((math.exp(self.log) - 1) * 100)


@dataclass(frozen=True, kw_only=True)
class Fit:
    """Price by grade from sales; without levels there were too few."""

    currency: str
    terms: Terms
    count: int
    """Sales that count."""
    effective: float = 0.0
    """How many sales of today they are as good as."""
    levels: tuple[Level, ...] = ()
    adjustments: tuple[Adjustment, ...] = ()
    spread: float = 0.0
    """Scatter of the logarithm of a price about the fit."""
    degrees: float = 0.0
    weights: tuple[tuple[str, float, float], ...] = ()
    """Of each sale its weight, and the logarithm of its price as adjusted; in the order of their ids."""
    shifted: frozenset[str] = frozenset()
    """Sales whose price was brought to that of the book's holder or page tone."""

    @property
    def enough(self) -> bool:
        """There were sales enough to tell a value."""
        return bool(self.levels)

    def half_width(self, effective: float) -> float:
        """Half the width of the band at a level that rests on so many sales, in logarithms."""
        quantile = t_quantile((1 + self.terms.band_percent / 100) / 2, self.degrees)
        return quantile * self.spread * math.sqrt(1 + 1 / effective)


def fit_prices(sales: Iterable[Priced], code: str, terms: Terms) -> Fit:
    """Price by grade: weighted isotonic regression of the logarithm of the price on the step.

    A sale weighs 2 to the power of minus its age in half-lives. Keeps: the order in which sales are given changes
    nothing; a sale whose weight is zero does not count.
    Source: R. E. Barlow, D. J. Bartholomew, J. M. Bremner, H. D. Brunk, Statistical Inference under Order Restrictions
    (1972), the pool-adjacent-violators algorithm; recency by half-life is our assumption, editable.
    """
    ordered = sorted(sales, key=itemgetter(0))
    rate = -1 / terms.half_life_days
    weights = [2.0 ** (age * rate) for _, _, _, age, _, _ in ordered]
    if not all(weights):
        ordered = [each for each, weight in zip(ordered, weights, strict=True) if weight]
        weights = [weight for weight in weights if weight]
    if len(ordered) < terms.least:
        return Fit(currency=code, terms=terms, count=len(ordered))
    ids, steps, minors, _, *told = zip(*ordered, strict=True)
    logs = list(map(math.log, minors))
    adjustments, shifted = [], set[str]()
    for of, likes in zip((HOLDER, TONE), told, strict=True):
        made = _adjustment(of, steps, logs, weights, likes, terms.adjust_least)
        if made.log is not None:
            logs = [log + made.log if like is False else log for log, like in zip(logs, likes, strict=True)]
            shifted.update(sale for sale, like in zip(ids, likes, strict=True) if like is False)
        adjustments.append(made)
    levels = _levels(ids, steps, logs, weights)
    spread, degrees = _spread(levels, steps, logs, weights, terms)
    return Fit(
        currency=code,
        terms=terms,
        count=len(ordered),
        effective=math.fsum(weights),
        levels=levels,
        adjustments=tuple(adjustments),
        spread=spread,
        degrees=degrees,
        weights=tuple(zip(ids, weights, logs, strict=True)),
        shifted=frozenset(shifted),
    )


def isotonic(values: Sequence[float], weights: Sequence[float]) -> list[tuple[int, int, float]]:
    """The closest values that never fall: blocks of first place, last place and value.

    Requires: as many weights as values, all above zero. Closest by weighted squares.
    Source: pool-adjacent-violators, Barlow et al. (1972), as for `fit_prices`.
    """
    blocks: list[tuple[int, int, float, float]] = []
    for place, (value, weight) in enumerate(zip(values, weights, strict=True)):
        first, mean, mass = place, value, weight
        while blocks and blocks[-1][2] >= mean:
            first, _, before, before_mass = blocks.pop()
            mean = (before * before_mass + mean * mass) / (before_mass + mass)
            mass += before_mass
        blocks.append((first, place, mean, mass))
    return [(first, last, mean) for first, last, mean, _ in blocks]


def _levels(
    ids: Sequence[str], steps: Sequence[int], logs: Sequence[float], weights: Sequence[float]
) -> tuple[Level, ...]:
    at: dict[int, tuple[list[str], list[float], list[float]]] = {}
    for sale, step, log, weight in zip(ids, steps, logs, weights, strict=True):
        if step not in at:
            at[step] = [], [], []
        names, seen, mass = at[step]
        names.append(sale)
        seen.append(weight * log)
        mass.append(weight)
    sold = sorted(at)
    masses = [math.fsum(at[step][2]) for step in sold]
    means = [math.fsum(at[step][1]) / mass for step, mass in zip(sold, masses, strict=True)]
    made = []
    for first, last, value in isotonic(means, masses):
        effective = _as_good_as([weight for step in sold[first : last + 1] for weight in at[step][2]])
        made += [
            Level(
                step=sold[place],
                log=value,
                seen=means[place],
                weight=masses[place],
                effective=effective,
                pool=(sold[first], sold[last]),
                sales=tuple(at[sold[place]][0]),
            )
            for place in range(first, last + 1)
        ]
    return tuple(made)


def _as_good_as(weights: Sequence[float]) -> float:
    """How many sales of equal weight these are as good as.

    Source: L. Kish, Survey Sampling (1965), effective sample size: the squared sum by the sum of squares.
    """
    return math.fsum(weights) ** 2 / math.fsum(map(mul, weights, weights))


def _spread(
    levels: Sequence[Level], steps: Sequence[int], logs: Sequence[float], weights: Sequence[float], terms: Terms
) -> tuple[float, float]:
    """Scatter about the fit and its degrees of freedom, the assumed scatter counted in.

    The degrees that the fit uses up are its distinct prices: M. Meyer, M. Woodroofe, On the degrees of freedom in
    shape-restricted regression, Annals of Statistics 28 (2000). Assumed and seen scatter are joined as a scaled inverse
    chi-squared prior is with a normal sample, and the next price is then Student's t: A. Gelman et al., Bayesian Data
    Analysis, 3rd edition (2013), sections 2.6 and 3.2.
    """
    fitted = {each.step: each.log for each in levels}
    total = math.fsum(weights)
    offs = [log - fitted[step] for log, step in zip(logs, steps, strict=True)]
    squares = map(mul, weights, map(mul, offs, offs))
    effective = _as_good_as(weights)
    seen = max(0.0, effective - len({each.pool for each in levels}))
    joined = terms.spread_weight * terms.spread_log**2 + effective * math.fsum(squares) / total
    return math.sqrt(joined / (terms.spread_weight + seen)), terms.spread_weight + seen


def _adjustment(  # noqa: PLR0913 - four columns of one table, what for, and from how many on
    of: str,
    steps: Sequence[int],
    logs: Sequence[float],
    weights: Sequence[float],
    likes: Sequence[bool | None],
    needed: int,
) -> Adjustment:
    """By how much those like the book sold for more at the same grade.

    Source: weighted least squares with one level for each grade and one for the difference (the within estimator):
    differences at each grade, weighed by the product of both weights over their sum. How many are needed is our
    assumption, editable.
    """
    sums: dict[int, tuple[list[float], list[float], list[float], list[float]]] = {}
    if True in likes and False in likes:
        for step, log, weight, alike in zip(steps, logs, weights, likes, strict=True):
            if alike is None:
                continue
            if step not in sums:
                sums[step] = [], [], [], []
            masses, seen = sums[step][:2] if alike else sums[step][2:]
            masses.append(weight)
            seen.append(weight * log)
    both = [each for each in sums.values() if each[0] and each[2]]
    like, unlike = (sum(len(each[which]) for each in both) for which in (0, 2))
    if min(like, unlike) < needed:
        return Adjustment(of=of, like=like, unlike=unlike, needed=needed, log=None)
    parts = []
    for each in both:
        mass, seen_like, other_mass, seen_other = map(math.fsum, each)
        parts.append((mass * other_mass / (mass + other_mass), seen_like / mass - seen_other / other_mass))
    log = math.fsum(weight * value for weight, value in parts) / math.fsum(weight for weight, _ in parts)
    return Adjustment(of=of, like=like, unlike=unlike, needed=needed, log=log)


def money_of(log: float, code: str) -> Money:
    """The amount with this logarithm, to the nearest smallest unit, half to even; never more than can be counted.

    Source: by definition, the exponential; IEEE 754-2019 section 4.3.1, roundTiesToEven.
    """
    return Money(min(MINOR_MOST, round(math.exp(min(log, 40.0)))), code, currency(code).exponent)
