"""Intervals of care: by material where there is a row for it, as ruled, and never taken for how long anything lasts."""

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import pytest

from ledger.events.placement import Around, Material
from ledger.rules._tables import Row, TableError, table
from ledger.rules.care import care_rules, read_interval


def edited(name: str, **changes: Any) -> Row:
    row = table("care").row(name)
    assert row is not None
    return replace(row, fields=MappingProxyType({**row.fields, **changes}))


def test_every_housing_of_every_material_has_an_interval() -> None:
    rules = care_rules()
    for around in Around:
        for material in Material:
            assert rules.of_housing(around, material).days > 0


@pytest.mark.parametrize(
    ("around", "material", "row"),
    [
        (Around.SLEEVE, Material.POLYESTER, "sleeve-polyester"),
        (Around.SLEEVE, Material.NOT_KNOWN, "sleeve"),
        (Around.BOARD, Material.BUFFERED, "board-buffered-board"),
        (Around.BOARD, Material.PLAIN, "board-plain-board"),
        (Around.BOARD, Material.UNBUFFERED, "board"),
        (Around.FRAME, Material.WOOD, "frame"),
    ],
)
def test_the_row_of_a_material_counts_before_the_one_for_all(around: Around, material: Material, row: str) -> None:
    assert care_rules().of_housing(around, material).id == row


def test_what_was_ruled_counts_and_what_cannot_be_read_is_passed_over() -> None:
    ruled = {"count": edited("count", days=90), "look": edited("look", days=0), "frame": edited("frame", days="soon")}
    rules = care_rules(ruled)
    assert (rules.of("count").days, rules.of("look").days, rules.of("frame").days) == (90, 365, 730)


@pytest.mark.parametrize("days", [0, -1, 36_526])
def test_an_interval_is_a_day_to_a_hundred_years(days: int) -> None:
    with pytest.raises(TableError):
        read_interval(edited("count", days=days))


def test_every_row_says_in_one_line_what_it_is_counted_from_and_that_it_is_an_assumption() -> None:
    for row in table("care").rows:
        found = read_interval(row)
        assert found.says.endswith(".")
        assert "\n" not in found.says
        assert found.sources == (table("care").sources["assumption"],)
