"""What a forecast over ordered steps is worth once it is known what happened: scores, skill, calibration, bias.

A forecast is the chance of each step, the lowest first; what happened is the number of a step. Steps have an order and
a distance counted in steps, so nothing here adds or averages a grade. Scores are exact but for the logarithm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import log
from typing import Final

__all__ = [
    "BINS",
    "CLASSES",
    "LEAST_CHANCE",
    "PIT_FROM",
    "AtLeast",
    "Bias",
    "Chances",
    "Scores",
    "at_least",
    "bias_of",
    "brier",
    "brier_at_least",
    "brier_over_steps",
    "log_score",
    "mean",
    "middle",
    "pit",
    "reliability",
    "rps",
    "rps_normalised",
    "scores_of",
    "skill",
    "surprise",
]

Chances = Sequence[Fraction]
"""The chance of each step, the lowest first; they are 1 together."""

LEAST_CHANCE: Final = Fraction(1, 2000)
"""What the log score takes for a chance of zero: half a thousandth, half of the least weight that can be written down.
Without it one such miss would be worth more than all results together. Our assumption."""
CLASSES: Final = 5
"""Classes of the chances of "at least g", each as wide as any other. Our assumption."""
BINS: Final = 10
"""Bars of the PIT. Our assumption."""
PIT_FROM: Final = 30
"""Fewer results make bars that say nothing. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Scores:
    """One forecast's scores; lower is better in each."""

    rps: Fraction
    """Units: 0 to the number of steps less one."""
    rps_normalised: Fraction
    """Units: 0 to 1."""
    log: float
    """Units: nats."""
    brier: Fraction
    """Over all steps as if they had no order. Units: 0 to 2."""
    floored: bool
    """What happened had no weight, so the log score is that of `LEAST_CHANCE`."""


@dataclass(frozen=True, kw_only=True)
class AtLeast:
    """Statements "at least g" whose chance lay in one class, and how often they came true."""

    above: Fraction
    """The chance was more than this; in the first class it may be this."""
    up_to: Fraction
    count: int
    came_true: int
    chance: Fraction | None
    """Mean of the chances that were said; None where there are none."""


@dataclass(frozen=True, kw_only=True)
class Bias:
    """The steps of surprise of several results: above zero, books were graded better than forecast."""

    count: int
    median: Fraction
    mean: Fraction
    met: int
    """Results that met the forecast's middle step."""
    within_one: int


def rps(chances: Chances, happened: int) -> Fraction:
    """The ranked probability score as a sum over steps: near misses cost less than distant ones.

    Source: E. S. Epstein, A scoring system for probability forecasts of ranked categories, J. Appl. Meteor. 8 (1969)
    985; in the form of A. H. Murphy, A note on the ranked probability score, J. Appl. Meteor. 10 (1971) 155.
    """
    total, found = Fraction(0), Fraction(0)
    for step, chance in enumerate(chances[:-1]):
        total += chance
        found += (total - (step >= happened)) ** 2
    return found


def rps_normalised(chances: Chances, happened: int) -> Fraction:
    """The same divided by the number of steps less one, so that it lies from 0 to 1. Requires: two steps or more.

    Source: as `rps`.
    """
    return rps(chances, happened) / (len(chances) - 1)


def brier(chance: Fraction, happened: bool) -> Fraction:  # noqa: FBT001 - what happened is the whole argument
    """The score of one statement that came true or did not. Units: 0 to 1.

    Source: G. W. Brier, Verification of forecasts expressed in terms of probability, Mon. Weather Rev. 78 (1950) 1, in
    the halved form that is common for two outcomes.
    """
    return (chance - happened) ** 2


def brier_over_steps(chances: Chances, happened: int) -> Fraction:
    """The score over all steps as if they had no order: a near miss costs what a distant one does. Units: 0 to 2.

    Source: Brier 1950, equation 2.
    """
    return sum(((chance - (step == happened)) ** 2 for step, chance in enumerate(chances)), Fraction(0))


def at_least(chances: Chances, step: int) -> Fraction:
    """The chance of that step or a better one.

    Source: by definition, the weight of the steps from there on.
    """
    return sum(chances[step:], Fraction(0))


def brier_at_least(chances: Chances, happened: int, step: int) -> Fraction:
    """The score of the statement "at least that step". Units: 0 to 1.

    Source: Brier 1950, equation 2, of one statement.
    """
    return brier(at_least(chances, step), happened >= step)


def log_score(chances: Chances, happened: int) -> float:
    """How little weight lay on what happened. Units: nats, 0 for certainty; `LEAST_CHANCE` stands for less than it.

    Source: I. J. Good, Rational decisions, J. R. Statist. Soc. B 14 (1952) 107.
    """
    return -log(max(chances[happened], LEAST_CHANCE)) or 0.0


