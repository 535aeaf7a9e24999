"""Light: every row of the published doses and limits, sums worked out by hand, and what never lengthens a life."""

import json
from pathlib import Path
from typing import Any

import pytest

from ledger.events.ruling import NewValue, Ruling
from ledger.rules._tables import table
from ledger.rules.light import (
    DAYS,
    Extent,
    LightClass,
    copies_per_slot,
    days_allowed,
    light_rules,
    lux_allowed,
    uv_milliwatts,
    year_lux_hours,
    yearly_budget,
    years_to_fade,
)

VECTORS: dict[str, Any] = json.loads((Path(__file__).parent.parent / "vectors/light/tables.json").read_text("utf-8"))
RULES = light_rules()
MILLION = 1_000_000


def rows(name: str) -> pytest.MarkDecorator:
    """Every row of a table of the vectors."""
    return pytest.mark.parametrize("row", VECTORS[name]["rows"], ids=" ".join)


def dose(step: str, *, uv: bool) -> int:
    """The table's dose of a blue wool."""
    return RULES.number(f"blue-wool-{step}", "with_uv_lux_hours" if uv else "without_uv_lux_hours")


def of(name: str) -> int:
    """The yearly limit of a class."""
    limit = RULES.of_class(LightClass(name)).most_lux_hours_a_year
    assert limit is not None
    return limit


@rows("doses")
def test_the_doses_are_those_of_the_published_table(row: list[str]) -> None:
    step, with_uv, without, ratio = row
    assert dose(step, uv=True) == float(with_uv) * MILLION
    assert dose(step, uv=False) == float(without) * MILLION
    assert dose(step, uv=False) / dose(step, uv=True) == pytest.approx(float(ratio), abs=0.005)


@rows("quoted")
def test_another_quotation_of_the_doses_lies_within_the_doubt(row: list[str]) -> None:
    step, quoted = row
    factor = RULES.number("doubt", "factor")
    assert dose(step, uv=False) / factor <= float(quoted) * MILLION <= dose(step, uv=False) * factor


@rows("limits")
def test_the_classes_have_the_steps_and_limits_of_cie_157(row: list[str]) -> None:
    name, first, last, lux, lux_hours = row
    found = RULES.of_class(LightClass(name))
    assert found.steps is not None
    assert (found.steps[0], found.steps[2]) == (int(first), int(last))
    assert (found.most_lux, found.most_lux_hours_a_year) == (int(lux), int(lux_hours))


@rows("years")
def test_the_years_to_a_fade_are_as_worked_out_by_hand(row: list[str]) -> None:
    lux, hours, days, millions, *years, second_with_uv = map(float, row)
    a_year = year_lux_hours(lux, hours, days)
    assert a_year == pytest.approx(millions * MILLION)
    for step, expected in enumerate(years, start=1):
        assert years_to_fade(dose(str(step), uv=False), a_year) == pytest.approx(expected, abs=0.005)
    assert years_to_fade(dose("2", uv=True), a_year) == pytest.approx(second_with_uv, abs=0.005)


@rows("days")
def test_the_days_a_year_are_as_worked_out_by_hand(row: list[str]) -> None:
    lux, hours, *days = map(float, row)
    for name, expected in zip(("high", "medium", "low"), days, strict=True):
        assert days_allowed(of(name), lux, hours) == pytest.approx(expected, abs=0.05)


@rows("rotation")
def test_as_many_copies_take_turns_as_worked_out_by_hand(row: list[str]) -> None:
    name, lux, hours, days, copies = row
    found = days_allowed(of(name), float(lux), float(hours))
    assert found == pytest.approx(float(days))
    assert copies_per_slot(found) == int(copies)


@rows("budget")
def test_a_budget_of_years_is_the_dose_shared_out(row: list[str]) -> None:
    step, years, expected = row
    assert yearly_budget(dose(step, uv=False), float(years)) == float(expected)


@rows("uv")
def test_ultraviolet_is_as_worked_out_by_hand(row: list[str]) -> None:
    lux, per_lumen, expected = map(float, row)
    assert uv_milliwatts(lux, per_lumen) == pytest.approx(expected)


@rows("off_hours")
def test_the_off_hours_take_a_year_over_the_limit(row: list[str]) -> None:
    lux, week, cleaning, cleaned, rest, lit_alone, whole = map(float, row)
    weeks = DAYS / 7
    lit = lux * week * weeks
    assert lit == pytest.approx(lit_alone, abs=0.5)
    off = (cleaning * cleaned + rest * (24 - cleaned - week / 7)) * DAYS
    assert lit + off == pytest.approx(whole, abs=0.5)
    off_hours = 24 - week / 7
    found = year_lux_hours(lux, week / 7, off_lux=off / DAYS / off_hours, off_hours=off_hours)
    assert found == pytest.approx(whole, abs=0.5)
    assert lit > of("medium") > 0
    assert found > lit


@rows("places")
def test_how_light_it_is_in_a_house_is_as_in_the_published_tables(row: list[str]) -> None:
    place = RULES.places[row[0]]
    for expected, found in zip(row[1:], (place.lux, place.low, place.high), strict=True):
        assert not expected or found == int(expected)
    assert place.low <= place.lux <= place.high
    assert 0 < place.hours_low <= place.hours <= place.hours_high <= 24


