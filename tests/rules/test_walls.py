"""The surface of an outer wall, held against the standard's formula and figures worked out by hand; rulings on it."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.events.ruling import NewValue, Ruling
from ledger.rules._tables import table
from ledger.rules.climate import rh_at
from ledger.rules.walls import TABLE, WallRules, surface_celsius, temperature_factor, wall_rules

VECTORS: dict[str, Any] = json.loads((Path(__file__).parent.parent / "vectors/climate/beside.json").read_text("utf-8"))
INSIDE, OUTSIDE = st.floats(10, 30), st.floats(-20, 10)


def ruled(row_id: str, **values: str) -> WallRules:
    row = table(TABLE).row(row_id)
    assert row is not None
    new = tuple(NewValue(field=field, value=value) for field, value in values.items())
    ruling = Ruling(table=TABLE, row=row_id, version=1, values=new)
    assert not ruling.all_flaws()
    return wall_rules({row_id: ruling.edited(row)})


@pytest.mark.parametrize(("transmittance", "factor", "surface"), VECTORS["walls"]["rows"])
def test_the_factor_and_the_surface_are_as_worked_out_by_hand(
    transmittance: float, factor: float, surface: float
) -> None:
    found = temperature_factor(transmittance)
    assert found == pytest.approx(factor, abs=6e-5)
    # A second way: 1 - U' x 0.25, where U' is the transmittance with that resistance at its inner surface.
    assert found == pytest.approx(1 - 0.25 / (1 / transmittance - 0.13 + 0.25))
    assert surface_celsius(20, 0, found) == pytest.approx(surface, abs=6e-3)


def test_the_walls_of_the_table_are_those_of_the_vectors() -> None:
    assert [each.transmittance for each in wall_rules().kinds] == [row[0] for row in VECTORS["walls"]["rows"]]
    brick = wall_rules().kind("solid-brick")
    assert brick is not None
    assert brick.factor == temperature_factor(2.2)
    assert wall_rules().kind("straw") is None


def test_the_assumed_cold_day_is_one_of_frost_at_a_wall_with_an_empty_cavity() -> None:
    # 7 K colder than a room of 20 degrees at a factor of 0.777: outdoors 20 - 7 / 0.223 = -11.4 degrees, by hand.
    factor = temperature_factor(1.0)
    outside = 20 - wall_rules().colder[1] / (1 - factor)
    assert outside == pytest.approx(-11.4, abs=0.05)
    assert surface_celsius(20, outside, factor) == pytest.approx(13)


@given(INSIDE, OUTSIDE, st.floats(0.1, 6), st.floats(0, 2), st.floats(0, 10), st.floats(10, 90))
def test_a_worse_wall_or_a_colder_day_is_never_warmer_or_drier_at_the_surface(
    inside: float, outside: float, transmittance: float, worse: float, colder: float, rh: float
) -> None:
    before = surface_celsius(inside, outside, temperature_factor(transmittance))
    after = surface_celsius(inside, outside - colder, temperature_factor(transmittance + worse))
    assert outside - colder - 1e-9 <= after <= before + 1e-9
    assert before <= inside + 1e-9
    assert rh_at(inside, rh, after) >= rh_at(inside, rh, before) - 1e-9


def test_the_figures_of_the_table_are_our_assumption_and_can_be_ruled_on() -> None:
    assert (wall_rules().held_days, wall_rules().colder) == (3, (2, 7))
    for name in ("held", "outer-wall"):
        row = table(TABLE).row(name)
        assert row is not None
        assert row.sources == ("our assumption, editable",)
    assert ruled("held", days="5").held_days == 5
    assert ruled("outer-wall", mild_kelvin="3", cold_kelvin="9").colder == (3, 9)
    brick = ruled("solid-brick", hundredths_w_m2k="150").kind("solid-brick")
    assert brick is not None
    assert brick.transmittance == 1.5


@pytest.mark.parametrize(
    ("row", "field", "value"),
    [
        ("held", "days", "-4"),
        ("outer-wall", "mild_kelvin", "-9"),
        ("outer-wall", "mild_kelvin", "50"),
        ("cavity", "hundredths_w_m2k", "-1"),
    ],
)
def test_a_ruling_that_makes_no_sense_breaks_no_sum(row: str, field: str, value: str) -> None:
    rules = ruled(row, **{field: value})
    assert rules.held_days >= 0
    assert 0 <= rules.colder[0] <= rules.colder[1]
    assert all(0 <= each.factor <= 1 for each in rules.kinds)
