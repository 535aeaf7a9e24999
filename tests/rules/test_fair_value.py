"""Fair value: price by grade never falls, equals scipy's and scikit-learn's isotonic regression, says "too few"."""

import itertools
import math
import random
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import isotonic_regression
from sklearn.isotonic import IsotonicRegression

from ledger.rules._tables import table
from ledger.rules.fair_price import value_at
from ledger.rules.fair_terms import terms
from ledger.rules.fair_value import Fit, Priced, fit_prices, isotonic
from ledger.rules.grades import grades

TERMS = terms()
SALES = st.lists(
    st.tuples(st.integers(0, 24), st.integers(1, 10_000_000), st.integers(0, 9000)), min_size=5, max_size=60
).map(lambda rows: [Priced(f"s{at}", *row) for at, row in enumerate(rows)])


def fit(sales: Sequence[Priced]) -> Fit:
    return fit_prices(sales, "USD", TERMS)


@given(
    values=st.lists(st.tuples(st.floats(-50, 50), st.floats(0.001, 100)), min_size=1, max_size=40),
)
def test_it_is_the_isotonic_regression_of_scipy(values: list[tuple[float, float]]) -> None:
    seen, weights = zip(*values, strict=True)
    found = [value for first, last, value in isotonic(seen, weights) for _ in range(first, last + 1)]
    assert found == pytest.approx(list(isotonic_regression(seen, weights=weights).x), rel=1e-9, abs=1e-9)


@given(sales=SALES)
def test_the_whole_fit_is_the_weighted_one_of_scikit_learn_with_ties_of_one_grade_drawn_together(
    sales: list[Priced],
) -> None:
    steps = [each.step for each in sales]
    weights = [2 ** (-each.age / TERMS.half_life_days) for each in sales]
    model = IsotonicRegression().fit(steps, np.log([each.minor for each in sales]), sample_weight=weights)
    levels = fit(sales).levels
    assert [each.step for each in levels] == sorted(set(steps))
    assert [each.log for each in levels] == pytest.approx(list(model.predict([each.step for each in levels])), abs=1e-7)


@given(sales=SALES)
def test_a_higher_grade_is_never_worth_less(sales: list[Priced]) -> None:
    found = fit(sales)
    values = [value for grade in grades() if (value := value_at(found, grade)) is not None]
    assert values
    assert all(low.mid <= high.mid for low, high in itertools.pairwise(values))
    assert all(each.low <= each.mid <= each.high for each in values)


@given(sales=SALES, seed=st.integers(0, 1000))
def test_the_order_in_which_sales_are_given_changes_nothing(sales: list[Priced], seed: int) -> None:
    shuffled = list(sales)
    random.Random(seed).shuffle(shuffled)
    assert fit(shuffled) == fit(sales)


@given(sales=SALES)
def test_a_sale_so_old_that_it_weighs_nothing_does_not_count(sales: list[Priced]) -> None:
    ancient = Priced("ancient", 3, 1, 2_000_000)
    assert fit([*sales, ancient]) == fit(sales)


def test_a_sale_one_half_life_old_weighs_half() -> None:
    # By hand: two sales of one step, 100 today and 400 a half-life ago: the logarithm lies two thirds of the way
    # towards the first, so the price is 100 ** (2/3) * 400 ** (1/3) = 158.74 (in smallest units 15874).
    old = TERMS.half_life_days
    sales = [Priced("a", 10, 10_000, 0), Priced("b", 10, 40_000, old)]
    found = value_at(fit_prices(sales, "USD", replace(TERMS, least=2)), grades()[10])
    assert found is not None
    assert found.mid.minor == round(10_000 ** (2 / 3) * 40_000 ** (1 / 3)) == 15_874


def test_fewer_sales_than_the_least_tell_nothing() -> None:
    sales = [Priced(f"s{at}", 10 + at, 10_000, 0) for at in range(TERMS.least)]
    assert fit(sales).enough
    few = fit(sales[:-1])
    assert (few.enough, few.count, few.levels) == (False, TERMS.least - 1, ())
    assert value_at(few, grades()[10]) is None


def test_one_price_more_only_narrows_a_band_of_prices_that_agree() -> None:
    widths = []
    for count in (5, 10, 40, 160):
        found = fit([Priced(f"s{at}", 12, 10_000, 0) for at in range(count)])
        widths.append(found.half_width(found.levels[0].effective))
    assert widths == sorted(widths, reverse=True)


