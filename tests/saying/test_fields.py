"""What looks and steps can say since they say more: claims of others, staples, notes, lines, ends of steps, hand-over."""

from typing import Any

import pytest

from ledger.events import Event
from ledger.events._parts import Answer, Face, OpinionOf, Region
from ledger.events._step import Ended, MaterialUsed
from ledger.events.arrival import Arrival, Stage
from ledger.events.note import Note
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Gone
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Submission
from ledger.events.submission import Stage as Sent
from ledger.events.withdrawal import Withdrawal
from ledger.proof.sheet import Spot
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, on, worked_on
from tests.saying.saying import (
    a_photograph,
    facts_of,
    lines_of,
    maps_of,
    pictures_of,
    rows_of,
    section,
    sheet_of,
    text_of,
)

CLAIM = a_defect("d9", "tear", face=Face.BACK, claimed_by=OpinionOf.SELLER, region=Region(x_mm="3", y_mm="4"))
SOLD = Sale(on=on("2024-05-01"), disclosed=Disclosed.NOTHING)
NOTE = Note(words=Sealed.of("By letter"))
LATER = "Written down after hand-over."


def test_what_others_claim_stands_apart_by_whom_and_in_no_table_and_on_no_map() -> None:
    said = section(sheet_of(a_purchase(), an_examination(defects=(CLAIM,))), "last-look")
    assert lines_of(said)[-2:] == [
        "Claimed by others, and not seen here:",
        "d9 (Tear, back), claimed by the seller (entry 2).",
    ]
    assert rows_of(said) == []
    assert maps_of(said) == []


def test_of_a_claim_a_look_that_went_over_its_face_and_did_not_name_it_is_told() -> None:
    passed = an_examination("2024-03-01", faces_looked_at=(Face.BACK,))
    said = section(sheet_of(a_purchase(), an_examination(defects=(CLAIM,)), passed), "last-look")
    assert lines_of(said)[-1] == (
        "d9 (Tear, back), claimed by the seller (entry 2). "
        "A look since went over its face and did not name it (entry 3)."
    )


def test_a_claim_that_a_look_sees_is_a_fault_from_then_on_and_a_claim_no_longer() -> None:
    seen = an_examination("2024-03-01", defects=(a_defect("d9", "tear", face=Face.BACK, breaks_colour=Answer.YES),))
    sheet = sheet_of(a_purchase(), an_examination(defects=(CLAIM,)), seen)
    assert [each["No."] for each in rows_of(section(sheet, "last-look"))] == ["d9"]
    assert "Claimed by others" not in text_of(section(sheet, "last-look"))
    assert "Seen as it had been claimed: d9 (Tear)." in text_of(section(sheet, "changes"))


def test_no_words_of_a_record_say_that_a_claim_was_seen() -> None:
    events: tuple[Event, ...] = (
        a_purchase(),
        an_examination(defects=(CLAIM,)),
        a_photograph("a", face=Face.BACK, of_defect="d9"),
        an_intervention(when="2024-03-10", worked_defects=worked_on("d9 gone")),
        an_examination("2024-04-01", faces_looked_at=(Face.BACK,)),
    )
    sheet = sheet_of(*events)
    told = [line for line in text_of(sheet).splitlines() if "d9" in line]
    allowed = ("claimed by the seller", "others claim", "That is a claim", "Worked on: d9", "defect d9")
    assert len(told) >= 4
    for line in told:
        assert any(each in line for each in allowed), line
    assert rows_of(section(sheet, "entries"))[1]["What it says"].startswith("Examination: 1 claimed by others")


def test_a_photograph_of_what_is_only_claimed_shows_no_fault_and_one_named_by_a_fault_does() -> None:
    shot, macro = a_photograph("a", face=Face.BACK, of_defect="d9"), a_photograph("b", "2024-02-07", face=Face.DETAIL)
    named = an_examination("2024-02-08", defects=(a_defect("d1", photograph="b" * 64),))
    said = section(sheet_of(a_purchase(), an_examination(defects=(CLAIM,)), shot, macro, named), "photographs")
    first, second = (each.words for each in pictures_of(said))
    assert "Taken of fault d9, which others claim and no look here has seen." in first
    assert "It shows fault" not in first
    assert "It shows fault d1." in second


def test_a_fault_that_is_named_by_its_photograph_and_names_it_is_told_once() -> None:
    shot = a_photograph("b", of_defect="d1")
    again = an_examination("2024-02-08", defects=(a_defect("d1", photograph="b" * 64),))
    sheet = sheet_of(a_purchase(), an_examination(defects=(a_defect("d1"),)), shot, again)
    assert text_of(section(sheet, "photographs")).count("It shows fault d1.") == 1


