"""What is published of mould, held against its formulas and worked values; a label, and never a finding."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules._tables import table
from ledger.rules.mould import (
    critical_rh,
    growing_rh,
    seen_after,
    wood_critical_rh,
    wood_weeks_to_growth,
    wood_weeks_to_seen,
)

FOLDER = Path(__file__).parent.parent / "vectors" / "climate"
AIR: dict[str, Any] = json.loads((FOLDER / "air.json").read_text("utf-8"))
VECTORS: dict[str, Any] = json.loads((FOLDER / "beside.json").read_text("utf-8"))


@pytest.mark.parametrize(("celsius", "rh"), AIR["critical"])
def test_the_critical_humidity_is_as_published(celsius: float, rh: float) -> None:
    assert critical_rh(celsius) == pytest.approx(rh, abs=0.006)


@pytest.mark.parametrize(("celsius", "rh"), VECTORS["growing"]["rows"])
def test_it_grows_by_a_millimetre_a_day_from_a_higher_one_on(celsius: float, rh: float) -> None:
    assert growing_rh(celsius) == pytest.approx(rh, abs=0.006)


@pytest.mark.parametrize(("celsius", "rh"), VECTORS["wood_critical"]["rows"])
def test_on_wood_it_begins_as_published(celsius: float, rh: float) -> None:
    assert wood_critical_rh(celsius) == pytest.approx(rh, abs=0.006)


def test_with_the_other_sign_of_the_linear_term_it_would_be_nonsense() -> None:
    given_ = VECTORS["wood_misprinted"]
    celsius = given_["celsius"]
    wrong = -0.00267 * celsius**3 + 0.160 * celsius**2 + 3.13 * celsius + 100
    assert wrong == pytest.approx(given_["with_plus"], abs=0.5)
    assert wood_critical_rh(celsius) < 100


@pytest.mark.parametrize(("celsius", "rh", "growth", "seen"), VECTORS["wood_weeks"]["rows"])
def test_weeks_on_wood_are_as_worked_out_by_hand(celsius: float, rh: float, growth: float, seen: float) -> None:
    assert wood_weeks_to_growth(celsius, rh) == pytest.approx(growth, rel=3e-3)
    assert wood_weeks_to_seen(celsius, rh) == pytest.approx(seen, rel=3e-3)


@pytest.mark.parametrize(("celsius", "rh"), [(20, 79), (10, 81), (25, 79.9), (0, 95), (-5, 99)])
def test_where_it_cannot_begin_on_wood_there_are_no_weeks(celsius: float, rh: float) -> None:
    assert wood_weeks_to_growth(celsius, rh) is None
    assert wood_weeks_to_seen(celsius, rh) is None


def test_days_until_it_is_seen_are_those_of_the_curve_and_marked_as_from_memory() -> None:
    assert [list(each) for each in seen_after()] == VECTORS["seen"]["rows"]
    for row in table("climate").rows:
        if row.text("use") == "mould":
            assert "from memory" in row.sources
            assert row.texts("celsius") == ("20", "25")


def test_damper_is_never_seen_later_in_the_curve() -> None:
    never = 10**9
    curve = [(never if least is None else least, never if most is None else most) for _, least, most in seen_after()]
    assert curve == sorted(curve, reverse=True)


@given(st.floats(0.5, 40), st.floats(80.1, 99), st.floats(0, 10), st.floats(0, 1))
def test_warmer_and_damper_never_delay_it_on_wood(celsius: float, rh: float, warmer: float, damper: float) -> None:
    for weeks in (wood_weeks_to_growth, wood_weeks_to_seen):
        before, after = weeks(celsius, rh), weeks(celsius + warmer, rh + damper)
        if before is None:
            continue
        assert after is not None
        assert after <= before * (1 + 1e-12)


@given(st.floats(0, 30), st.floats(0, 10))
def test_up_to_30_degrees_warmer_never_needs_more_damp(celsius: float, warmer: float) -> None:
    warm = min(30.0, celsius + warmer)
    assert critical_rh(warm) <= critical_rh(celsius) + 1e-9
    assert growing_rh(celsius) > critical_rh(celsius)
    # The curve of wood is flat within two hundredths from 15 degrees on, where it meets 80.
    assert wood_critical_rh(warm) <= wood_critical_rh(celsius) + 0.25
