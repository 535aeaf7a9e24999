"""Student's t: equal to scipy's, everywhere a band asks for it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.rules.student import t_chance, t_quantile

DEGREES = st.floats(1, 2000)
NEAR = 1e-4


@given(x=st.floats(-200, 200).filter(lambda x: abs(x) >= NEAR), degrees=DEGREES)
def test_the_chance_is_that_of_scipy(x: float, degrees: float) -> None:
    assert t_chance(x, degrees) == pytest.approx(float(stats.t.cdf(x, degrees)), rel=1e-9, abs=1e-12)


@given(x=st.floats(-NEAR, NEAR), degrees=DEGREES)
def test_near_the_middle_the_chance_grows_by_the_density_there(x: float, degrees: float) -> None:
    # scipy takes it from the square of x and loses a tiny x; the next term of the series is below 1e-13 here.
    assert t_chance(x, degrees) == pytest.approx(0.5 + x * float(stats.t.pdf(0, degrees)), abs=1e-12)


@given(chance=st.floats(0.51, 0.995), degrees=DEGREES)
def test_the_quantile_is_that_of_scipy(chance: float, degrees: float) -> None:
    assert t_quantile(chance, degrees) == pytest.approx(float(stats.t.ppf(chance, degrees)), rel=1e-8)


def test_four_degrees_and_nine_in_ten_are_as_in_any_printed_table() -> None:
    # The upper 5 % point for 4 degrees of freedom, in every printed table of the distribution: 2.132.
    assert round(t_quantile(0.95, 4), 3) == 2.132
