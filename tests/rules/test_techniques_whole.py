"""The table of techniques is whole: all kinds of work that paper conservation and the trade know, each with all it must say."""

from typing import Final, NamedTuple

import pytest

from ledger.rules.cautions import caution
from ledger.rules.headings import Fact, Purpose
from ledger.rules.techniques import Technique, technique, techniques

HOT, SOLVENT, MOULD, BLADES = "hot-tool", "solvent", "mould", "blades"


class Work(NamedTuple):
    """One kind of work: what it is called there, how much must be recorded of it, and the rows that stand for it here."""

    name: str
    level: str
    rows: tuple[str, ...]


# Names: kinds of work that the AIC Book and Paper Group Wiki treats (surface cleaning, humidification, drying and
# flattening, mending, filling) and those of the trade (common practice, no source). Levels: our grading of AIC,
# Guidelines for Practice 24 to 28. R1: date, who, tool, settings, areas, photographs before and after; R2: products,
# tests and residue too; R3: map, area, origin of what was added, how to undo it, consent.
WORKS: Final = (
    Work("dry surface cleaning", "R1", ("dry-cleaning", "erase-pencil")),
    Work("pressing under weight without heat", "R1", ("rest-under-weight", "cold-press")),
    Work("hot pressing, dry", "R1", ("hot-press-dry",)),
    Work("pressing with humidification", "R2", ("hot-press-humidified", "humidification")),
    Work("local heat", "R1", ("local-heat",)),
    Work("solvent cleaning", "R2", ("solvent-spot-cleaning",)),
    Work("washing", "R2", ("washing-acids", "washing-stains")),
    Work("bleaching", "R2", ("bleaching",)),
    Work("tear sealing", "R3", ("tear-sealing",)),
    Work("spine-split reinforcement", "R3", ("split-reinforcement",)),
    Work("tape removal", "R2", ("tape-removal",)),
    Work("staple cleaning", "R1", ("staple-cleaning",)),
    Work("staple replacement", "R3", ("staple-replacement-hold", "staple-replacement-looks")),
    Work("leaf casting and lining", "R3", ("leaf-casting", "lining")),
    Work("piece replacement, infill", "R3", ("infill", "graft")),
    Work("colour touch", "R3", ("colour-touch",)),
    Work("glue that does not last", "R3", ("glue",)),
    Work("re-glossing, coating", "R3", ("recoating",)),
    Work("trimming", "R2", ("trimming",)),
    Work("replacement of cover or pages", "R3", ("part-replacement",)),
    Work("deacidification", "R2", ("deacidification",)),
    Work("rebinding", "R3", ("rebinding",)),
    Work("freezing, anoxia, cleaning off mould", "R2", ("freezing-anoxia", "mould-cleaning")),
)
ROWS: Final = [(work, name) for work in WORKS for name in work.rows]

HAZARDS: Final = {
    HOT: {"hot-press-dry", "hot-press-humidified", "local-heat"},
    SOLVENT: {"solvent-spot-cleaning", "bleaching", "tape-removal", "recoating", "deacidification"},
    MOULD: {"mould-cleaning", "freezing-anoxia"},
    BLADES: {
        "staple-removal",
        "staple-refit",
        "staple-replacement-hold",
        "staple-replacement-looks",
        "trimming",
        "part-replacement",
        "rebinding",
        "holder-removal",
    },
}
"""What hands, eyes and lungs meet at each; common practice, no source."""


def test_all_23_kinds_of_work_are_there() -> None:
    assert len(WORKS) == 23
    known = {each.id for each in techniques()}
    assert {name for _, name in ROWS} <= known
    assert len({name for _, name in ROWS}) == len(ROWS) == 31


def test_what_is_there_beside_them_is_work_on_staples_ink_by_hand_or_what_the_book_lies_in() -> None:
    assert {each.id for each in techniques()} - {name for _, name in ROWS} == {
        "staple-removal",
        "staple-refit",
        "signature",
        "holder-removal",
        "encapsulation",
        "housing",
        "buffered-interleaf",
        "odour-absorption",
    }


@pytest.mark.parametrize(("work", "name"), ROWS, ids=[name for _, name in ROWS])
def test_each_must_be_recorded_as_fully_as_its_kind_of_work(work: Work, name: str) -> None:
    assert technique(name).record_level == work.level, work.name


@pytest.mark.parametrize("each", techniques(), ids=lambda each: each.id)
def test_each_has_its_material_facts_its_aim_the_trade_view_what_to_record_and_its_cautions(each: Technique) -> None:
    assert {type(each.adds), type(each.removes_original), type(each.alters)} == {Fact}
    assert isinstance(each.purpose, Purpose)
    told = (
        each.reversible,
        each.detectable_by,
        each.aim,
        each.trade_view,
        each.where_views_differ,
        each.record_also,
        each.side_effects,
        each.sentence,
    )
    assert all(text.strip() for text in told)
    assert each.aims or "None of the three aims" in each.aim
    assert each.record.startswith("Date, who, tool and settings")
    assert each.record_also in each.record
    assert each.sources


@pytest.mark.parametrize("hazard", HAZARDS)
def test_whatever_is_hot_a_solvent_mould_or_a_blade_has_that_caution(hazard: str) -> None:
    found = {each.id for each in techniques() if each.caution is caution(hazard)}
    assert found == HAZARDS[hazard]
    assert {each.id for each in techniques() if each.needs_heat} == HAZARDS[HOT]