def test_the_band_is_that_of_the_next_price_of_a_normal_sample_with_the_assumed_scatter_joined_to_it() -> None:
    # Worked again from the formulas of Gelman et al. with scipy, for one step where every sale weighs the same.
    prices = [9_000, 10_000, 11_000, 12_500, 10_400, 8_700, 9_900]
    logs = np.log(prices)
    n, prior = len(prices), TERMS.spread_weight
    scale = math.sqrt((prior * TERMS.spread_log**2 + ((logs - logs.mean()) ** 2).sum()) / (prior + n - 1))
    low, high = stats.t.interval(
        TERMS.band_percent / 100, prior + n - 1, loc=logs.mean(), scale=scale * math.sqrt(1 + 1 / n)
    )
    found = value_at(fit([Priced(f"s{at}", 12, price, 0) for at, price in enumerate(prices)]), grades()[12])
    assert found is not None
    assert (found.low.minor, found.high.minor) == (round(math.exp(low)), round(math.exp(high)))


def test_a_band_holds_about_the_share_it_says_of_new_sales() -> None:
    # A seeded simulation: 200 markets of 25 sales each, and one new sale in each.
    chance, inside = random.Random(7), 0
    for _ in range(200):
        sales = [
            Priced(f"s{at}", step, max(1, round(math.exp(7 + step * 0.15 + chance.gauss(0, 0.3)))), 0)
            for at, step in enumerate(chance.choices(range(8, 20, 2), k=25))
        ]
        step = sales[0].step
        value = value_at(fit(sales), grades()[step])
        assert value is not None
        new = math.exp(7 + step * 0.15 + chance.gauss(0, 0.3))
        inside += value.low.minor <= new <= value.high.minor
    assert 0.72 * 200 <= inside <= 0.92 * 200


def mixed(count: int, premium: float) -> list[Priced]:
    """Two grades, each sold raw and slabbed."""
    chance = random.Random(3)
    return [
        Priced(
            f"s{at}",
            10 + at % 2,
            round(math.exp(8 + 0.4 * (at % 2) + premium * (at // 2 % 2) + chance.gauss(0, 0.05))),
            at * 30,
            bool(at // 2 % 2),
        )
        for at in range(count)
    ]


def test_what_a_holder_does_to_the_price_is_the_coefficient_of_weighted_least_squares_with_a_level_for_each_grade() -> (
    None
):
    sales = mixed(40, 0.3)
    found = fit(sales).adjustments[0]
    roots = np.sqrt([2 ** (-each.age / TERMS.half_life_days) for each in sales])
    columns = np.array([[each.step == 10, each.step == 11, each.like_holder] for each in sales], dtype=float)
    logs = np.log([each.minor for each in sales])
    coefficients = np.linalg.lstsq(columns * roots[:, None], logs * roots, rcond=None)[0]
    assert found.log == pytest.approx(coefficients[2])
    assert found.percent == round((math.exp(coefficients[2]) - 1) * 100)
    assert (found.of, found.like, found.unlike) == ("holder", 20, 20)


def test_the_holder_is_not_allowed_for_where_there_is_too_little_to_tell() -> None:
    few = mixed(2 * TERMS.adjust_least, 0.3)[:-1]
    found = fit(few)
    assert found.adjustments[0].log is None
    assert found.adjustments[0].percent is None
    alone = [each._replace(like_holder=None) for each in few]
    assert found.levels == fit(alone).levels


def test_prices_of_the_other_holder_are_brought_to_that_of_the_book() -> None:
    sales = mixed(40, 0.3)
    like = fit([each for each in sales if each.like_holder])
    for level, only in zip(fit(sales).levels, like.levels, strict=True):
        assert level.log == pytest.approx(only.log, abs=0.05)


def test_a_ruling_out_of_bounds_counts_as_shipped() -> None:
    shipped = {row.id: row for row in table("fair_value").rows}
    row = shipped["half-life"]
    ruled = {"half-life": replace(row, fields={**row.fields, "value": 0})}
    assert terms(ruled) == TERMS
    ruled = {"half-life": replace(row, fields={**row.fields, "value": 365})}
    assert terms(ruled) == replace(TERMS, half_life_days=365)