def test_technical_grade_faces_and_staples_are_told_and_what_was_not_said_is_not_known() -> None:
    look = an_examination(
        presents_as=Grade.parse("8.0"),
        technical=Grade.parse("6.5"),
        faces_looked_at=(Face.FRONT, Face.SPINE),
        staples_counted=2,
        staple_rust=Answer.NO,
    )
    facts = facts_of(section(sheet_of(a_purchase(), look), "last-look"))
    assert (facts["Presents as"], facts["Technical grade"]) == ("8.0", "6.5")
    assert facts["Faces gone over as a whole"] == "front, spine"
    assert (facts["Staples counted"], facts["Rust at the staples"]) == ("2", "no")
    bare = facts_of(section(sheet_of(a_purchase(), an_examination()), "last-look"))
    names = ("Technical grade", "Faces gone over as a whole", "Staples counted", "Rust at the staples")
    assert [bare[each] for each in names] == ["not known"] * 4
    none = facts_of(section(sheet_of(a_purchase(), an_examination(staples_counted=0)), "last-look"))
    assert none["Staples counted"] == "0", "none is a number too"


def test_a_fault_is_told_with_its_note_and_its_line_and_drawn_from_end_to_end() -> None:
    """Worked by hand: the front begins at 170 and 9 mm, so a line from 10 to 40 runs from 189 to 219."""
    line = Region(x_mm="10", y_mm="20", to_x_mm="40", to_y_mm="60.5")
    crease = a_defect("d1", "bend", region=line, size_mm="50", note="follows the fold")
    said = section(
        sheet_of(a_purchase(), an_examination(height_mm="260", width_mm="170", defects=(crease,))), "last-look"
    )
    assert rows_of(said)[0]["Where on it"] == "a line from 10 mm from the left and 20 mm from the top to 40 and 60.5 mm"
    assert rows_of(said)[0]["Measured"] == "50 mm; “follows the fold”"
    assert maps_of(said)[0].spots == (Spot("d1", "189", "20", "219", "60.5", "line"),)


@pytest.mark.parametrize("end", [{"to_x_mm": "171", "to_y_mm": "5"}, {"to_x_mm": "5", "to_y_mm": "261"}])
def test_a_line_that_runs_over_the_edge_of_the_map_is_not_drawn(end: dict[str, str]) -> None:
    over = a_defect(region=Region(x_mm="1", y_mm="1", **end))
    look = an_examination(height_mm="260", width_mm="170", defects=(over,))
    assert maps_of(section(sheet_of(a_purchase(), look), "last-look")) == []


def test_what_a_look_went_over_and_did_not_name_is_told_apart_from_what_it_did_not_look_at() -> None:
    first = an_examination(defects=(a_defect("d1"), a_defect("d2", "stain", face=Face.BACK)))
    second = an_examination("2024-03-01", faces_looked_at=(Face.FRONT,))
    said = text_of(section(sheet_of(a_purchase(), first, second), "changes"))
    assert "ot looked at: d2 (Stain or foxing)" in said
    assert "one over and not mentioned, so as before: d1 (Bend or finger dent)" in said


def test_a_fault_that_grew_in_small_steps_is_told_as_that() -> None:
    sizes = ("12", "12.5", "13", "13.5", "14", "14.5", "15")
    looks = [
        an_examination(f"2024-0{month}-01", defects=(a_defect("d1", size_mm=size),))
        for month, size in enumerate(sizes, 3)
    ]
    said = text_of(section(sheet_of(a_purchase(), *looks), "changes"))
    assert "orse: d1 (Bend or finger dent; in small steps, none of which was more than natural)" in said
    at_once = an_examination("2024-04-01", defects=(a_defect("d1", size_mm="30"),))
    assert "orse: d1 (Bend or finger dent)." in text_of(section(sheet_of(a_purchase(), looks[0], at_once), "changes"))


def test_a_rest_that_is_read_from_the_dates_is_told_as_that() -> None:
    """Worked by hand: from 10 to 20 March are ten days, 240 hours."""
    work, after = an_intervention(when="2024-03-10"), an_examination("2024-03-20")
    read = facts_of(section(sheet_of(a_purchase(), work, after), "last-look"))
    assert read["Rest before it"] == "240 hours, read from the dates"
    said = facts_of(section(sheet_of(a_purchase(), work, an_examination("2024-03-20", rest_hours=200)), "last-look"))
    assert said["Rest before it"] == "200 hours"