def scores_of(chances: Chances, happened: int) -> Scores:
    """All scores of one forecast that do not depend on a grade asked for."""
    return Scores(
        rps=rps(chances, happened),
        rps_normalised=rps_normalised(chances, happened),
        log=log_score(chances, happened),
        brier=brier_over_steps(chances, happened),
        floored=chances[happened] < LEAST_CHANCE,
    )


def mean(values: Sequence[Fraction]) -> Fraction | None:
    """Their mean; None where there are none.

    Source: by definition, the arithmetic mean.
    """
    return sum(values, Fraction(0)) / len(values) if values else None


def skill(scored: Sequence[Fraction], naive: Sequence[Fraction]) -> Fraction | None:
    """How much of the naive forecast's loss was avoided: 1 is all, 0 none, below 0 it did worse.

    None where the naive forecast lost nothing, or there is nothing to compare.
    Requires: both of the same results.
    Source: D. S. Wilks, Statistical methods in the atmospheric sciences, skill scores with a perfect score of zero.
    """
    lost = sum(naive, Fraction(0))
    return 1 - sum(scored, Fraction(0)) / lost if lost else None


def middle(chances: Chances) -> int:
    """The lowest step up to which at least half of the weight lies: the forecast's median.

    Source: by definition, the lower median of a discrete distribution.
    """
    total = Fraction(0)
    for step, chance in enumerate(chances):
        total += chance
        if total >= Fraction(1, 2):
            return step
    return len(chances) - 1


def surprise(chances: Chances, happened: int) -> int:
    """Steps from the forecast's middle step to what happened; above zero where it was graded better. Our assumption."""
    return happened - middle(chances)


def bias_of(surprises: Sequence[int]) -> Bias | None:
    """Median and mean of steps of surprise; None where there are none. Of an even number the median lies between two.

    Source: by definition, median and arithmetic mean.
    """
    if not surprises:
        return None
    ordered, count = sorted(surprises), len(surprises)
    return Bias(
        count=count,
        median=Fraction(ordered[(count - 1) // 2] + ordered[count // 2], 2),
        mean=Fraction(sum(surprises), count),
        met=sum(each == 0 for each in surprises),
        within_one=sum(abs(each) <= 1 for each in surprises),
    )


def reliability(results: Sequence[tuple[Chances, int]]) -> tuple[AtLeast, ...]:
    """How often "at least g" came true, by the chance that was said of it.

    Of each forecast every g counts from the lowest step it names to the one above its highest, so that what was held
    certain and what was ruled out is asked for once each. Statements of one book hang together. Our assumption.
    Source of the classes: A. H. Murphy and R. L. Winkler, Reliability of subjective probability forecasts, J. R.
    Statist. Soc. C 26 (1977) 41.
    """
    said = [each for chances, happened in results for each in _statements(chances, happened)]
    found = []
    for place in range(CLASSES):
        above, up_to = Fraction(place, CLASSES), Fraction(place + 1, CLASSES)
        here = [each for each in said if above < each[0] <= up_to or (each[0] == above == 0)]
        chance, came_true = mean([each for each, _ in here]), sum(true for _, true in here)
        found.append(AtLeast(above=above, up_to=up_to, count=len(here), came_true=came_true, chance=chance))
    return tuple(found)


def _statements(chances: Chances, happened: int) -> list[tuple[Fraction, bool]]:
    named = [step for step, chance in enumerate(chances) if chance]
    steps = range(max(named[0], 1), min(named[-1] + 1, len(chances) - 1) + 1)
    return [(at_least(chances, step), happened >= step) for step in steps]


def pit(results: Sequence[tuple[Chances, int]]) -> tuple[Fraction, ...]:
    """The share of results in each tenth of their forecasts, from the lowest: even when forecasts are calibrated.

    The non-randomised form for steps: a result's weight is spread evenly over the stretch of its step. The shares are 1
    together; none where there are no results.
    Source: C. Czado, T. Gneiting and L. Held, Predictive model assessment for count data, Biometrics 65 (2009) 1254,
    equation 2.
    """
    if not results:
        return ()
    edges = [_pit_mean(results, Fraction(place, BINS)) for place in range(1, BINS + 1)]
    return tuple(upper - lower for lower, upper in zip([Fraction(0), *edges[:-1]], edges, strict=True))


def _pit_mean(results: Sequence[tuple[Chances, int]], at: Fraction) -> Fraction:
    found = Fraction(0)
    for chances, happened in results:
        below = sum(chances[:happened], Fraction(0))
        upto = below + chances[happened]
        found += Fraction(at >= upto) if at >= upto or at <= below else (at - below) / (upto - below)
    return found / len(results)
