"""Ageing by heat, held against published formulas and rules, worked values, and a sum of its own."""

import json
import math
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.ageing import (
    ENERGIES,
    HUMID_RH,
    Band,
    acceleration,
    cooling_days,
    dried_factor,
    hold_days,
    lifetime_multiplier,
    moisture_factor,
    saturation_hpa,
)

VECTORS: dict[str, Any] = json.loads((Path(__file__).parent.parent / "vectors/ageing/heat.json").read_text("utf-8"))
CELSIUS = st.floats(21, 110)
THREE = (70, 100, 120)
"""Units: kJ/mol."""
YEAR = 365.25


def rows(name: str) -> pytest.MarkDecorator:
    """Every row of a table of the vectors."""
    return pytest.mark.parametrize("row", VECTORS[name]["rows"], ids=str)


@rows("multiplier")
def test_the_lifetime_multiplier_is_as_worked_out_by_hand(row: list[float]) -> None:
    celsius, rh, *expected = row
    for energy, each in zip((70, 90, 100, 120), expected, strict=True):
        assert lifetime_multiplier(celsius, rh, energy) == pytest.approx(each, abs=6e-5)


@rows("constants")
def test_what_the_constants_do_to_it_is_known_and_ours_are_fixed(row: list[float]) -> None:
    gas, reference, expected = row
    found = (50 / 65) ** 1.3 * math.exp(100_000 / gas * (1 / 303.15 - 1 / reference))
    assert found == pytest.approx(expected, abs=6e-6)
    if (gas, reference) == (8.314, 293.15):
        assert lifetime_multiplier(30, 65) == pytest.approx(found, rel=1e-12)


@rows("misprinted")
def test_a_published_program_that_gets_it_wrong_is_no_oracle_and_ours_is_another(row: list[float]) -> None:
    celsius, rh, theirs, right = row
    misprinted = (50 / rh) ** (1 / 3) * math.exp(-100 / 8.314 * (1 / (celsius + 273.15) - 1 / 293.15))
    assert misprinted == pytest.approx(theirs, abs=2e-3)
    assert lifetime_multiplier(celsius, rh) == pytest.approx(right, abs=6e-4)


def test_five_degrees_less_double_the_life_and_half_the_humidity_more_than_doubles_it() -> None:
    # The title of Michalski 2002 says so; exact doubling from 20 to 15 degrees needs 97.4 kJ/mol.
    assert lifetime_multiplier(15, 50) == pytest.approx(2, rel=0.03)
    assert lifetime_multiplier(15, 50, 97.4) == pytest.approx(2, rel=1e-3)
    assert lifetime_multiplier(20, 25) == pytest.approx(2**1.3)


@rows("acceleration")
def test_the_acceleration_is_as_worked_out_by_hand(row: list[float]) -> None:
    celsius, *expected = row
    for energy, each in zip((70, 90, 100, 110, 120), expected, strict=True):
        assert acceleration(celsius, energy) == pytest.approx(each, rel=4e-3)


def test_the_acceleration_is_the_arrhenius_law_in_decimals() -> None:
    kelvin, reference = Decimal("338.15"), Decimal("293.15")
    exact = (Decimal(100_000) / Decimal("8.314") * (1 / reference - 1 / kelvin)).exp()
    assert acceleration(65) == pytest.approx(float(exact), rel=1e-12)


@rows("holds")
def test_a_hold_is_its_time_at_the_acceleration(row: list[float]) -> None:
    celsius, minutes, *expected = row
    for energy, each in zip(THREE, expected, strict=True):
        assert hold_days(celsius, minutes, energy=energy) == pytest.approx(each, abs=6e-4)


@rows("misread")
def test_a_whole_time_in_the_press_taken_as_hot_is_ten_times_wrong(row: list[float]) -> None:
    celsius, hours, *expected = row
    for energy, each in zip(THREE, expected, strict=True):
        assert hold_days(celsius, hours * 60, energy=energy) == pytest.approx(each, abs=0.06)
    assert hold_days(celsius, hours * 60) > 10 * hold_days(celsius, 10)


@rows("band")
def test_the_band_of_a_hold_spans_its_moisture_and_its_energy(row: list[Any]) -> None:
    moisture, *expected = row
    factor = {"dries out": dried_factor(65), "unchanged": 1.0, "humidified": moisture_factor(HUMID_RH)}[moisture]
    for energy, each in zip(THREE, expected, strict=True):
        assert hold_days(65, 10, energy=energy, moisture=factor) == pytest.approx(each, abs=6e-4)


def test_the_moisture_is_a_greater_doubt_than_the_energy() -> None:
    given = VECTORS["band"]
    assert moisture_factor(HUMID_RH) / dried_factor(65) == pytest.approx(given["moisture_spread"], abs=0.5)
    assert acceleration(65, 120) / acceleration(65, 70) == pytest.approx(given["energy_spread"], abs=0.5)


@rows("cooling")
def test_cooling_counts(row: list[float]) -> None:
    peak, hold, tau, total, *expected = row
    for energy, each in zip(THREE, expected, strict=True):
        found = hold_days(peak, hold, energy=energy) + cooling_days(peak, 21, total - hold, tau, energy=energy)
        assert found == pytest.approx(each, abs=2e-3)


def test_twelve_hours_in_the_room_alone_are_told_apart_and_a_bad_wall_costs_more_than_a_press() -> None:
    assert hold_days(21, 720) == pytest.approx(VECTORS["cooling"]["of_the_room_in_twelve_hours"], abs=6e-4)
    given = VECTORS["perspective"]
    assert hold_days(65, 10) / 365 * 100 == pytest.approx(given["session_percent_of_a_year"], abs=5e-3)
    assert 1 / lifetime_multiplier(24, 60) - 1 == pytest.approx(given["more_equivalent_years_at_24_and_60"], abs=5e-3)


