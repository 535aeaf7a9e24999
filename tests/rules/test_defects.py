"""Types of defect: how each is measured, and the chances of work that adds nothing, starting values of our own."""

import re
from decimal import Decimal

import pytest

from ledger.rules.ceilings import ceilings
from ledger.rules.defects import Chances, DefectType, DefectTypeError, defect_type, defect_types

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


@pytest.mark.parametrize("each", defect_types(), ids=lambda each: each.id)
def test_the_chances_of_gone_lessened_and_same_add_up_to_one_exactly(each: DefectType) -> None:
    for chances in (each.unbroken, each.broken):
        assert chances.gone + chances.lessened + chances.same == Decimal(1)
        assert min(chances.gone, chances.lessened, chances.same) >= 0


@pytest.mark.parametrize("each", defect_types(), ids=lambda each: each.id)
def test_broken_colour_never_goes_more_easily(each: DefectType) -> None:
    assert each.broken.gone <= each.unbroken.gone
    assert each.broken.gone + each.broken.lessened <= each.unbroken.gone + each.unbroken.lessened


@pytest.mark.parametrize(
    ("name", "unbroken", "broken"),
    # Our assumption; starting values that the collector's own results replace.
    [
        ("spine-tick", "0.75 0.20 0.05", "0 0.50 0.50"),
        ("subscription-fold", "0.50 0.45 0.05", "0 0.50 0.50"),
        ("bend", "0.80 0.15 0.05", None),
        ("crease", None, "0 0.45 0.55"),
        ("corner-blunting", "0.25 0.45 0.30", "0.25 0.45 0.30"),
        ("tear", None, "0 0.05 0.95"),
        ("missing-piece", None, "0 0 1"),
        ("surface-dirt", "0.60 0.35 0.05", None),
        ("shadow", "0.05 0.20 0.75", None),
    ],
)
def test_the_starting_chances_are_those_we_assumed(name: str, unbroken: str | None, broken: str | None) -> None:
    found = defect_type(name)
    for told, breaks in ((unbroken, False), (broken, True)):
        if told is not None:
            assert found.chances(breaks_colour=breaks) == Chances(*(Decimal(part) for part in told.split()))


def test_a_break_that_is_not_known_of_counts_as_one() -> None:
    tick = defect_type("spine-tick")
    assert tick.chances(breaks_colour=None) == tick.chances(breaks_colour=True)


def test_what_is_torn_lost_or_written_in_ink_never_goes_by_work_that_adds_nothing() -> None:
    # Common practice, no source: broken colour, tears, losses, stains in the fibre, tone and rust do not respond.
    stays = (
        "crease tear spine-split missing-piece abrasion gloss-loss stain tide-line paper-tone staple-rust ink-writing"
    )
    assert all(defect_type(name).broken.gone == 0 for name in stays.split())


def test_bends_waves_rolls_and_dirt_mostly_go() -> None:
    # Common practice, no source: what responds to pressing and dry cleaning.
    goes = "bend fold indentation waviness spine-roll surface-dirt"
    assert all(defect_type(name).unbroken.gone > Decimal("0.5") for name in goes.split())


def test_every_type_has_a_ceiling_row_and_is_measured_by_what_its_rows_go_by() -> None:
    for each in defect_types():
        rows = [row for row in ceilings() if row.type == each.id]
        assert rows, each.id
        assert {row.by for row in rows} - {"any"} <= set(each.measured_by), each.id


def test_a_type_that_is_not_in_the_table_is_named() -> None:
    with pytest.raises(DefectTypeError) as caught:
        defect_type("wear-and-tear")
    assert caught.value.name == "wear-and-tear"
