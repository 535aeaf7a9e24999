"""The air of a room, held against published formulas, figures worked out by hand, and what must never turn round."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.rules import climate
from ledger.rules.ageing import ENERGIES, ENERGY, lifetime_multiplier, saturation_hpa
from ledger.rules.climate import ALDUCHOV, BOLTON, ENERGY_STEPS, SONNTAG

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).parent.parent / "vectors" / "climate" / "air.json").read_text(encoding="utf-8")
)
BESIDE: dict[str, Any] = json.loads((Path(__file__).parent.parent / "vectors/climate/beside.json").read_text("utf-8"))
CELSIUS, RH = st.floats(-10, 45), st.floats(1, 99)


@pytest.mark.parametrize("row", VECTORS["dew"], ids=str)
def test_dew_point_and_water_in_the_air_are_as_worked_out_by_three_sets_of_constants(row: dict[str, float]) -> None:
    for name, magnus in (("alduchov", ALDUCHOV), ("sonntag", SONNTAG), ("bolton", BOLTON)):
        assert climate.dew_point(row["celsius"], row["rh"], magnus) == pytest.approx(row[name], abs=6e-4)
    assert climate.absolute_humidity(row["celsius"], row["rh"]) == pytest.approx(row["grams"], abs=6e-4)


@pytest.mark.parametrize(("celsius", "hpa"), VECTORS["saturation"])
def test_saturation_is_as_worked_out_and_the_same_wherever_it_is_asked(celsius: float, hpa: float) -> None:
    assert climate.saturation(celsius) == pytest.approx(hpa, rel=5e-5)
    assert climate.saturation(celsius) == saturation_hpa(celsius)


@pytest.mark.parametrize("row", VECTORS["wall"], ids=str)
def test_the_same_air_is_damper_at_a_colder_wall(row: dict[str, float]) -> None:
    assert climate.rh_at(row["celsius"], row["rh"], row["wall"]) == pytest.approx(row["surface"], abs=0.06)


def test_a_wall_below_the_dew_point_is_wet_and_no_more_than_that() -> None:
    assert climate.rh_at(22, 65, 10) == 100


def test_a_log_is_averaged_by_what_it_does_to_paper() -> None:
    log = VECTORS["log"]
    seconds = log["hours_each"] * 3600
    equivalent = climate.equivalent_days((celsius, rh, seconds) for celsius, rh in log["parts"])
    assert equivalent.middle * 24 == pytest.approx(log["equivalent_hours"], abs=6e-3)
    mean = climate.mean_multiplier(equivalent, seconds * len(log["parts"]))
    assert mean is not None
    assert mean.middle == pytest.approx(log["multiplier"], abs=6e-5)
    # The two ways that flatter: the mean of the multipliers, and the multiplier of the mean climate.
    singles = [lifetime_multiplier(celsius, rh) for celsius, rh in log["parts"]]
    assert sum(singles) / 3 == pytest.approx(log["wrong_mean_of_multipliers"], abs=6e-5)
    assert lifetime_multiplier(22, 160 / 3) == pytest.approx(log["wrong_of_the_mean_climate"], abs=6e-5)
    assert mean.middle < log["wrong_of_the_mean_climate"] < log["wrong_mean_of_multipliers"]


def test_one_day_added_up_by_hand() -> None:
    # 12 h at 20 degrees and 50 per cent are half a day; 12 h at 25 and 60, at 100 kJ/mol:
    # 1.2^1.3 = 1.26747 and exp(100000 / 8.314 (1/293.15 - 1/298.15)) = 1.98998 give 1.26111 days.
    day = climate.equivalent_days([(20, 50, 43_200), (25, 60, 43_200)])
    by_hand = 0.5 + 0.5 * 1.2**1.3 * math.exp(100_000 / 8.314 * (1 / 293.15 - 1 / 298.15))
    assert day.middle == pytest.approx(by_hand)
    assert day.middle == pytest.approx(0.5 + 1.26111, abs=2e-4)


def test_the_band_holds_its_middle_even_where_warm_and_cold_are_mixed() -> None:
    # At 15 and 25 degrees the sum is least between the ends of the span of energies.
    mixed = climate.equivalent_days([(14, 50, 86_400), (24, 50, 86_400)])
    assert mixed.low <= mixed.middle <= mixed.high
    assert (ENERGY_STEPS[0], ENERGY_STEPS[-1]) == ENERGIES
    assert ENERGY in ENERGY_STEPS


def test_of_no_time_and_of_air_without_water_there_is_no_mean() -> None:
    assert climate.mean_multiplier(climate.equivalent_days([]), 0) is None
    assert climate.mean_multiplier(climate.equivalent_days([(20, 0, 60)]), 60) is None
    assert climate.dew_point(20, 0) is None


@given(celsius=CELSIUS, rh=RH, warmer=st.floats(0, 10), damper=st.floats(0, 1), longer=st.integers(0, 10_000))
def test_warmer_damper_and_longer_never_spare_paper(
    celsius: float, rh: float, warmer: float, damper: float, longer: int
) -> None:
    before = climate.equivalent_days([(celsius, rh, 3600)])
    after = climate.equivalent_days([(celsius + warmer, min(100, rh + damper), 3600 + longer)])
    for name in ("low", "middle", "high"):
        assert getattr(after, name) >= getattr(before, name) * (1 - 1e-12)


@given(celsius=CELSIUS, rh=RH, colder=st.floats(0, 15))
def test_a_colder_wall_is_never_drier_and_air_is_wet_at_its_dew_point(celsius: float, rh: float, colder: float) -> None:
    assert climate.rh_at(celsius, rh, celsius - colder) >= rh * (1 - 1e-12)
    dew = climate.dew_point(celsius, rh)
    assert dew is not None
    assert dew <= celsius + 1e-9
    assert climate.rh_at(celsius, rh, dew) == pytest.approx(100)


def test_every_published_range_is_a_label_with_its_source() -> None:
    by_id = {each.id: each for each in climate.ranges()}
    assert by_id["bs-4971"].holds(20, 50)
    assert not by_id["bs-4971"].holds(24, 50)
    assert by_id["ashrae-d"].holds(35, 74)
    assert not by_id["ashrae-d"].holds(20, 76)
    assert by_id["niso-closed"].holds(2, 40)
    # What was not read in the document itself is marked so.
    by_heart = {"iso-11799-optimum", "iso-11799-staffed", "iso-18934", "niso-closed", "niso-combined"}
    by_heart |= {"ashrae-set", "ashrae-c", "ashrae-d"}
    assert {each.id for each in climate.ranges() if "from memory" in each.sources} == by_heart
    assert all("from memory" in each.sources for each in climate.swings())
    assert "our assumption, not editable" in by_id["loc-comics"].sources


@pytest.mark.parametrize(("name", "cold", "warm", "dry", "damp"), BESIDE["ranges"]["rows"])
def test_every_range_has_the_ends_that_were_published(name: str, cold: str, warm: str, dry: str, damp: str) -> None:
    (found,) = (each for each in climate.ranges() if each.id == name)
    assert [found.celsius, found.rh] == [ends(cold, warm), ends(dry, damp)]


def ends(low: str, high: str) -> tuple[float | None, float | None]:
    return float(low) if low else None, float(high) if high else None


def test_no_range_is_told_that_the_vectors_do_not_have() -> None:
    # "About 35 per cent, room temperature or below" is read as 30 to 40 and up to 21, our assumption.
    known = {row[0] for row in BESIDE["ranges"]["rows"]}
    assert {each.id for each in climate.ranges()} == known | {"loc-comics"}


@pytest.mark.parametrize(("name", "kelvin", "rh", "below", "above", "drier", "damper"), BESIDE["control"]["rows"])
def test_types_of_control_have_the_swings_and_seasons_that_were_published(
    name: str, kelvin: str, rh: str, below: str, above: str, drier: str, damper: str
) -> None:
    (day,) = (each for each in climate.swings() if each.id == f"ashrae-{name}")
    assert (day.celsius[1], day.rh[1]) == (float(kelvin), float(rh))
    (season,) = (each for each in climate.seasons() if each.id == f"ashrae-{name}-season")
    assert (season.celsius, season.rh) == (ends(below, above), ends(drier, damper))
    assert season.warmest == (BESIDE["control"]["warmest_of_b"] if name == "b" else None)
    assert all("from memory" in each.sources for each in (day, season))


def test_damp_that_lasts_is_above_65_and_damp_is_above_75() -> None:
    given_ = BESIDE["rule_of_thumb"]
    assert climate.limit("damp-held").rh == given_["lasting_over"]
    assert climate.limit("damp").rh == given_["damp_over"]


@given(celsius=CELSIUS, rh=RH, warmer=st.floats(0, 10), damper=st.floats(0, 1))
def test_warmer_air_and_damper_air_hold_more_water_and_give_it_off_sooner(
    celsius: float, rh: float, warmer: float, damper: float
) -> None:
    assert climate.absolute_humidity(celsius, rh + damper) >= climate.absolute_humidity(celsius, rh)
    assert climate.saturation(celsius + warmer) >= climate.saturation(celsius)
    before, after = climate.dew_point(celsius, rh), climate.dew_point(celsius + warmer, rh + damper)
    assert before is not None
    assert after is not None
    assert after >= before - 1e-9
    assert all(
        later >= rate * (1 - 1e-12)
        for rate, later in zip(climate.rates(celsius, rh), climate.rates(celsius + warmer, rh + damper), strict=True)
    )


@pytest.mark.parametrize(("rh", "expected"), [(19.9, False), (20, True), (80, True), (80.1, False)])
def test_outside_20_to_80_per_cent_the_power_of_the_humidity_was_not_tried(rh: float, expected: bool) -> None:  # noqa: FBT001
    assert climate.tried(rh) is expected
