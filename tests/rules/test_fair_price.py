"""What a fit says of a grade: at sales, between them, beyond them, and under weights."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.money import Money
from ledger.rules.fair_price import How, bound_at, expected_under, value_at
from ledger.rules.fair_terms import terms
from ledger.rules.fair_value import Priced, fit_prices
from ledger.rules.grades import Grade, grades

LOW, HIGH = Grade("6.0"), Grade("8.0")
SALES = [
    *(Priced(f"low{at}", LOW.step, 10_000, 0) for at in range(3)),
    *(Priced(f"high{at}", HIGH.step, 40_000, 0) for at in range(3)),
]
FIT = fit_prices(SALES, "USD", terms())


def usd(amount: str) -> Money:
    return Money.of(amount, "USD")


def test_a_grade_that_was_sold_is_worth_what_it_sold_for() -> None:
    found = value_at(FIT, LOW)
    assert found is not None
    assert (found.mid, found.how, found.grades) == (usd("100.00"), How.SALES, (LOW,))
    assert found.sales == ("low0", "low1", "low2")


def test_a_grade_between_two_lies_on_a_straight_line_of_logarithms_over_the_steps() -> None:
    # By hand: 6.0, 6.5, 7.0, 7.5, 8.0 are four steps apart, so half way lies the geometric mean of 100 and 400.
    found = value_at(FIT, Grade("7.0"))
    assert found is not None
    assert (found.mid, found.how, found.grades) == (usd("200.00"), How.BETWEEN, (LOW, HIGH))


@pytest.mark.parametrize("text", ["5.5", "8.5", "10.0", "0.5"])
def test_beyond_the_sales_nothing_is_known(text: str) -> None:
    assert value_at(FIT, Grade(text)) is None


def test_beyond_the_sales_only_a_bound_is_told() -> None:
    above, below = bound_at(FIT, Grade("9.8")), bound_at(FIT, Grade("2.0"))
    assert above is not None
    assert below is not None
    assert (above.at_least, above.at_most, above.grade) == (usd("400.00"), None, HIGH)
    assert (below.at_least, below.at_most, below.grade) == (None, usd("100.00"), LOW)
    assert bound_at(FIT, Grade("7.0")) is None


def test_grades_that_sold_the_wrong_way_round_are_drawn_together_and_name_each_other() -> None:
    turned = [*(Priced(f"a{at}", 10, 40_000, 0) for at in range(3)), *(Priced(f"b{at}", 11, 10_000, 0) for at in range(3))]  # fmt: skip
    found = value_at(fit_prices(turned, "USD", terms()), grades()[10])
    assert found is not None
    assert (found.mid, found.how, found.grades) == (usd("200.00"), How.POOLED, grades()[10:12])
    assert len(found.sales) == 6


def test_an_outlook_within_the_sales_comes_to_its_exact_mean() -> None:
    # By hand: 0.25 * 100 + 0.5 * 200 + 0.25 * 400 = 225.
    found = expected_under(FIT, {LOW: 250, Grade("7.0"): 500, HIGH: 250})
    assert found is not None
    assert (found.mid, found.at_least, found.beyond) == (usd("225.00"), False, Fraction(0))
    assert dict(found.quantiles) == {10: usd("100.00"), 50: usd("200.00"), 90: usd("400.00")}


def test_weight_beyond_the_sales_makes_it_a_lower_bound() -> None:
    found = expected_under(FIT, {Grade("4.0"): 100, LOW: 400, Grade("9.2"): 500})
    assert found is not None
    assert (found.mid, found.at_least, found.beyond) == (usd("240.00"), True, Fraction(3, 5))


@given(st.lists(st.tuples(st.integers(LOW.step, HIGH.step), st.integers(1, 400)), min_size=1, unique_by=lambda x: x[0]))
def test_mean_and_quantiles_are_those_of_numpy(rows: list[tuple[int, int]]) -> None:
    weights = {grades()[step]: weight for step, weight in rows}
    values = [value.mid.minor for step, _ in rows if (value := value_at(FIT, grades()[step]))]
    found = expected_under(FIT, weights, (5, 50, 95))
    assert found is not None
    assert found.mid.minor == pytest.approx(np.average(values, weights=[w for _, w in rows]), abs=0.51)
    repeated = np.repeat(values, [w for _, w in rows])
    for percent, amount in found.quantiles.items():
        # Weights are whole and the share is a percent, so that a tie with the share is exact on both sides.
        assert amount.minor in np.quantile(
            repeated, [max(0, percent / 100 - 1e-9), percent / 100], method="inverted_cdf"
        )


def test_too_few_sales_come_to_nothing() -> None:
    few = fit_prices(SALES[:2], "USD", terms())
    assert expected_under(few, {LOW: 1000}) is None
    assert bound_at(few, LOW) is None
