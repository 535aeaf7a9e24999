"""Types of defect: how each is measured, where it is met, and what work that adds nothing can do to it."""

import re

import pytest

from ledger.rules.ceilings import ceilings
from ledger.rules.defects import DefectType, DefectTypeError, defect_type, defect_types

FACES = {"front", "spine", "back", "edges", "inside", "staples"}


@pytest.mark.parametrize("each", defect_types(), ids=lambda each: each.id)
def test_every_type_says_what_is_measured_where_and_what_work_can_do(each: DefectType) -> None:
    assert re.fullmatch(r"[a-z][a-z-]{1,39}", each.id)
    assert set(each.measured_by) <= {"size_mm", "count", "share_percent", "word"}
    assert each.measure
    assert each.faces
    assert set(each.faces) <= FACES
    assert each.work.endswith(".")
    assert all("our assumption" in source or "common practice" in source for source in each.sources)


def test_every_type_has_a_ceiling_row_and_is_measured_by_what_its_rows_go_by() -> None:
    for each in defect_types():
        rows = [row for row in ceilings() if row.type == each.id]
        assert rows, each.id
        assert {row.by for row in rows} - {"any"} <= set(each.measured_by), each.id


def test_a_type_that_is_not_in_the_table_is_named() -> None:
    with pytest.raises(DefectTypeError) as caught:
        defect_type("wear-and-tear")
    assert caught.value.name == "wear-and-tear"
