"""What never lengthens a life in the light: more of it, for longer, with more ultraviolet."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.light import (
    LightClass,
    copies_per_slot,
    days_allowed,
    light_rules,
    lux_allowed,
    share_of,
    uv_milliwatts,
    year_lux_hours,
    yearly_budget,
    years_to_fade,
)

RULES = light_rules()
LUX = st.floats(0.1, 100_000)
HOURS = st.floats(0.1, 24)


def dose(step: str, *, uv: bool) -> int:
    """The table's dose of a blue wool."""
    return RULES.number(f"blue-wool-{step}", "with_uv_lux_hours" if uv else "without_uv_lux_hours")


@given(LUX, HOURS, LUX, HOURS)
def test_more_light_or_more_hours_never_lengthen_a_life_or_allow_more_days(
    lux: float, hours: float, more_lux: float, more_hours: float
) -> None:
    fade = dose("2", uv=False)
    a_year, more = year_lux_hours(lux, hours), year_lux_hours(lux + more_lux, hours + more_hours)
    years, fewer = years_to_fade(fade, a_year), years_to_fade(fade, more)
    assert years is not None
    assert fewer is not None
    assert fewer <= years
    assert share_of(more, fade) >= share_of(a_year, fade)
    days, less = days_allowed(15_000, lux, hours), days_allowed(15_000, lux + more_lux, hours + more_hours)
    assert days is not None
    assert less is not None
    assert less <= days
    copies, others = copies_per_slot(less), copies_per_slot(days)
    assert copies is not None
    assert others is not None
    assert copies >= others


@given(st.integers(1, 8), LUX)
def test_ultraviolet_never_lengthens_a_life(step: int, a_year: float) -> None:
    with_uv, without = (years_to_fade(dose(str(step), uv=uv), a_year) for uv in (True, False))
    assert with_uv is not None
    assert without is not None
    assert with_uv <= without


@given(
    st.sampled_from(list(LightClass)),
    st.sampled_from((False, True)),
    LUX,
    st.tuples(HOURS, st.floats(0, 12)),
    st.floats(0, 1000),
)
def test_more_light_in_the_off_hours_never_lengthens_a_life_either(
    name: LightClass, uv: Any, lux: float, given_hours: tuple[float, float], off_lux: float
) -> None:
    hours, off_hours = given_hours
    fade = RULES.fade_dose(RULES.of_class(name), uv=uv)
    if fade is None:
        assert name is LightClass.NONE
        return
    alone = year_lux_hours(lux, hours)
    whole = year_lux_hours(lux, hours, off_lux=off_lux, off_hours=off_hours)
    for each in (fade.low, fade.middle, fade.high):
        shorter, years = years_to_fade(each, whole), years_to_fade(each, alone)
        assert shorter is not None
        assert years is not None
        assert shorter <= years
        assert yearly_budget(each, 2) <= yearly_budget(each, 1)


@given(LUX, st.floats(0, 1000), LUX)
def test_more_light_or_more_ultraviolet_in_it_is_never_less_ultraviolet(lux: float, share: float, more: float) -> None:
    assert uv_milliwatts(lux + more, share) >= uv_milliwatts(lux, share)
    assert uv_milliwatts(lux, share + more) >= uv_milliwatts(lux, share)


@given(HOURS, st.floats(0, 12))
def test_more_hours_never_allow_more_light(hours: float, more: float) -> None:
    less, before = lux_allowed(15_000, hours + more), lux_allowed(15_000, hours)
    assert less is not None
    assert before is not None
    assert less <= before