@rows("logger_doses")
def test_the_doses_of_a_published_logger_script_are_the_same_save_the_last_within_the_doubt(row: list[str]) -> None:
    step, one_per_cent = row
    found, theirs, factor = dose(step, uv=False), int(one_per_cent) * 100, RULES.number("doubt", "factor")
    assert found == theirs if step != "8" else theirs / factor <= found <= theirs * factor


def test_each_step_is_about_two_to_three_times_less_sensitive_than_the_one_before() -> None:
    least, most = VECTORS["steps"]["from"], VECTORS["steps"]["to"]
    for uv in (True, False):
        for step in range(1, 8):
            times = dose(str(step + 1), uv=uv) / dose(str(step), uv=uv)
            # "About": the figures are rounded to one or two digits, so that a step is up to 11/3.
            assert least <= times <= most * 1.25


@rows("inks")
def test_inks_are_labels_with_the_steps_their_makers_give(row: list[str]) -> None:
    name, first, last = row
    assert (RULES.number(name, "first_step"), RULES.number(name, "last_step")) == (int(first), int(last))


@rows("others")
def test_limits_of_other_things_are_labels(row: list[str]) -> None:
    name, limit, rest = row
    shipped = table("light").row(name)
    assert shipped is not None
    assert (shipped.text("title"), int(limit)) in RULES.other_limits()
    assert not rest or RULES.number(name, "rest_years") == int(rest)


def test_limits_of_ultraviolet_and_the_fades_of_a_total_one_are_the_published_ones() -> None:
    assert RULES.total_fade() == VECTORS["total_fade"]["fades"]
    given = VECTORS["ultraviolet"]
    for name in ("filtered_to", "unfiltered_over"):
        assert RULES.number("ultraviolet", name) == given[name]
    for name in ("most", "strict"):
        assert RULES.number("ultraviolet-absolute", f"{name}_milliwatts") == given[name]


def test_fifty_lux_for_ten_hours_do_what_two_hundred_and_fifty_do_in_two() -> None:
    # The reciprocity that the sum rests on; from memory it holds well at museum levels.
    assert year_lux_hours(50, 10, 1) == year_lux_hours(250, 2, 1) == 500


def test_the_dose_to_a_fade_spans_the_steps_of_the_class_and_the_doubt() -> None:
    # By hand: steps 1, 2, 3 are 0.3, 1 and 3 without ultraviolet, 0.22, 0.6 and 1.5 with it; a factor of two each way.
    high = RULES.of_class(LightClass.HIGH)
    assert RULES.fade_dose(high, uv=False) == Extent(low=150_000, middle=1_000_000, high=6_000_000)
    assert RULES.fade_dose(high, uv=True) == Extent(low=110_000, middle=600_000, high=3_000_000)


def test_what_light_does_nothing_to_has_no_dose_and_no_limit() -> None:
    none = RULES.of_class(LightClass.NONE)
    assert RULES.fade_dose(none, uv=True) is None
    assert none.most_lux_hours_a_year is None


@pytest.mark.parametrize(
    ("year", "name", "steps"),
    [
        (1940, LightClass.HIGH, (1, 2, 3)),
        (1979, LightClass.HIGH, (1, 2, 3)),
        (1980, LightClass.MEDIUM, (3, 4, 5)),
        (2020, LightClass.MEDIUM, (3, 4, 5)),
        (None, LightClass.HIGH, (1, 2, 3)),
    ],
)
def test_a_cover_is_taken_by_its_year_and_without_one_as_the_most_sensitive(
    year: int | None, name: LightClass, steps: tuple[int, int, int]
) -> None:
    # Our assumption, as the rows say.
    found = RULES.by_default(year)
    assert (found.light_class, found.steps) == (name, steps)
    row = table("light").row("before-1980")
    assert row is not None
    assert "our assumption, editable" in row.sources


def test_signatures_are_taken_as_highly_sensitive() -> None:
    assert RULES.signature().light_class is LightClass.HIGH


def ruled(row_id: str, field: str, value: str) -> Any:
    """The rules with one ruling."""
    row = table("light").row(row_id)
    assert row is not None
    ruling = Ruling(table="light", row=row_id, version=1, values=(NewValue(field=field, value=value),))
    assert not ruling.all_flaws()
    return light_rules({row_id: ruling.edited(row)})


def test_a_ruling_takes_the_place_of_a_row() -> None:
    assert ruled("before-1980", "last_year", "1985").by_default(1983).light_class is LightClass.HIGH
    assert ruled("from-1980", "class", "low").by_default(1983).most_lux == 200


@pytest.mark.parametrize(
    ("row", "field", "value"),
    [
        ("doubt", "factor", "0"),
        ("high", "first_step", "99"),
        ("before-1980", "class", "purple"),
        ("blue-wool-2", "with_uv_lux_hours", "-5"),
    ],
)
def test_a_ruling_that_makes_no_sense_breaks_no_sum(row: str, field: str, value: str) -> None:
    rules = ruled(row, field, value)
    found = rules.fade_dose(rules.by_default(1950), uv=True)
    assert found is not None
    assert 0 < found.low <= found.middle <= found.high


def test_the_light_that_a_limit_allows_uses_the_limit_up() -> None:
    allowed = lux_allowed(15_000, 8)
    assert allowed is not None
    assert year_lux_hours(allowed, 8) == pytest.approx(15_000)
    assert lux_allowed(15_000, 0) is None
    assert days_allowed(15_000, 0, 8) is None
    assert years_to_fade(1_000_000, 0) is None