@rows("ovens")
def test_who_chooses_the_energy_chooses_the_years_of_an_oven(row: list[float]) -> None:
    energy, years = row
    assert hold_days(105, 72 * 60, energy=energy) / YEAR == pytest.approx(years, rel=3e-3)


def test_an_oven_says_next_to_nothing_of_years() -> None:
    dry = VECTORS["ovens"]["dry_air"]
    rh = dry["from_rh"] * saturation_hpa(dry["from_celsius"]) / saturation_hpa(105)
    # About 1.2: the formula of the pressure is made for 0 to 60 degrees, and is three per cent too high at 105.
    assert rh == pytest.approx(dry["rh_there"], abs=0.08)
    found = hold_days(105, 72 * 60, moisture=moisture_factor(rh)) / YEAR
    assert found == pytest.approx(dry["years_at_100"], abs=0.06)
    for degrees, years in VECTORS["ovens"]["rules_of_thumb"]:
        assert 3 * 2 ** ((105 - 20) / degrees) / YEAR == pytest.approx(years, rel=0.01)


@rows("standards")
def test_standard_ovens_are_as_worked_out_by_hand(row: list[Any]) -> None:
    celsius, rh, hours, dry, damp = row
    assert hold_days(celsius, hours * 60) / YEAR == pytest.approx(dry, abs=6e-2 if dry > 50 else 6e-3)
    if damp is not None:
        found = hold_days(celsius, hours * 60, moisture=moisture_factor(rh)) / YEAR
        assert found == pytest.approx(damp, abs=6e-3)


def test_a_cooling_is_its_integral_by_another_rule() -> None:
    # Simpson's rule, written here, at another step.
    steps, minutes, tau = 600, 240.0, 30.0
    width = minutes / steps
    weights = [1, *([4, 2] * (steps // 2 - 1)), 4, 1]
    rates = [acceleration(20 + 45 * math.exp(-place * width / tau)) for place in range(steps + 1)]
    simpson = sum(w * r for w, r in zip(weights, rates, strict=True)) * width / 3 / 1440
    assert cooling_days(65, 20, minutes, tau) == pytest.approx(simpson, rel=1e-4)


@rows("dried")
def test_a_pack_that_dries_out_falls_to_the_vapour_pressure_of_its_room(row: list[float]) -> None:
    celsius, rh, factor = row
    assert 50 * saturation_hpa(20) / saturation_hpa(celsius) == pytest.approx(rh, abs=0.006)
    assert dried_factor(celsius) == pytest.approx(factor, abs=6e-4)


def test_the_vapour_pressure_is_that_of_the_tables() -> None:
    # World Meteorological Organization, No. 8, annex 4.B: 6.11 hPa at 0 degrees, 23.37 at 20, 199.2 at 60.
    for celsius, hpa in ((0, 6.11), (20, 23.37), (60, 199.2)):
        assert saturation_hpa(celsius) == pytest.approx(hpa, rel=6e-3)
    # Beyond 60 degrees it is an extrapolation. From memory, steam tables: 701.8 hPa at 90 degrees, 1209 at 105.
    for celsius, hpa in ((90, 701.8), (105, 1209)):
        assert saturation_hpa(celsius) == pytest.approx(hpa, rel=0.035)


@rows("moisture")
def test_moisture_beyond_the_reference_hastens_and_below_it_slows(row: list[float]) -> None:
    rh, factor = row
    assert moisture_factor(rh) == pytest.approx(factor, abs=6e-3)


ANY, DAMP, ENERGY_OF = st.floats(-20, 120), st.floats(1, 99), st.sampled_from((70.0, 90.0, 100.0, 110.0, 120.0))


@given(ANY, DAMP, st.floats(0, 20), st.floats(0, 1), ENERGY_OF)
def test_warmer_and_damper_never_lengthen_a_life(
    celsius: float, rh: float, warmer: float, damper: float, energy: float
) -> None:
    before = lifetime_multiplier(celsius, rh, energy)
    assert lifetime_multiplier(celsius + warmer, rh + damper, energy) <= before * (1 + 1e-12)
    assert acceleration(celsius + warmer, energy) >= acceleration(celsius, energy) * (1 - 1e-12)
    assert moisture_factor(rh + damper) >= moisture_factor(rh)
    assert saturation_hpa(celsius + warmer) >= saturation_hpa(celsius)
    assert dried_factor(65, room_rh=rh + damper) >= dried_factor(65, room_rh=rh)
    assert cooling_days(celsius + warmer + 21, 20, 60, 30, energy=energy) >= (
        cooling_days(celsius + 21, 20, 60, 30, energy=energy) * (1 - 1e-12)
    )


@given(CELSIUS, st.floats(1, 1000), st.floats(0.1, 5))
def test_more_heat_and_more_time_never_age_less(celsius: float, minutes: float, more: float) -> None:
    assert hold_days(celsius + more, minutes) > hold_days(celsius, minutes)
    assert hold_days(celsius, minutes + more) > hold_days(celsius, minutes)
    assert cooling_days(celsius, 20, minutes + more, 30) > cooling_days(celsius, 20, minutes, 30)


@given(CELSIUS, st.floats(1, 500), st.floats(1, 500))
def test_sessions_add(celsius: float, first: float, second: float) -> None:
    for energy in ENERGIES:
        both = hold_days(celsius, first + second, energy=energy)
        assert hold_days(celsius, first, energy=energy) + hold_days(celsius, second, energy=energy) == pytest.approx(
            both
        )
    one, other = Band(low=1, middle=2, high=3), Band(low=0.5, middle=0.25, high=4)
    assert one + other == Band(low=1.5, middle=2.25, high=7)
