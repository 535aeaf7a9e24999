"""The air at the surface of a wall: an estimate worked out by hand, beside a surface that was measured."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.walls import wall_rules
from ledger.wall_air import WallAsked, wall_air

RULES = wall_rules()


def test_the_estimate_of_a_brick_wall_is_as_worked_out_by_hand() -> None:
    # U = 2.2: bare 1 - 2.2 x 0.13 = 0.714, so 14.99 degrees of 21 inside and 0 outside; behind a picture
    # 1 - 0.25 / (1 / 2.2 + 0.12) = 0.5649, so 11.86. EN ISO 13788.
    found = wall_air(WallAsked(celsius=21, rh=55, outside=0, kind="solid-brick"), RULES)
    assert found.estimate is not None
    coldest, warmest = found.estimate
    assert (coldest.celsius, warmest.celsius) == pytest.approx((11.86, 14.99), abs=6e-3)
    assert coldest.mould_grows
    assert warmest.mould_begins
    assert not warmest.mould_grows
    assert (coldest.seen, warmest.seen) == ((90, 2, 3), (80, 10, 10))
    assert found.measured is None


def test_a_wall_that_nobody_knows_may_be_any_of_the_table() -> None:
    known = [wall_air(WallAsked(celsius=20, rh=50, outside=0, kind=each.id), RULES).estimate for each in RULES.kinds]
    whole = wall_air(WallAsked(celsius=20, rh=50, outside=0), RULES).estimate
    assert whole is not None
    ends = [end for each in known if each is not None for end in each]
    assert whole[0].celsius == min(each.celsius for each in ends)
    assert whole[1].celsius == max(each.celsius for each in ends)


@pytest.mark.parametrize(
    ("celsius", "rh", "surface", "there"),
    [(20, 50, 15, 68.6), (20, 50, 12, 83.3), (20, 50, 10, 95.2), (21, 55, 14, 85.6)],
)
def test_a_surface_that_was_measured_is_told_as_it_is(celsius: float, rh: float, surface: float, there: float) -> None:
    # Worked out by hand with Magnus, the constants of Alduchov and Eskridge 1996.
    found = wall_air(WallAsked(celsius=celsius, rh=rh, surface=surface), RULES)
    assert found.measured is not None
    assert found.measured.rh == pytest.approx(there, abs=0.06)
    assert found.estimate is None, "outdoors was not given, so nothing is guessed"


def test_a_measured_surface_takes_nothing_from_the_estimate() -> None:
    asked = WallAsked(celsius=21, rh=55, outside=0, surface=18)
    both, without = wall_air(asked, RULES), wall_air(WallAsked(celsius=21, rh=55, outside=0), RULES)
    assert both.estimate == without.estimate
    assert both.measured is not None
    assert both.measured.celsius == 18


def test_at_the_dew_point_it_is_wet_and_dry_air_is_drier_than_the_curve() -> None:
    # 20 degrees and 50 per cent: dew point 9.26.
    wet = wall_air(WallAsked(celsius=20, rh=50, surface=9.2), RULES)
    assert wet.dew_point == pytest.approx(9.261, abs=6e-4)
    assert wet.measured is not None
    assert (wet.measured.wet, wet.measured.rh) == (True, 100)
    dry = wall_air(WallAsked(celsius=20, rh=30, surface=19), RULES).measured
    assert dry is not None
    assert (dry.seen, dry.wood_weeks, dry.mould_begins, dry.wet) == (None, None, False, False)
    assert wall_air(WallAsked(celsius=20, rh=0, surface=19), RULES).dew_point is None


@given(st.floats(10, 30), st.floats(5, 95), st.floats(-20, 9), st.floats(0, 10), st.sampled_from([*RULES.kinds, None]))
def test_a_colder_day_never_makes_a_wall_warmer_or_drier(
    celsius: float, rh: float, outside: float, colder: float, kind: object
) -> None:
    name = None if kind is None else getattr(kind, "id", None)
    before = wall_air(WallAsked(celsius=celsius, rh=rh, outside=outside, kind=name), RULES).estimate
    after = wall_air(WallAsked(celsius=celsius, rh=rh, outside=outside - colder, kind=name), RULES).estimate
    assert before is not None
    assert after is not None
    for one, other in zip(before, after, strict=True):
        assert other.celsius <= one.celsius + 1e-9
        assert other.rh >= one.rh - 1e-9
    assert before[0].celsius <= before[1].celsius <= celsius + 1e-9
