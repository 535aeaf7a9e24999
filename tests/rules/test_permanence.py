"""Isoperms and the index of film, held against published and worked values; neither is the years of a book."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.permanence import HEATS, film_years, isoperm, mean_film, mean_isoperm

VECTORS: dict[str, Any] = json.loads((Path(__file__).parent.parent / "vectors/climate/beside.json").read_text("utf-8"))
CELSIUS, RH = st.floats(-10, 45), st.floats(1, 99)


def celsius_of(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def rows(name: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("row", VECTORS[name]["rows"], ids=str)


@rows("isoperm")
def test_an_isoperm_is_as_worked_out_by_hand(row: list[float]) -> None:
    fahrenheit, rh, *expected = row
    for heat, each in zip((20, 25, 30, 35), expected, strict=True):
        assert isoperm(celsius_of(fahrenheit), rh, heat) == pytest.approx(each, abs=6e-5)


def test_newsprint_of_45_years_lasts_some_sixteen_months_in_heat_and_damp_as_published() -> None:
    given_ = VECTORS["isoperm"]["published"]
    found = isoperm(celsius_of(given_["fahrenheit"]), given_["rh"], 35)
    assert found == pytest.approx(given_["isoperm"], abs=0.005)
    # Without the small prefactor of the printed equation it comes to eighteen.
    assert found * given_["years"] * 12 == pytest.approx(given_["months"], abs=2.2)


@pytest.mark.parametrize(("heat", "times"), VECTORS["isoperm"]["improved"])
def test_from_73_and_50_to_60_and_30_it_improves_as_worked_out(heat: float, times: float) -> None:
    before, after = isoperm(celsius_of(73), 50, heat), isoperm(celsius_of(60), 30, heat)
    assert before is not None
    assert after is not None
    assert after / before == pytest.approx(times, abs=6e-3)


@pytest.mark.parametrize(("kilocalories", "kilojoules"), VECTORS["heats_in_kilojoules"])
def test_the_heats_are_sebera_s(kilocalories: float, kilojoules: float) -> None:
    # The thermochemical calorie, 4.184 J.
    assert kilocalories * 4.184 == pytest.approx(kilojoules, abs=0.06)
    assert kilocalories in HEATS


@rows("film")
def test_the_index_of_film_is_as_worked_out_by_hand(row: list[float]) -> None:
    celsius, rh, years = row
    assert film_years(celsius, rh) == pytest.approx(years, abs=6e-3)


def test_over_a_time_both_are_harmonic_means_worked_out_by_hand() -> None:
    # A day at 20 degrees and 50 per cent and one at 10 and 50: 2 / (1/1 + 1/4.5530) = 1.6398 at 25 kcal/mol.
    held = [(20.0, 50.0, 86_400.0), (10.0, 50.0, 86_400.0)]
    mean = mean_isoperm(held)
    assert mean is not None
    assert mean.low == pytest.approx(2 / (1 + 1 / 4.5530), abs=1e-4)
    assert mean.high == pytest.approx(2 / (1 + 1 / 8.3486), abs=1e-4)
    # Film: half a time at 41.76 and half at 22.44 years are 29.19, which is 0.699 of 41.76.
    assert mean_film([(20, 50, 60), (25, 50, 60)]) == pytest.approx(2 / (1 / 41.76 + 1 / 22.44) / 41.76, abs=3e-4)


def test_of_nothing_known_and_of_air_without_water_there_is_none() -> None:
    assert (mean_isoperm([]), mean_film([])) == (None, None)
    assert (mean_isoperm([(20, 0, 60)]), mean_film([(20, 0, 60)])) == (None, None)
    assert (isoperm(20, 0, 25), film_years(20, 0)) == (None, None)


@given(CELSIUS, RH, st.floats(0, 20), st.floats(0, 1), st.sampled_from(HEATS))
def test_warmer_and_damper_is_never_more_permanent(
    celsius: float, rh: float, warmer: float, damper: float, heat: float
) -> None:
    before, after = isoperm(celsius, rh, heat), isoperm(celsius + warmer, rh + damper, heat)
    film, later = film_years(celsius, rh), film_years(celsius + warmer, rh + damper)
    assert before is not None
    assert after is not None
    assert film is not None
    assert later is not None
    assert after <= before * (1 + 1e-12)
    assert later <= film * (1 + 1e-12)


@given(st.lists(st.tuples(CELSIUS, RH, st.floats(60, 86_400)), min_size=1, max_size=5), st.floats(0, 5))
def test_a_warmer_log_is_never_better_and_its_mean_never_above_its_best(
    held: list[tuple[float, float, float]], warmer: float
) -> None:
    before, after = mean_isoperm(held), mean_isoperm([(celsius + warmer, rh, s) for celsius, rh, s in held])
    best = [each for celsius, rh, _ in held if (each := isoperm(celsius, rh, HEATS[1])) is not None]
    assert before is not None
    assert after is not None
    assert before.low <= before.middle <= before.high
    assert after.middle <= before.middle * (1 + 1e-9)
    assert min(best) * (1 - 1e-9) <= before.middle <= max(best) * (1 + 1e-9)
