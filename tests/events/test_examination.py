"""The examination: its rules, what it changes, its line."""

from types import MappingProxyType
from typing import Any

import pytest

from ledger.book import Book, Look, Status
from ledger.events._parts import Answer, Defect, Face, Holding, Light, Mark, OpinionOf
from ledger.events.examination import Odour, Suppleness, Tone
from ledger.rules.defects import defect_types
from ledger.rules.grades import Grade
from tests.builders import (
    a_book,
    a_defect,
    a_purchase,
    a_slab,
    against,
    an_examination,
    an_opening,
    at,
    broken_rules,
    chain,
    folded,
    shut,
)

SLABBED = a_book(holding=Holding.SLABBED)
MARK = Mark(id="m1", what="a blue fibre", face=Face.BACK)


def claimed(name: str = "d1", kind: str = "bend", **more: Any) -> Defect:
    return a_defect(name, kind, **{"size_mm": None, "claimed_by": OpinionOf.SELLER, **more})


def knowing(**defects: Any) -> Book:
    return a_book(defects=MappingProxyType(defects))


def test_a_light_a_defect_and_a_mark_are_named_once() -> None:
    twice = an_examination(
        lights=(Light.RAKING, Light.NORMAL, Light.RAKING),
        faces_looked_at=(Face.BACK, Face.BACK),
        defects=(a_defect("d1"), a_defect("d1")),
        marks=(MARK, MARK),
    )
    assert broken_rules(twice) == [
        ("examination.1", "lights.2"), ("examination.1", "faces_looked_at.1"), ("examination.1", "defects.1"),
        ("examination.1", "marks.1"),
    ]  # fmt: skip


def test_a_defect_is_of_a_type_of_the_table() -> None:
    assert broken_rules(an_examination(defects=(a_defect(kind="wrinkle"),))) == [("examination.2", "defects.0.type")]


@pytest.mark.parametrize("kind", ["paper-tone", "paper-suppleness"])
def test_paper_has_fields_of_its_own(kind: str) -> None:
    assert broken_rules(an_examination(defects=(a_defect(kind=kind),))) == [("examination.2", "defects.0.type")]


@pytest.mark.parametrize(
    ("kind", "field"),
    [("bend", "size_mm"), ("spine-tick", "count"), ("waviness", "share_percent"), ("staple-rust", "count")],
)
def test_a_defect_that_is_there_is_measured_as_its_type_is(kind: str, field: str) -> None:
    unmeasured = a_defect(kind=kind, size_mm=None)
    assert broken_rules(an_examination(defects=(unmeasured,))) == [("examination.3", f"defects.0.{field}")]


def test_a_defect_that_is_only_there_or_not_and_one_that_has_gone_need_no_measure() -> None:
    assert broken_rules(an_examination(defects=(a_defect(kind="cover-off", size_mm=None),))) == []
    gone = an_examination(defects=(a_defect(size_mm=None, gone=True),))
    assert broken_rules(gone, knowing(d1=a_defect())) == []


def test_a_bend_breaks_no_colour_and_a_crease_does() -> None:
    bend = a_defect(kind="bend", breaks_colour=Answer.YES)
    crease = a_defect(kind="crease", breaks_colour=Answer.NO)
    for wrong in (bend, crease):
        assert broken_rules(an_examination(defects=(wrong,))) == [("examination.4", "defects.0.breaks_colour")]


@pytest.mark.parametrize("row", [row for row in defect_types() if row.measured_by != ("word",)], ids=lambda row: row.id)
def test_every_type_of_the_table_can_be_written_down(row: Any) -> None:
    seen = a_defect(kind=row.id, breaks_colour=Answer.UNSURE, size_mm="3", count=2, share_percent=5)
    assert broken_rules(an_examination(defects=(seen,))) == []


def test_what_has_gone_has_been_seen_before() -> None:
    assert broken_rules(an_examination(defects=(a_defect(gone=True),))) == [("examination.5", "defects.0.gone")]


def test_an_id_keeps_its_type() -> None:
    look = an_examination(defects=(a_defect(kind="edge-dent"),))
    assert broken_rules(look, knowing(d1=a_defect())) == [("examination.6", "defects.0.type")]


def test_a_slabbed_book_is_looked_at_through_its_holder_and_a_raw_one_is_not() -> None:
    assert broken_rules(an_examination(), SLABBED) == [("examination.7", "through_holder")]
    assert broken_rules(an_examination(through_holder=True), a_book()) == [("examination.7", "through_holder")]
    assert broken_rules(an_examination(through_holder=True), SLABBED) == []


