"""Condition, marks and photographs in a record: first and last look with maps to scale, what changed, pictures in order."""

from dataclasses import replace

import pytest

from ledger.disclosed import disclosed_sheet
from ledger.events._parts import Answer, Face, Light, Mark, Region
from ledger.events.examination import Tone
from ledger.events.photograph import Crop
from ledger.proof.sheet import Spot, Words
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import a_defect, a_purchase, an_examination, an_intervention
from tests.saying.saying import (
    a_photograph,
    facts_of,
    lines_of,
    maps_of,
    pictures_of,
    rows_of,
    section,
    sheet_of,
    telling_of,
    text_of,
)

FIRST = an_examination(
    "2024-02-05",
    height_mm="260",
    width_mm="170",
    defects=(
        a_defect("d1", region=Region(x_mm="10", y_mm="20.5")),
        a_defect("d2", "tear", face=Face.BACK, size_mm="6", breaks_colour=Answer.YES),
    ),
    examiner=Sealed.of("Q. Looker"),
    presents_as=Grade.parse("7.0"),
)
LAST = an_examination(
    "2024-04-01",
    rest_hours=200,
    defects=(a_defect("d1", gone=True, size_mm=None), a_defect("d3", "stain", face=Face.SPINE, share_percent=4)),
    presents_as=Grade.parse("8.0"),
    tone=Tone.IVORY,
)


def test_a_book_that_nobody_looked_at_says_so_and_has_no_map() -> None:
    said = section(sheet_of(a_purchase()), "condition")
    assert "Nobody has entered a look at this book" in text_of(said)
    assert maps_of(said) == []


def test_one_look_is_told_once() -> None:
    sheet = sheet_of(a_purchase(), FIRST)
    assert [each.id for each in sheet.sections if "look" in each.id or each.id == "changes"] == ["last-look"]
    assert section(sheet, "last-look").title == "Condition at the one look"


def test_the_first_and_the_last_look_are_told_each_with_its_faults() -> None:
    sheet = sheet_of(a_purchase(), FIRST, an_intervention(), LAST)
    first, last = section(sheet, "first-look"), section(sheet, "last-look")
    assert [each["No."] for each in rows_of(first)] == ["d1", "d2"]
    assert rows_of(first)[0] == {
        "No.": "d1",
        "Fault": "Bend or finger dent",
        "Face": "front",
        "Where on it": "10 mm from the left, 20.5 mm from the top",
        "Measured": "12 mm",
        "Breaks colour": "no",
        "Last seen": "entry 2",
    }
    assert [each["No."] for each in rows_of(last)] == ["d2", "d3"]
    assert rows_of(last)[0]["Last seen"] == "entry 2", "the last look did not name it"
    assert "Known before and gone by then: d1 (Bend or finger dent)." in lines_of(last)
    assert facts_of(first)["Looked"] == "“Q. Looker”"
    assert facts_of(last)["Paper tone"] == "ivory"
    assert "weight" in facts_of(last)["Not known"]


def test_a_look_without_a_fault_does_not_say_that_there_is_none() -> None:
    said = section(sheet_of(a_purchase(), an_examination()), "last-look")
    assert "No fault was named, which is not to say that there is none." in lines_of(said)


def test_what_changed_is_told_for_every_look_after_the_first() -> None:
    between = an_examination("2024-03-20", defects=(a_defect("d1", size_mm="5"),), rest_hours=3)
    sheet = sheet_of(a_purchase(), FIRST, an_intervention(), between, LAST)
    second, third = lines_of(section(sheet, "changes"))[1:]
    assert second.startswith("20 March 2024 (entry 4). After the work of entry 3.")
    assert "may come back" in second
    assert "Lessened: d1 (Bend or finger dent)" in second
    assert "not looked at: d2 (Tear)" in second
    assert "The book had rested for a week or more." in third
    assert "Gone: d1 (Bend or finger dent)" in third
    assert "new: d3 (Stain or foxing)" in third
    assert "Presents as: 8.0, before 7.0" in third


def test_a_book_that_became_smaller_asks_for_a_reason() -> None:
    smaller = an_examination("2024-04-01", height_mm="256")
    said = lines_of(section(sheet_of(a_purchase(), FIRST, smaller), "changes"))[1]
    assert "Height: 256, before 260" in said
    assert "asks for a reason" in said


def test_the_map_is_to_scale_back_spine_and_front_side_by_side() -> None:
    """Worked by hand: two sides of 170 mm and a spine of 3 mm that is drawn 9 mm wide are 349 mm in all."""
    defects = (
        a_defect("d1", region=Region(x_mm="10", y_mm="20.5")),
        a_defect("d2", "tear", face=Face.BACK, size_mm="6", region=Region(x_mm="160", y_mm="40", height_mm="6"), breaks_colour=Answer.YES),
        a_defect("d3", "stain", face=Face.SPINE, share_percent=4, region=Region(x_mm="1", y_mm="100", width_mm="2", height_mm="30.125")),
    )  # fmt: skip
    (drawn,) = maps_of(section(sheet_of(a_purchase(), replace(FIRST, defects=defects)), "last-look"))
    assert (drawn.width, drawn.height, drawn.folds) == ("349", "260", ("170", "179"))
    assert drawn.spots == (
        Spot("d1", "189", "20.5"),
        Spot("d2", "160", "40", "160", "46", "line", solid=True),
        Spot("d3", "173", "100", "179", "130.12", "area"),
    )
    assert "170 by 260 mm a side" in drawn.words


