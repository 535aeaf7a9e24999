"""Ageing by heat, held against published formulas and rules, worked values, and a sum of its own."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules.ageing import (
    ENERGIES,
    Band,
    acceleration,
    cooling_days,
    dried_factor,
    hold_days,
    lifetime_multiplier,
    moisture_factor,
    saturation_hpa,
)

CELSIUS = st.floats(21, 110)


@pytest.mark.parametrize(
    ("celsius", "rh", "at_70", "at_90", "at_100", "at_120"),
    [
        # Michalski 2002, ICOM-CC 13th Triennial Meeting, vol. I, pp. 66-72: (50/RH)^1.3 exp(Ea/R (1/T - 1/T0)), worked
        # out by hand with R = 8.314 J/(mol K) and T0 = 293.15 K.
        (20, 50, 1.0000, 1.0000, 1.0000, 1.0000),
        (15, 50, 1.6460, 1.8979, 2.0380, 2.3498),
        (25, 50, 0.6178, 0.5383, 0.5025, 0.4379),
        (20, 25, 2.4623, 2.4623, 2.4623, 2.4623),
        (20, 40, 1.3365, 1.3365, 1.3365, 1.3365),
        (18, 45, 1.3969, 1.4779, 1.5202, 1.6083),
        (22, 55, 0.7272, 0.6879, 0.6690, 0.6328),
        (24, 60, 0.5360, 0.4799, 0.4541, 0.4067),
        (30, 65, 0.2757, 0.2103, 0.1837, 0.1401),
        (10, 40, 3.6856, 4.9245, 5.6924, 7.6061),
        (5, 35, 7.4822, 11.6471, 14.5316, 22.6205),
    ],
)
def test_the_lifetime_multiplier_is_as_worked_out_by_hand(
    celsius: float, rh: float, at_70: float, at_90: float, at_100: float, at_120: float
) -> None:
    for energy, expected in ((70, at_70), (90, at_90), (100, at_100), (120, at_120)):
        assert lifetime_multiplier(celsius, rh, energy) == pytest.approx(expected, abs=6e-5)


def test_five_degrees_less_double_the_life_and_half_the_humidity_more_than_doubles_it() -> None:
    # The title of Michalski 2002 says so; exact doubling from 20 to 15 degrees needs 97.4 kJ/mol.
    assert lifetime_multiplier(15, 50) == pytest.approx(2, rel=0.03)
    assert lifetime_multiplier(15, 50, 97.4) == pytest.approx(2, rel=1e-3)
    assert lifetime_multiplier(20, 25) == pytest.approx(2**1.3)


@pytest.mark.parametrize(
    ("celsius", "at_70", "at_100", "at_120"),
    [(50, 14.4, 45.1, 96.6), (60, 31.5, 137.9, 369.3), (65, 45.7, 235.1, 700.8), (80, 131.6, 1065.2, 4294.7), (105, 636.4, 10123.7, 64033)],
)  # fmt: skip
def test_the_acceleration_is_as_worked_out_by_hand(celsius: float, at_70: float, at_100: float, at_120: float) -> None:
    for energy, expected in ((70, at_70), (100, at_100), (120, at_120)):
        assert acceleration(celsius, energy) == pytest.approx(expected, rel=4e-3)


def test_the_acceleration_is_the_arrhenius_law_in_decimals() -> None:
    kelvin, reference = Decimal("338.15"), Decimal("293.15")
    exact = (Decimal(100_000) / Decimal("8.314") * (1 / reference - 1 / kelvin)).exp()
    assert acceleration(65) == pytest.approx(float(exact), rel=1e-12)


@pytest.mark.parametrize(
    ("celsius", "minutes", "at_70", "at_100", "at_120"),
    [(50, 30, 0.300, 0.940, 2.013), (60, 10, 0.218, 0.957, 2.564), (65, 10, 0.317, 1.633, 4.866), (93, 1, 0.213, 2.479, 12.728)],
)  # fmt: skip
def test_a_hold_is_its_time_at_the_acceleration(
    celsius: float, minutes: float, at_70: float, at_100: float, at_120: float
) -> None:
    for energy, expected in ((70, at_70), (100, at_100), (120, at_120)):
        assert hold_days(celsius, minutes, energy=energy) == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize(
    ("peak", "hold", "tau", "total", "at_70", "at_100", "at_120"),
    [
        # Worked out beside the program with a trapezoid of a quarter of a minute; a room of 21 degrees.
        (65, 10, 10, 720, 0.982, 2.633, 6.497),
        (65, 10, 60, 720, 1.585, 4.797, 11.730),
        (55, 30, 60, 1440, 1.922, 3.877, 7.302),
        (70, 20, 120, 1440, 3.931, 14.557, 40.525),
    ],
)
def test_cooling_counts(
    peak: float, hold: float, tau: float, total: float, at_70: float, at_100: float, at_120: float
) -> None:
    for energy, expected in ((70, at_70), (100, at_100), (120, at_120)):
        found = hold_days(peak, hold, energy=energy) + cooling_days(peak, 21, total - hold, tau, energy=energy)
        assert found == pytest.approx(expected, abs=2e-3)


def test_a_cooling_is_its_integral_by_another_rule() -> None:
    # Simpson's rule, written here, at another step.
    steps, minutes, tau = 600, 240.0, 30.0
    width = minutes / steps
    weights = [1, *([4, 2] * (steps // 2 - 1)), 4, 1]
    rates = [acceleration(20 + 45 * math.exp(-place * width / tau)) for place in range(steps + 1)]
    simpson = sum(w * r for w, r in zip(weights, rates, strict=True)) * width / 3 / 1440
    assert cooling_days(65, 20, minutes, tau) == pytest.approx(simpson, rel=1e-4)


@pytest.mark.parametrize(
    ("celsius", "rh", "factor"), [(50, 9.44, 0.114), (60, 5.83, 0.061), (65, 4.63, 0.045), (70, 3.71, 0.034)]
)
def test_a_pack_that_dries_out_falls_to_the_vapour_pressure_of_its_room(celsius: float, rh: float, factor: float) -> None:  # fmt: skip
    assert 50 * saturation_hpa(20) / saturation_hpa(celsius) == pytest.approx(rh, abs=0.006)
    assert dried_factor(celsius) == pytest.approx(factor, abs=6e-4)


def test_the_vapour_pressure_is_that_of_the_tables() -> None:
    # World Meteorological Organization, No. 8, annex 4.B: 6.11 hPa at 0 degrees, 23.37 at 20, 199.2 at 60.
    for celsius, hpa in ((0, 6.11), (20, 23.37), (60, 199.2)):
        assert saturation_hpa(celsius) == pytest.approx(hpa, rel=6e-3)


def test_moisture_beyond_the_reference_hastens_and_below_it_slows() -> None:
    assert [round(moisture_factor(rh), 3) for rh in (75, 80, 30, 20)] == [1.694, 1.842, 0.515, 0.304]


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
