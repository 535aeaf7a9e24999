"""Scores: against the rows of the vectors, against scikit-learn and scipy, and by what must hold for any forecast."""

import json
from fractions import Fraction
from itertools import pairwise
from math import isclose, log
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import uniform
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss, log_loss

from ledger.rules import scoring
from ledger.rules.naive import it_gains, it_stays
from ledger.rules.thousandths import WHOLE, chances, thousandths
from tests.counts import count

VECTORS = json.loads((Path(__file__).parent.parent / "vectors/scoring/scores.json").read_text("utf-8"))
ROWS = VECTORS["scores"]
STEPS = 25


def fractions(row: dict[str, Any]) -> list[Fraction]:
    return [Fraction(each) for each in row["p"]]


@st.composite
def forecasts(draw: st.DrawFn, steps: int = STEPS) -> tuple[Fraction, ...]:
    """Chances in thousandths, as they are written down: many steps have none."""
    shares = draw(st.lists(st.sampled_from([0, 0, 0, 1, 2, 5, 9]), min_size=steps, max_size=steps).filter(any))
    return chances(thousandths([Fraction(each) for each in shares]))


@st.composite
def results(draw: st.DrawFn) -> list[tuple[tuple[Fraction, ...], int]]:
    return draw(st.lists(st.tuples(forecasts(), st.integers(0, STEPS - 1)), min_size=1, max_size=8))


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_every_row_of_the_vectors_comes_out_exactly(row: dict[str, Any]) -> None:
    found = scoring.scores_of(fractions(row), row["happened"])
    assert found.rps == Fraction(row["rps"])
    assert float(found.rps_normalised) == pytest.approx(row["rps_normalised"], abs=1e-15)
    assert found.brier == Fraction(row["brier"])
    if row["log_score_nats"] is None:
        assert found.floored
        assert found.log == pytest.approx(log(2000))
    else:
        assert not found.floored
        assert found.log == pytest.approx(row["log_score_nats"], abs=1e-15)


def test_there_are_all_thirteen_rows() -> None:
    assert len(ROWS) == 13


@pytest.mark.long
@settings(deadline=None, max_examples=count(30, 500))
@given(forecasts(), st.integers(0, STEPS - 1))
def test_the_log_score_is_that_of_scikit_learn_where_what_happened_had_a_weight(
    forecast: tuple[Fraction, ...], happened: int
) -> None:
    if forecast[happened] == 0:
        assert scoring.log_score(forecast, happened) == pytest.approx(-log(0.0005))
        return
    theirs = log_loss([happened], np.array([forecast], float), labels=list(range(STEPS)))
    assert scoring.log_score(forecast, happened) == pytest.approx(theirs, abs=1e-12)


@pytest.mark.long
@settings(deadline=None, max_examples=count(30, 500))
@given(forecasts(), st.integers(0, STEPS - 1))
def test_the_brier_scores_are_those_of_scikit_learn(forecast: tuple[Fraction, ...], happened: int) -> None:
    labels = list(range(STEPS))
    theirs = brier_score_loss([happened], np.array([forecast], float), labels=labels, scale_by_half=False)
    assert float(scoring.brier_over_steps(forecast, happened)) == pytest.approx(theirs, abs=1e-12)
    for step in range(1, STEPS):
        said = float(scoring.at_least(forecast, step))
        theirs = brier_score_loss([int(happened >= step)], [said], labels=[0, 1])
        assert float(scoring.brier_at_least(forecast, happened, step)) == pytest.approx(theirs, abs=1e-12)


@settings(deadline=None)
@given(forecasts(), st.integers(0, STEPS - 1))
def test_the_ranked_score_is_the_sum_of_the_scores_of_at_least_every_step(
    forecast: tuple[Fraction, ...], happened: int
) -> None:
    # Murphy 1971: the ranked probability score is the sum of the Brier scores over all thresholds.
    by_step = sum(scoring.brier_at_least(forecast, happened, step) for step in range(1, STEPS))
    assert scoring.rps(forecast, happened) == by_step
    assert 0 <= scoring.rps_normalised(forecast, happened) <= 1