@pytest.mark.parametrize("through", [True, False])
def test_at_the_sellers_it_is_looked_at_as_it_lies_there(through: bool) -> None:  # noqa: FBT001  (a parameter)
    at_the_sellers = a_book(status=Status.NOT_YET, holding=None)
    assert broken_rules(an_examination(through_holder=through), at_the_sellers) == []
    assert against([], an_examination(through_holder=through)) == ([], [])


def test_through_a_holder_nothing_is_weighed_felt_or_counted() -> None:
    look = an_examination(
        through_holder=True,
        weight_g="61.5",
        thickness_mm="2.1",
        pages_counted=32,
        suppleness=Suppleness.SUPPLE,
        odour=Odour.NONE,
        height_mm="257",
        tone=Tone.IVORY,
    )
    assert broken_rules(look, SLABBED) == [
        ("examination.8", name) for name in ("weight_g", "thickness_mm", "pages_counted", "suppleness", "odour")
    ]


def test_through_a_holder_the_inside_is_not_seen() -> None:
    mark = Mark(id="m1", what="a misprint", face=Face.INSIDE)
    faces = (Face.FRONT, Face.INSIDE)
    look = an_examination(
        through_holder=True, faces_looked_at=faces, defects=(a_defect(face=Face.INSIDE),), marks=(mark,)
    )
    assert broken_rules(look, SLABBED) == [
        ("examination.8", "faces_looked_at.1"), ("examination.8", "defects.0.face"), ("examination.8", "marks.0.face"),
    ]  # fmt: skip


def test_a_look_keeps_what_it_found_as_the_last_look() -> None:
    look = an_examination(
        presents_as=Grade.parse("9.0"),
        technical=Grade.parse("8.5"),
        rest_hours=72,
        tone=Tone.STRAW,
        suppleness=Suppleness.STIFF,
        completeness=Answer.YES,
        defects=(a_defect(),),
        marks=(MARK,),
    )
    book = look.apply(a_book(), at(4))
    assert book.last_look == Look(
        seq=4,
        on=look.on,
        presents_as=Grade.parse("9.0"),
        technical=Grade.parse("8.5"),
        rest_hours=72,
        tone="straw",
        suppleness="stiff",
        complete="yes",
    )
    assert (dict(book.defects), dict(book.marks)) == ({"d1": a_defect()}, {"m1": MARK})


def test_what_a_look_does_not_name_stays_as_it_was_and_what_has_gone_stays_known() -> None:
    gone = a_defect("d1", size_mm=None, gone=True)
    book = folded(
        a_purchase("2024-02-01"),
        an_examination("2024-02-02", defects=(a_defect("d1"), a_defect("d2"))),
        an_examination("2024-03-01", defects=(gone,)),
    )
    assert dict(book.defects) == {"d1": gone, "d2": a_defect("d2")}


def test_looks_are_told_in_the_order_of_happening() -> None:
    larger, smaller = a_defect(size_mm="20"), a_defect(size_mm="5")
    book = folded(
        a_purchase("2024-02-01"),
        an_examination("2024-05-01", defects=(smaller,)),
        an_examination("2024-03-01", defects=(larger,)),
    )
    assert book.defects["d1"] == smaller
    assert book.last_look is not None
    assert book.last_look.seq == 2


def test_a_look_without_a_holder_is_possible_once_it_is_opened() -> None:
    slab = chain(a_slab("2024-02-01"), an_opening("2024-03-01"))
    assert against(slab, an_examination("2024-03-02")) == ([], [])
    refused, _ = against(slab, an_examination("2024-02-15"))
    assert [problem.rule for problem in refused] == ["examination.7"]


def test_its_line_counts_what_is_there_and_what_has_gone() -> None:
    assert an_examination().summary() == "Examination: no defect named"
    gone = a_defect("d2", gone=True)
    look = an_examination(defects=(a_defect(), gone), presents_as=Grade.parse("9.2"), rest_hours=48)
    assert shut(look).summary() == "Examination: 1 defect, 1 gone, presents as 9.2, after 48 h of rest"
    only_gone = an_examination(defects=(gone,))
    assert only_gone.summary() == "Examination: 1 gone", "the others are as they were, and none of them is counted away"
    said = an_examination(defects=(a_defect(), claimed("d2")), technical=Grade.parse("9.0"))
    assert shut(said).summary() == "Examination: 1 defect, 1 claimed by others, technical grade 9.0"
    assert an_examination(through_holder=True).summary() == "Examination through the holder: no defect named"
