"""Weights over the steps: exact, and stored as whole thousandths that always make 1000."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.distributions import CENTRAL, Distribution, DistributionError, certain
from ledger.rules.grades import Grade, grades
from ledger.rules.largest_remainder import shared_out

STEPS = len(grades())
WEIGHTS = st.lists(st.integers(0, 10**30), min_size=STEPS, max_size=STEPS).filter(any)


def over(**weights: int) -> Distribution:
    """Weights by grade, spelt `g8_0`."""
    return Distribution.over({Grade(name[1:].replace("_", ".")).step: weight for name, weight in weights.items()})


@given(WEIGHTS)
def test_what_is_stored_always_makes_a_thousand_and_is_off_by_less_than_one(weights: list[int]) -> None:
    told = Distribution(tuple(weights))
    stored = told.per_mille()
    assert sum(stored) == 1000
    assert all(abs(part - 1000 * share) < 1 for part, share in zip(stored, told.shares, strict=True))
    assert all(part == 0 for part, weight in zip(stored, weights, strict=True) if weight == 0)


@given(WEIGHTS)
def test_the_shares_make_one_exactly(weights: list[int]) -> None:
    told = Distribution(tuple(weights))
    assert sum(told.shares) == 1
    assert told.at_least(grades()[0]) == 1
    assert Distribution.over(dict(enumerate(weights))).shares == told.shares


@pytest.mark.parametrize(
    ("whole", "weights", "parts"),
    [
        # The usual example of the method with the Hare quota: 100,000 votes for 10 seats (Wikipedia, "Largest remainders
        # method").
        (10, (47_000, 16_000, 15_900, 12_000, 6_000, 3_100), (5, 2, 1, 1, 1, 0)),
        # By hand: a tie goes to the earlier part.
        (1000, (1, 1, 1), (334, 333, 333)),
        (1, (1, 1), (1, 0)),
    ],
)
def test_what_is_left_goes_to_the_largest_rests(whole: int, weights: tuple[int, ...], parts: tuple[int, ...]) -> None:
    assert shared_out(whole, weights) == parts


@given(st.lists(st.integers(0, 40), min_size=STEPS, max_size=STEPS).filter(any), st.integers(1, 99))
def test_quantiles_are_those_of_numpy_by_the_inverted_distribution(weights: list[int], percent: int) -> None:
    steps = [step for step, weight in enumerate(weights) for _ in range(weight)]
    told = Distribution(tuple(weights)).quantile(Fraction(percent, 100))
    # numpy takes the share as a binary fraction; where that falls onto a step of the sum it may round to the next.
    if percent * len(steps) % 100:
        assert told.step == np.quantile(steps, percent / 100, method="inverted_cdf")


@given(WEIGHTS)
def test_at_least_four_fifths_lie_within_the_central_steps(weights: list[int]) -> None:
    told = Distribution(tuple(weights))
    low, high = told.central()
    assert sum(told.shares[low.step : high.step + 1]) >= CENTRAL == Fraction(4, 5)
    assert sum(told.shares[: low.step]) < Fraction(1, 10)
    assert sum(told.shares[high.step + 1 :]) <= Fraction(1, 10)


def test_read_outs_are_as_counted_by_hand() -> None:
    told = over(g7_0=20, g7_5=40, g8_0=30, g8_5=10)
    assert told.likeliest == Grade("7.5")
    assert told.at_least(Grade("8.0")) == Fraction(40, 100)
    assert told.chance_of(Grade("8.5")) == Fraction(1, 10)
    assert told.chance_of(Grade("9.0")) == 0
    assert told.central() == (Grade("7.0"), Grade("8.0"))
    assert over(g7_0=1, g8_0=1).likeliest == Grade("7.0")
    assert certain(Grade("9.8")).central() == (Grade("9.8"), Grade("9.8"))
    assert certain(Grade("0.5")).quantile(Fraction(0)) == Grade("0.5")


@pytest.mark.parametrize("weights", [(), (0,) * STEPS, (-1, *(1,) * (STEPS - 1))])
def test_what_is_no_distribution_is_refused(weights: tuple[int, ...]) -> None:
    with pytest.raises(DistributionError):
        Distribution(weights)
