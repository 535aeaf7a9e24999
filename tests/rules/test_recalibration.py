"""The outlook corrected by earlier surprises: a case worked by hand, and what must hold for any."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.rules.recalibration import RESULTS_NEEDED, STRENGTH, recalibrated
from ledger.rules.scoring import bias_of, middle, surprise
from ledger.rules.thousandths import WHOLE, chances

STEPS = 25


def forecast(**weights: int) -> tuple[Fraction, ...]:
    """Chances written s10=500."""
    return chances([weights.get(f"s{step}", 0) for step in range(STEPS)])


def named(weights: tuple[int, ...] | None) -> dict[int, int]:
    assert weights is not None
    return {step: weight for step, weight in enumerate(weights) if weight}


def test_a_case_worked_by_hand() -> None:
    # Strength 20, so 20 x (0.25, 0.5, 0.25) = 5, 10, 5 on steps 9, 10, 11; the middle is step 10. Of 20 results ten met
    # it, eight lay one step below and two lay three below: 13, 20, 5 and 2 on step 7, of 40.
    surprises = [0] * 10 + [-1] * 8 + [-3] * 2
    assert named(recalibrated(forecast(s9=250, s10=500, s11=250), surprises)) == {7: 50, 9: 325, 10: 500, 11: 125}


def test_what_lies_beyond_an_end_of_the_scale_is_on_its_last_step() -> None:
    # 20 on step 24 and twenty results two steps above it.
    assert named(recalibrated(forecast(s24=1000), [2] * 20)) == {24: 1000}
    assert named(recalibrated(forecast(s1=1000), [-5] * 20)) == {0: 500, 1: 500}


@pytest.mark.parametrize("count", [0, 1, RESULTS_NEEDED - 1])
def test_nothing_is_offered_while_there_are_too_few_results(count: int) -> None:
    assert recalibrated(forecast(s10=1000), [0] * count) is None


@st.composite
def forecasts(draw: st.DrawFn) -> tuple[Fraction, ...]:
    steps = draw(st.lists(st.integers(0, STEPS - 1), min_size=1, max_size=20))
    return tuple(Fraction(steps.count(step), len(steps)) for step in range(STEPS))


many = st.lists(st.integers(-24, 24), min_size=RESULTS_NEEDED, max_size=60)


@pytest.mark.long
@settings(deadline=None)
@given(forecasts(), many)
def test_it_is_always_a_thousand_thousandths_and_none_is_below_zero(
    own: tuple[Fraction, ...], surprises: list[int]
) -> None:
    found = recalibrated(own, surprises)
    assert found is not None
    assert sum(found) == WHOLE
    assert min(found) >= 0


@settings(deadline=None)
@given(forecasts(), many)
def test_it_lies_between_the_outlook_and_what_earlier_results_say(
    own: tuple[Fraction, ...], surprises: list[int]
) -> None:
    found = recalibrated(own, surprises)
    assert found is not None
    centre, count = middle(own), len(surprises)
    landed = [min(max(centre + each, 0), STEPS - 1) for each in surprises]
    for step in range(STEPS):
        seen = Fraction(landed.count(step), count)
        assert min(own[step], seen) * WHOLE - 1 < found[step] < max(own[step], seen) * WHOLE + 1


@settings(deadline=None)
@given(st.integers(4, 20), st.integers(-3, 3))
def test_a_forecaster_who_always_leans_the_same_way_leans_half_as_much_at_the_least_number_of_results(
    step: int, lean: int
) -> None:
    own = forecast(**{f"s{step}": WHOLE})
    found = recalibrated(own, [lean] * STRENGTH)
    assert found is not None
    shifted = chances(found)
    assert sum((place - step) * chance for place, chance in enumerate(shifted)) == Fraction(lean, 2)


def test_many_results_outweigh_the_outlook() -> None:
    found = chances(recalibrated(forecast(s10=1000), [-2] * 2000) or ())
    assert middle(found) == 8
    assert found[8] > Fraction(98, 100)
    leaning = bias_of([surprise(found, 8)] * 3)
    assert leaning is not None
    assert leaning.mean == 0