def statement_of(**changes: Any) -> str:
    look = an_examination(defects=(a_defect("d1"), a_defect("d2"), a_defect("d3")))
    return text_of(section(sheet_of(a_purchase(), look, an_intervention(**changes)), "statement"))


def test_what_is_said_right_after_a_step_is_told_as_a_claim_and_silence_is_no_outcome() -> None:
    text = statement_of(worked_defects=worked_on("d1 gone", "d2 same", "d3"))
    assert "Said right after the step: d1 gone, d2 same. That is a claim; the look after a rest decides." in text
    assert "Worked on: d1, d2, d3." in text
    assert "Said right after" not in statement_of(worked_defects=worked_on("d3"))


@pytest.mark.parametrize(
    ("ended", "words"),
    [(Ended.CUT_OFF, "It was cut off before its end."), (Ended.GONE_WRONG, "It went wrong.")],
)
def test_a_step_that_did_not_end_as_planned_is_told_so(ended: Ended, words: str) -> None:
    assert words in statement_of(ended=ended)
    assert words not in statement_of(ended=Ended.AS_PLANNED)
    assert words not in statement_of()


def test_the_hands_minutes_and_materials_with_and_without_a_batch_are_told() -> None:
    materials = (MaterialUsed(what="sponge", batch="44-C"), MaterialUsed(what="blotter"))
    text = statement_of(materials=materials, duration_minutes=35)
    assert "With: sponge (batch 44-C), blotter." in text
    assert "Work of the hands: 35 min." in text
    assert "MaterialUsed" not in text


def later_of(*events: Event) -> list[int]:
    rows = rows_of(section(sheet_of(*events), "entries"))
    return [int(each["Entry"]) for each in rows if LATER in each["What it says"]]


LOST = (
    Submission(on=on("2024-04-01"), stage=Sent.SENT, batch="b1", asks=Ask.GRADE),
    Slab(on=on("2024-05-01"), batch="b1", outcome=Outcome.LOST),
)


@pytest.mark.parametrize(
    "left",
    [
        (SOLD,),
        (Sale(on=on("2024-05-01"), means=Gone.GIFT, disclosed=Disclosed.NOTHING),),
        (Sale(on=on("2024-05-01"), means=Gone.LOST, disclosed=Disclosed.NOT_APPLICABLE),),
        (Arrival(on=on("2024-05-01"), stage=Stage.SENT_BACK),),
        LOST,
    ],
)
def test_whatever_ended_the_ownership_what_is_written_behind_it_is_told_so(left: tuple[Event, ...]) -> None:
    assert later_of(a_purchase(), NOTE, *left, NOTE, NOTE) == [len(left) + 3, len(left) + 4]


def test_a_step_told_of_a_day_before_the_sale_and_written_after_it_says_so_itself() -> None:
    events = (a_purchase(), an_intervention(when="2024-03-10"), SOLD, an_intervention("cold-press", "2024-03-11"))
    sheet = sheet_of(*events)
    assert later_of(*events) == [4]
    lines = text_of(section(sheet, "statement"))
    assert f"11 March 2024 (entry 4). {LATER}" in lines
    assert lines.count(LATER) == 1


def test_between_a_sale_and_a_return_it_is_after_hand_over_and_behind_the_return_it_is_not() -> None:
    back = a_purchase("2024-07-01", means=Means.CAME_BACK)
    assert later_of(a_purchase(), SOLD, NOTE, back, NOTE) == [3]
    again = Sale(on=on("2024-08-01"), disclosed=Disclosed.NOTHING)
    assert later_of(a_purchase(), SOLD, NOTE, back, NOTE, again, NOTE) == [3, 7]


def test_a_purchase_entered_late_does_not_bring_a_sold_book_back() -> None:
    """The first time here is entered after the second, which has ended: numbers stand against dates."""
    first, gone = a_purchase("2020-02-01"), Sale(on=on("2020-05-01"), disclosed=Disclosed.NOTHING)
    assert later_of(a_purchase(), SOLD, first, gone, NOTE) == [3, 4, 5]


def test_what_is_written_after_a_sale_and_withdrawn_was_written_after_it_all_the_same() -> None:
    undone = Withdrawal(entry=4, reason=Sealed.of("Slip."))
    assert later_of(a_purchase(), NOTE, SOLD, NOTE, undone) == [4, 5]


def test_a_sale_that_was_withdrawn_ended_nothing() -> None:
    undone = Withdrawal(entry=2, reason=Sealed.of("It fell through."))
    assert later_of(a_purchase(), SOLD, undone, NOTE) == []
