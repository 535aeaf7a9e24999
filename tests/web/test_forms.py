"""Forms: every kind has one that takes what its vectors say and makes the same event; problems land at their fields."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest

from ledger.errors import InvalidError, Problem
from ledger.events import KINDS
from ledger.store.codec import EventCodec
from tests.web.typed import HABITS, vectors
from web.form_fields import Leaf, Option, Rows, Way
from web.form_kinds import FIRST, FOLDS, PER_BOOK
from web.form_parts import parts_of
from web.form_reading import input_names
from web.form_showing import Block, Field, Shown, View
from web.form_values import Habits
from web.forms import Typed, form_of, strangers

CODEC = EventCodec()
CASES = [(kind, values) for kind, values in vectors() if kind != "correction"]
"""A correction has the form of what it corrects; test_new_entry sends that."""


def fields_in(parts: Sequence[Shown]) -> Iterator[Field]:
    for part in parts:
        if isinstance(part, Block):
            yield from fields_in(part.parts)
        else:
            yield part


def blocks_in(parts: Sequence[Shown]) -> Iterator[Block]:
    for part in parts:
        if isinstance(part, Block):
            yield part
            yield from blocks_in(part.parts)


def typed(**values: str | tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """Inputs by name; two underscores stand for a point."""
    return {name.replace("__", "."): (value,) if isinstance(value, str) else value for name, value in values.items()}


def problems_of(kind: str, given: Typed, habits: Habits = HABITS) -> dict[str, str]:
    form = form_of(kind)
    plain, heard = form.heard(given, habits)
    with pytest.raises(InvalidError) as caught:
        form.event(plain, heard, CODEC)
    return {problem.field: problem.sentence for problem in caught.value.problems}


@pytest.mark.parametrize(("kind", "values"), CASES)
def test_every_kind_has_a_form_that_makes_the_event_its_vector_says(kind: str, values: dict[str, Any]) -> None:
    form = form_of(kind)
    given = form.inputs(values, HABITS)
    plain, heard = form.heard(given, HABITS)
    assert form.event(plain, heard, CODEC) == CODEC.read(kind, values)
    assert strangers(given, heard.names) == []


def test_no_kind_is_without_a_vector_to_type_in() -> None:
    assert {kind for kind, _ in vectors()} == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_form_shows_every_field_of_its_kind_once(kind: str) -> None:
    form = form_of(kind)
    given = {name: ("x",) for part in form.parts if isinstance(part, Rows) for name in [f"{part.name}.0.any"]}
    shown = [field.name for field in fields_in(form.shown(View(typed=given)))]
    assert sorted(shown) == sorted(name for name, _ in input_names(form.parts, given))
    assert len(shown) == len(set(shown))


@pytest.mark.parametrize("kind", FOLDS)
def test_what_folds_away_and_what_differs_from_book_to_book_are_fields_of_the_kind(kind: str) -> None:
    paths = {part.name for part in parts_of(KINDS[kind])} | {name for name, _ in input_names(parts_of(KINDS[kind]), {})}
    folded = [name for fold in FOLDS[kind] for name in fold.fields]
    assert set(folded) | set(FIRST.get(kind, ())) | set(PER_BOOK.get(kind, ())) <= paths
    assert len(folded) == len(set(folded))


def test_fields_stand_in_the_order_of_the_kind() -> None:
    names = [part.name for part in form_of("choice").shown(View(typed={}))]
    assert names == ["on", "next", "why"]


def test_the_way_a_field_asks_follows_from_its_type() -> None:
    sent = {"regions.0.face": ("",), "materials.0.what": ("",), "worked_defects.0.id": ("",)}
    ways = {name: leaf.way for name, leaf in input_names(parts_of(KINDS["intervention"]), sent)}
    assert ways["on"] is Way.DATE
    assert ways["technique"] is Way.PICK
    assert ways["worked_faces"] is Way.TICKS
    assert ways["materials.0.batch"] is Way.LINE
    assert ways["worked_defects.0.outcome"] is Way.CHOOSE
    assert ways["settings.hold_minutes"] is Way.WHOLE
    assert ways["settings.set_celsius"] is Way.DECIMAL
    assert ways["changed_anything"] is Way.CHOOSE
    assert ways["cost"] is Way.MONEY
    assert ways["remark"] is Way.AREA
    assert ways["regions.0.region.x_mm"] is Way.DECIMAL


def test_what_the_ledger_fills_in_is_not_asked_for() -> None:
    names = {part.name for kind in ("intervention", "correction", "erasure") for part in parts_of(KINDS[kind])}
    assert names.isdisjoint({"table_version", "of_kind", "erased"})


def test_techniques_and_defects_are_chosen_by_their_titles() -> None:
    options = dict(leaf_of("intervention", "technique").pairs)
    assert options["hot-press-dry"] == "Hot press, dry"
    rows = next(part for part in parts_of(KINDS["examination"]) if isinstance(part, Rows) and part.name == "defects")
    kind = next(part for part in rows.row.parts if part.name == "type")
    assert isinstance(kind, Leaf)
    assert Option("spine-tick", "Spine tick", "spine-tick") in kind.options
    assert "paper-tone" not in {each.value for each in kind.options}, "it has a field of its own"


def leaf_of(kind: str, name: str) -> Field:
    return next(field for field in fields_in(form_of(kind).shown(View(typed={}))) if field.name == name)


def test_a_sealed_field_says_so_and_whether_a_record_shows_it() -> None:
    assert leaf_of("purchase", "price").seal == "closed"
    assert leaf_of("purchase", "stated_by").seal == "shown"
    assert leaf_of("purchase", "means").seal == ""


def test_units_stand_in_the_label_and_no_note_speaks_to_programs() -> None:
    assert leaf_of("examination", "height_mm").unit == "mm"
    assert leaf_of("examination", "rest_hours").unit == "h"
    for kind in KINDS:
        for field in fields_in(form_of(kind).shown(View(typed={}))):
            assert not any(word in field.note for word in ("null", "Null", "EDTF", "Units")), (kind, field.name)


def test_every_problem_lands_at_its_own_field_in_words_that_say_the_mend() -> None:
    found = problems_of(
        "examination",
        typed(
            on="soon",
            height_mm="tall",
            rest_hours="-3",
            pages_counted="two",
            defects__0__type="bend",
            defects__0__size_mm="12",
            defects__0__id="D 1",
            marks__0__face="front",
        ),
    )
    assert found["height_mm"].startswith("This is no measure in mm.")
    assert found["rest_hours"] == "It is at least 0. Write 0 or more."
    assert found["pages_counted"] == "This is no whole number. Write it in digits, such as 12."
    assert found["defects.0.face"] == "This is needed. Choose one."
    assert found["defects.0.id"] == "It cannot be written so. Write d-1."
    assert found["marks.0.what"] == "This is needed. Write it."
    assert "Write it like 3 April 1998" in found["on"]
    assert set(found) == {
        *("on", "height_mm", "rest_hours", "pages_counted", "defects.0.face", "defects.0.id", "marks.0.what")
    }


def test_a_problem_of_the_event_finds_the_row_it_was_typed_in_though_rows_were_left_blank() -> None:
    form = form_of("examination")
    given = typed(defects__0__id="", defects__1__type="bend", defects__1__face="front", defects__1__size_mm="2")
    plain, heard = form.heard(given, HABITS)
    assert [row["type"] for row in rows(plain["defects"])] == ["bend"]
    (placed,) = heard.placed([Problem(field="defects.0.size_mm", sentence="no")])
    assert placed.field == "defects.1.size_mm"
    assert heard.place_of("defects") == "defects"
    assert heard.place_of("defects.0.region.x_mm") == "defects.1.region.x_mm"
    assert heard.place_of("no.such.field") == ""


def rows(value: object) -> list[Mapping[str, Any]]:
    assert isinstance(value, list)
    return value


def test_a_problem_with_a_group_or_a_list_lands_where_it_is_asked_for() -> None:
    _, heard = form_of("purchase").heard(typed(issue__title="Q"), HABITS)
    assert heard.place_of("stated.steps.1") == "stated.steps"
    assert heard.place_of("stated") == "stated"
    _, heard = form_of("opening").heard(typed(seal_photographs="a\nb"), HABITS)
    assert heard.place_of("seal_photographs.1") == "seal_photographs"
    given = typed(materials__0__batch=" ", materials__1__what="a", materials__2__what="b")
    _, heard = form_of("intervention").heard(given, HABITS)
    assert heard.place_of("materials.1.what") == "materials.2.what", "a row that stayed blank is left out"


def test_a_defect_that_was_seen_before_need_not_be_described_again() -> None:
    seen = {"Defect": {"d1": {"type": "bend", "face": "front"}}}
    form = replace(form_of("examination", taken={"Defect": frozenset({"d1"})}), seen=seen)
    given = typed(defects__0__id="d1", defects__0__size_mm="12", defects__1__id="d1", defects__1__face="back")
    plain, heard = form.heard(given, HABITS)
    assert heard.problems == []
    described = [(row["id"], row["type"], row["face"]) for row in rows(plain["defects"])]
    assert described == [("d1", "bend", "front"), ("d1", "bend", "back")], "what is typed counts"
    _, heard = form.heard(typed(defects__0__id="d7"), HABITS)
    assert {each.field for each in heard.problems} == {"defects.0.type", "defects.0.face"}, "d7 was never seen"


def test_an_answer_that_nobody_chose_takes_nothing_back_of_a_defect_that_was_seen_before() -> None:
    seen = {"Defect": {each: {"type": "bend", "face": "front", "breaks_colour": "yes"} for each in ("d1", "d2")}}
    form = replace(form_of("examination", taken={"Defect": frozenset(seen["Defect"])}), seen=seen)
    given = typed(
        defects__0__id="d1", defects__0__size_mm="12", defects__0__breaks_colour="unsure",
        defects__1__id="d2", defects__1__size_mm="12", defects__1__breaks_colour="no",
    )  # fmt: skip
    plain, heard = form.heard(given, HABITS)
    assert heard.problems == []
    assert [each["breaks_colour"] for each in rows(plain["defects"])] == ["yes", "no"]


def test_a_row_of_a_defect_gets_the_next_id_that_nobody_has() -> None:
    form = form_of("examination", taken={"Defect": frozenset({"d1", "d3"})})
    given = typed(
        defects__0__type="bend",
        defects__0__face="front",
        defects__1__id="d2",
        defects__1__type="tear",
        defects__1__face="back",
        defects__2__type="stain",
        defects__2__face="back",
    )
    plain, heard = form.heard(given, HABITS)
    assert heard.problems == []
    assert [row["id"] for row in rows(plain["defects"])] == ["d4", "d2", "d5"]


def test_an_optional_group_is_left_out_only_when_nothing_was_typed_in_it() -> None:
    given = typed(issue__title="Q", issue__number="1", stated__opinion_of="grading service")
    assert "stated" not in form_of("purchase").heard(given, HABITS)[0]
    found = problems_of("purchase", given | typed(stated__matched_by="holder number"))
    assert found == {"stated.as_written": "This is needed. Write it."}


def test_the_steps_of_a_stated_grade_follow_from_its_words_unless_they_are_chosen() -> None:
    given = typed(issue__title="Q", issue__number="1", stated__as_written="VF/NM")
    plain, heard = form_of("purchase").heard(given, HABITS)
    assert plain["stated"] == {"as_written": "VF/NM", "steps": ["9.0"], "opinion_of": "grading service"} | {
        "matched_by": "not matched"
    }
    assert heard.answers["stated.as_written"].said == "Step 9.0, VF/NM, very fine/near mint"
    chosen = given | {"stated.steps": ("8.0",), "stated.steps:to": ("9.0",)}
    assert form_of("purchase").heard(chosen, HABITS)[0]["stated"]["steps"] == ["8.0", "8.5", "9.0"]  # type: ignore[index, call-overload]
    none = given | {"stated.steps": ("none",)}
    assert form_of("purchase").heard(none, HABITS)[0]["stated"]["steps"] == []  # type: ignore[index, call-overload]
    turned = given | {"stated.steps": ("9.0",), "stated.steps:to": ("8.0",)}
    assert problems_of("purchase", turned) == {"stated.steps": "The highest step lies below the lowest. Change places."}


def test_an_answer_that_is_not_offered_is_refused_wherever_it_is_sent() -> None:
    found = problems_of("choice", typed(next="burn it"))
    assert found == {"next": "This is not one of the answers here. Choose again."}
    assert problems_of("choice", {}) == {"next": "This is needed. Choose one."}
    ticked = problems_of("examination", typed(lights=("normal", "moon")))
    assert ticked == {"lights": "This is not one of the answers here. Choose again."}


def test_a_text_that_is_too_long_is_told_how_long_it_is() -> None:
    found = problems_of("choice", typed(next="stop", why="x" * 4001))
    assert found == {"why": "This has 4,001 characters, and 4,000 is the most. Shorten it."}


def test_rows_that_must_be_there_are_asked_for() -> None:
    assert problems_of("outlook", typed(stage="raw")) == {"weights": "At least one is needed. Fill in a row."}


def test_a_field_that_the_form_does_not_have_is_no_part_of_it() -> None:
    form = form_of("choice")
    given = typed(next="stop", colour="red", key="k", do="write")
    _, heard = form.heard(given, HABITS)
    (problem,) = strangers(given, heard.names)
    assert problem.sentence.startswith("There is no field colour in this form.")


def test_a_gap_in_the_rows_is_no_part_of_the_form() -> None:
    given = typed(weights__0__grade="9.0", weights__7__grade="9.2")
    _, heard = form_of("outlook").heard(given, HABITS)
    assert [problem.sentence.split(" ")[4] for problem in strangers(given, heard.names)] == ["weights.7.grade"]
