"""Techniques: facts, aim and trade view apart; the heading worked out; a caution where hands are at risk."""

import re
from itertools import combinations
from pathlib import Path

import pytest

from ledger.rules import _tables
from ledger.rules.cautions import caution, cautions
from ledger.rules.headings import Fact, Heading, Purpose
from ledger.rules.techniques import Technique, TechniqueError, technique, techniques

ENDING = "Follow local codes; for valuable or unstable books ask a paper conservator."

# Common practice, no source, for the names; the heading follows from facts and purpose.
EXPECTED = {
    Heading.NON_ADDITIVE: (
        "dry-cleaning erase-pencil rest-under-weight cold-press hot-press-dry hot-press-humidified humidification "
        "local-heat staple-cleaning staple-refit holder-removal encapsulation housing freezing-anoxia mould-cleaning "
        "odour-absorption"
    ),
    Heading.CONSERVATION: (
        "washing-acids tear-sealing split-reinforcement staple-removal staple-replacement-hold lining deacidification"
    ),
    Heading.NOT_SETTLED: "solvent-spot-cleaning tape-removal buffered-interleaf",
    Heading.RESTORATION: (
        "washing-stains bleaching staple-replacement-looks leaf-casting infill graft colour-touch signature glue "
        "recoating trimming part-replacement rebinding"
    ),
}


@pytest.mark.parametrize("found", Heading)
def test_each_technique_comes_under_the_heading_of_its_facts_and_purpose(found: Heading) -> None:
    assert {each.id for each in techniques() if each.heading is found} == set(EXPECTED[found].split())


def test_the_heading_is_stored_in_no_row() -> None:
    assert all("heading" not in row.fields for row in _tables.table("techniques").rows)


@pytest.mark.parametrize("name", ["cold-press", "hot-press-dry", "hot-press-humidified", "local-heat"])
def test_pressing_adds_nothing_and_says_that_by_aim_it_is_nearest_to_restoration(name: str) -> None:
    # Source: ICOM-CC 2008: restoration is direct action on a stable item to help appreciation; groups differ by aim.
    pressing = technique(name)
    assert (pressing.adds, pressing.removes_original, pressing.alters) == (Fact.NO, Fact.NO, Fact.NO)
    assert pressing.aim.startswith("Nearest to restoration")
    assert "restoration" in pressing.aims
    assert pressing.side_effects


def test_heat_ages_and_the_side_effects_say_so_beside_the_facts() -> None:
    heated = [each for each in techniques() if each.needs_heat]
    assert {each.id for each in heated} == {"hot-press-dry", "hot-press-humidified", "local-heat"}
    for each in heated:
        assert each.alters is Fact.NO
        assert re.search(r"[Hh]eat.* ages? ", each.side_effects)
        assert each.caution is caution("hot-tool")


def test_dirt_is_not_original_material() -> None:
    assert technique("dry-cleaning").removes_original is Fact.NO
    assert "Dirt is not original material" in technique("dry-cleaning").aim


def test_a_signature_is_a_row_of_its_own_with_a_sentence_of_its_own() -> None:
    signature, touch = technique("signature"), technique("colour-touch")
    assert signature.adds is Fact.YES
    assert "Ink was added by hand" in signature.sentence
    assert "not colour touch" in signature.sentence
    assert signature.sentence != touch.sentence


def test_trimming_removes_original_paper_for_ever_and_says_so() -> None:
    trimming = technique("trimming")
    assert (trimming.removes_original, trimming.purpose, trimming.reversible) == (Fact.YES, Purpose.APPEARANCE, "no")
    assert "cannot be put back" in trimming.sentence


def test_deacidification_is_remedial_as_the_published_definition_says() -> None:
    # Source: ICOM-CC 2008 names the deacidification of paper among its examples of remedial conservation.
    assert technique("deacidification").aims == ("remedial",)


def test_staples_are_replaced_under_two_rows_because_the_purpose_is_never_chosen_per_step() -> None:
    purposes = {name: technique(f"staple-replacement-{name}").purpose for name in ("hold", "looks")}
    assert purposes == {"hold": Purpose.STABILISE, "looks": Purpose.APPEARANCE}


def test_where_a_fact_is_open_the_row_says_that_each_step_must_answer_it() -> None:
    for each in techniques():
        if each.heading is Heading.NOT_SETTLED:
            assert re.search(r"answered", each.aim + each.where_views_differ), each.id


@pytest.mark.parametrize("each", techniques(), ids=lambda each: each.id)
def test_every_row_tells_the_three_axes_apart_and_how_it_can_be_detected(each: Technique) -> None:
    assert re.fullmatch(r"[a-z][a-z-]{1,39}", each.id)
    texts = (each.title, each.side_effects, each.detectable_by, each.aim, each.trade_view, each.where_views_differ)
    assert all(texts)
    assert all(text.endswith(".") for text in texts[1:])
    assert set(each.aims) <= {"preventive", "remedial", "restoration"}
    assert each.sentence.endswith(".")
    assert each.record.endswith(".")
    assert "before and after" in each.record
    assert any(source == "common practice, no source" for source in each.sources)


def test_no_two_techniques_say_the_same_of_a_book() -> None:
    for one, other in combinations(techniques(), 2):
        assert one.sentence != other.sentence
        assert one.title != other.title


def test_the_words_never_say_unrestored_and_never_the_years_of_an_oven() -> None:
    folder = Path(_tables.__file__).parent / "tables"
    for path in folder.iterdir():
        text = path.read_text(encoding="utf-8").casefold()
        assert "unrestored" not in text
        assert "25 years" not in text


def test_a_technique_that_is_not_in_the_table_is_named() -> None:
    with pytest.raises(TechniqueError) as caught:
        technique("magic")
    assert caught.value.name == "magic"


def test_every_caution_is_used_or_hangs_a_book_and_ends_with_who_to_ask() -> None:
    # Common practice and safety advice from memory; the ending is the same everywhere.
    assert set(cautions()) == {"hot-tool", "solvent", "mould", "blades", "lifting"}
    assert all(each.text.endswith(ENDING) for each in cautions().values())
    used = {each.caution.key for each in techniques() if each.caution}
    assert used == set(cautions())


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("hot-tool", ["burn", "fire", "stay with it", "circuit of its own"]),
        ("solvent", ["safety data sheet", "vapour", "flames"]),
        ("mould", ["closed bag", "mask", "gloves"]),
        ("blades", ["eye protection", "shards", "seals first"]),
        ("lifting", ["Hang", "rated above the load"]),
    ],
)
def test_a_caution_names_its_dangers(key: str, words: list[str]) -> None:
    assert all(word in caution(key).text for word in words)