def test_a_book_that_nobody_measured_is_drawn_at_the_usual_size_and_that_is_said() -> None:
    look = an_examination(defects=(a_defect(region=Region(x_mm="0", y_mm="0")),))
    (drawn,) = maps_of(section(sheet_of(a_purchase(), look), "last-look"))
    assert (drawn.width, drawn.height) == ("365", "262")
    assert "as is usual, for it was not measured" in drawn.words


def test_the_first_map_knows_nothing_of_later_measures() -> None:
    before = an_examination("2024-02-03", defects=(a_defect(region=Region(x_mm="5", y_mm="5")),))
    sheet = sheet_of(a_purchase(), before, FIRST)
    assert maps_of(section(sheet, "first-look"))[0].width == "365"
    assert maps_of(section(sheet, "last-look"))[0].width == "349"


@pytest.mark.parametrize(
    "place",
    [
        None,
        Region(x_mm="171", y_mm="5"),
        Region(x_mm="5", y_mm="5", width_mm="170"),
        Region(x_mm="5", y_mm="250", height_mm="11"),
        Region(x_mm="999999.999", y_mm="0"),
    ],
)
def test_what_has_no_place_on_the_map_is_not_drawn_at_another(place: Region | None) -> None:
    look = replace(FIRST, defects=(a_defect(region=place),))
    assert maps_of(section(sheet_of(a_purchase(), look), "last-look")) == []


@pytest.mark.parametrize("size", [{"height_mm": "0", "width_mm": "0"}, {"height_mm": "999999", "width_mm": "170"}])
def test_of_a_size_that_no_book_has_no_map_is_drawn(size: dict[str, str]) -> None:
    look = an_examination(defects=(a_defect(region=Region(x_mm="0", y_mm="0")),), **size)
    assert maps_of(section(sheet_of(a_purchase(), look), "last-look")) == []


def test_marks_have_a_place_to_lay_one_s_own_photograph_over_theirs() -> None:
    mark = Mark(id="m1", what="Blue fibre", face=Face.BACK, region=Region(x_mm="3", y_mm="4"), photograph="b" * 64)
    look = replace(FIRST, marks=(mark, Mark(id="m2", what="Short staple leg", face=Face.STAPLES)))
    sheet = sheet_of(a_purchase(), look, a_photograph("a"), a_photograph("b", face=Face.DETAIL))
    said = section(sheet, "marks")
    assert "Lay your own photograph over the one here" in lines_of(said)[0]
    assert [(each.sha256, each.words) for each in pictures_of(said)] == [
        ("b" * 64, "Mark m1, Blue fibre (photograph of entry 4).")
    ]
    assert [each.label for each in maps_of(said)[0].spots] == ["m1"]
    assert [each["Mark"] for each in rows_of(said)] == ["Blue fibre", "Short staple leg"]
    assert sheet.pictures == ("b" * 64, "a" * 64), "each once"
    assert any(each.startswith("Shown among the marks: detail") for each in lines_of(section(sheet, "photographs")))


def test_without_marks_it_says_that_it_cannot_help_to_tell_copies_apart() -> None:
    assert "No mark of this copy was entered" in text_of(section(sheet_of(a_purchase()), "marks"))


def test_photographs_of_one_view_stand_side_by_side_before_and_after() -> None:
    sheet = sheet_of(
        a_purchase(),
        a_photograph("a", "2024-02-06"),
        a_photograph("b", "2024-02-06", face=Face.BACK, caption=Sealed.of("Sun from the left")),
        a_photograph("c", "2024-02-06", light=Light.RAKING),
        an_intervention(when="2024-03-10"),
        a_photograph("d", "2024-03-20"),
        a_photograph("e", "2024-03-20", face=Face.BACK),
    )
    said = section(sheet, "photographs")
    assert [each.sha256[0] for each in pictures_of(said)] == ["a", "d", "b", "e", "c"]
    assert [each.words for each in pictures_of(said)][:3] == [
        "front, normal light, 6 February 2024 (entry 2). Before any work here.",
        "front, normal light, 20 March 2024 (entry 6). After the work of entry 5.",
        "back, normal light, 6 February 2024 (entry 3). Before any work here. Caption: “Sun from the left”.",
    ]


def test_a_photograph_that_does_not_go_with_the_record_is_named_and_not_shown() -> None:
    telling = telling_of(a_purchase(), a_photograph("a"), a_photograph("b", face=Face.BACK))
    sheet = disclosed_sheet(replace(telling, pictures={3: "b" * 64}))
    said = section(sheet, "photographs")
    assert sheet.pictures == ("b" * 64,)
    assert [each for each in said.blocks if isinstance(each, Words)][-1].lines == (
        "Not with this record: front, normal light, 6 February 2024 (entry 2). No work was entered here.",
    )


def test_two_parts_of_one_picture_are_one_picture() -> None:
    left = Crop(x_percent=0, y_percent=0, width_percent=50, height_percent=100)
    sheet = sheet_of(a_purchase(), a_photograph("a", region=left), a_photograph("a", face=Face.BACK, region=left))
    said = section(sheet, "photographs")
    assert [each.sha256[0] for each in pictures_of(said)] == ["a"]
    assert "A part of a picture of several books." in text_of(said)
    assert any(each.startswith("The same picture as one above: back") for each in lines_of(said))