@settings(deadline=None)
@given(st.integers(0, STEPS - 1), st.integers(0, STEPS - 1))
def test_of_a_sure_forecast_the_ranked_score_is_how_many_steps_it_missed_by(said: int, happened: int) -> None:
    # The score of a point forecast is its absolute error: Gneiting and Raftery, J. Amer. Statist. Assoc. 102 (2007) 359.
    assert scoring.rps(it_stays(said, STEPS), happened) == abs(said - happened)
    assert scoring.surprise(it_stays(said, STEPS), happened) == happened - said


def test_skill_is_one_for_no_loss_none_for_the_same_and_unknown_where_the_naive_one_lost_nothing() -> None:
    half, one = [Fraction(1, 2)] * 2, [Fraction(1)] * 2
    assert scoring.skill([Fraction(0)] * 2, one) == 1
    assert scoring.skill(one, one) == 0
    assert scoring.skill(half, one) == Fraction(1, 2)
    assert scoring.skill(one, half) == -1
    assert scoring.skill(half, [Fraction(0)] * 2) is None
    assert scoring.skill([], []) is None


def test_the_middle_is_the_lowest_step_up_to_which_half_of_the_weight_lies() -> None:
    assert scoring.middle([Fraction(1, 2), Fraction(1, 2)]) == 0
    assert scoring.middle([Fraction(499, 1000), Fraction(501, 1000)]) == 1
    # The step at which scipy's discrete median stands, of 0.2, 0.2, 0.35, 0.25: the third.
    assert scoring.middle([Fraction(1, 5), Fraction(1, 5), Fraction(7, 20), Fraction(1, 4)]) == 2


def test_bias_is_the_median_and_the_mean_of_steps() -> None:
    found = scoring.bias_of([-1, 0, 0, 3])
    assert found == scoring.Bias(count=4, median=Fraction(0), mean=Fraction(1, 2), met=2, within_one=3)
    between = scoring.bias_of([1, 2])
    assert between is not None
    assert between.median == Fraction(3, 2)
    assert scoring.bias_of([]) is None


@settings(deadline=None)
@given(st.lists(st.integers(-24, 24), min_size=1))
def test_bias_is_what_numpy_says(surprises: list[int]) -> None:
    found = scoring.bias_of(surprises)
    assert found is not None
    assert float(found.median) == float(np.median(surprises))
    assert float(found.mean) == pytest.approx(float(np.mean(surprises)))


@pytest.mark.long
@settings(deadline=None, max_examples=count(30, 500))
@given(results())
def test_reliability_is_the_calibration_curve_of_scikit_learn(found: list[tuple[tuple[Fraction, ...], int]]) -> None:
    said: list[float] = []
    true: list[bool] = []
    for forecast, happened in found:
        named = [step for step, chance in enumerate(forecast) if chance]
        for step in range(max(named[0], 1), min(named[-1] + 1, STEPS - 1) + 1):
            said.append(float(sum(forecast[step:])))
            true.append(happened >= step)
    classes = scoring.reliability(found)
    assert sum(each.count for each in classes) == len(said)
    if len(set(true)) == 1:  # scikit-learn asks for both outcomes
        said, true = [*said, *said], [*true, *(not each for each in true)]
        classes = tuple(each for each in classes if each.count)
        theirs = calibration_curve(true, said, n_bins=scoring.CLASSES)
        assert [each.chance and float(each.chance) for each in classes] == pytest.approx(list(theirs[1]))
        return
    theirs = calibration_curve(true, said, n_bins=scoring.CLASSES)
    filled = [each for each in classes if each.count]
    assert [each.came_true / each.count for each in filled] == pytest.approx(list(theirs[0]))
    assert [float(each.chance or 0) for each in filled] == pytest.approx(list(theirs[1]))


def test_reliability_asks_each_forecast_from_its_lowest_step_to_one_above_its_highest() -> None:
    # By hand: 0.2 on step 3, 0.8 on step 4; it came to 4. At least 3: 1, true. At least 4: 0.8, true. At least 5: 0, not.
    forecast = [Fraction(0)] * 3 + [Fraction(1, 5), Fraction(4, 5)] + [Fraction(0)] * 20
    classes = scoring.reliability([(forecast, 4)])
    assert [(each.count, each.came_true) for each in classes] == [(1, 0), (0, 0), (0, 0), (1, 1), (1, 1)]
    assert [each.chance for each in classes] == [0, None, None, Fraction(4, 5), 1]


@pytest.mark.long
@settings(deadline=None, max_examples=count(30, 500))
@given(results())
def test_the_pit_is_the_mean_of_uniform_distributions_as_scipy_has_them(
    found: list[tuple[tuple[Fraction, ...], int]],
) -> None:
    # Czado, Gneiting and Held 2009: each result counts as a uniform distribution over the stretch of its step.
    bars = scoring.pit(found)
    assert sum(bars) == 1
    assert all(bar >= 0 for bar in bars)
    if any(forecast[happened] == 0 for forecast, happened in found):
        return
    edges = np.linspace(0, 1, scoring.BINS + 1)
    theirs = np.zeros(scoring.BINS)
    for forecast, happened in found:
        below, share = float(sum(forecast[:happened])), float(forecast[happened])
        theirs += np.diff(uniform(loc=below, scale=share).cdf(edges))
    assert [float(bar) for bar in bars] == pytest.approx(list(theirs / len(found)), abs=1e-9)


@settings(deadline=None)
@given(st.lists(st.integers(0, STEPS - 1), min_size=1, max_size=20))
def test_results_that_come_as_often_as_forecast_make_an_even_pit(happened: list[int]) -> None:
    # Czado, Gneiting and Held 2009, section 2: under the forecast's own distribution the PIT is uniform.
    forecast = [Fraction(happened.count(step), len(happened)) for step in range(STEPS)]
    many = [(forecast, step) for step in happened]
    assert scoring.pit(many) == (Fraction(1, scoring.BINS),) * scoring.BINS


def test_what_had_no_weight_is_at_the_end_where_it_lay() -> None:
    forecast = [Fraction(0), Fraction(1, 2), Fraction(1, 2), Fraction(0)]
    assert scoring.pit([(forecast, 0)])[0] == 1
    assert scoring.pit([(forecast, 3)])[-1] == 1
    assert scoring.pit([]) == ()


def test_the_average_gain_is_shared_between_two_steps_so_that_it_is_kept_exactly() -> None:
    found = it_gains(10, [1, 1, 2, 3], STEPS)  # 1.75 steps
    assert found is not None
    assert {step: chance for step, chance in enumerate(found) if chance} == {11: Fraction(1, 4), 12: Fraction(3, 4)}
    assert it_gains(10, [], STEPS) is None
    assert it_gains(24, [2], STEPS) == it_stays(24, STEPS)
    assert it_gains(0, [-1, -2], STEPS) == it_stays(0, STEPS)


@settings(deadline=None)
@given(st.integers(8, 16), st.lists(st.integers(-6, 6), min_size=1, max_size=9))
def test_the_average_of_that_forecast_is_the_average_gain(step: int, gains: list[int]) -> None:
    found = it_gains(step, gains, STEPS)
    assert found is not None
    assert sum(found) == 1
    assert sum((place - step) * chance for place, chance in enumerate(found)) == Fraction(sum(gains), len(gains))


@settings(deadline=None)
@given(st.lists(st.integers(0, 999), min_size=1, max_size=STEPS).filter(any))
def test_thousandths_are_a_thousand_and_none_is_one_away_from_its_share(shares: list[int]) -> None:
    found = thousandths([Fraction(each) for each in shares])
    assert sum(found) == WHOLE
    for share, weight in zip(shares, found, strict=True):
        assert abs(Fraction(share * WHOLE, sum(shares)) - weight) < 1
    for (share, weight), (other, lighter) in pairwise(sorted(zip(shares, found, strict=True), reverse=True)):
        assert weight >= lighter or share == other


def test_of_equal_remainders_the_first_gets_the_thousandth() -> None:
    assert thousandths([Fraction(1)] * 3) == (334, 333, 333)


def test_the_least_chance_is_half_a_thousandth() -> None:
    assert Fraction(1, 2 * WHOLE) == scoring.LEAST_CHANCE
    assert isclose(scoring.log_score([Fraction(0), Fraction(1)], 0), 7.600902459542082)  # ln 2000
