"""The examination: claims of others, places that are lines, photographs of what was seen, staples, and the rest by dates."""

from types import MappingProxyType
from typing import Any

import pytest

from ledger.book import Book
from ledger.errors import Problem
from ledger.events._parts import Answer, Defect, Face, Holding, Mark, OpinionOf, Region
from ledger.events._settings import Settings
from ledger.events._step import WorkedRegion
from ledger.events.photograph import Photograph
from tests.builders import (
    a_book,
    a_defect,
    a_purchase,
    against,
    an_examination,
    an_intervention,
    broken_rules,
    chain,
    folded,
    on,
)

CLEAN = "ab" * 32


def claimed(name: str = "d1", kind: str = "bend", **more: Any) -> Defect:
    return a_defect(name, kind, **{"size_mm": None, "claimed_by": OpinionOf.SELLER, **more})


def knowing(**defects: Any) -> Book:
    return a_book(defects=MappingProxyType(defects))


def a_shot(day: str, clean: str = CLEAN) -> Photograph:
    return Photograph(on=on(day), original="cd" * 32, clean=clean)


def rules(problems: list[Problem]) -> list[tuple[str, str]]:
    return [(each.rule, each.field) for each in problems]


def test_a_claim_needs_no_measure() -> None:
    assert broken_rules(an_examination(defects=(claimed(),))) == []
    seen = an_examination(defects=(claimed(claimed_by=None),))
    assert broken_rules(seen) == [("examination.3", "defects.0.size_mm")]


def test_a_claim_is_never_gone() -> None:
    for book in (a_book(), knowing(d1=claimed())):
        assert broken_rules(an_examination(defects=(claimed(gone=True),)), book) == [
            ("examination.10", "defects.0.gone")
        ]


def test_what_was_only_claimed_cannot_have_gone() -> None:
    gone = an_examination(defects=(a_defect(gone=True),))
    assert broken_rules(gone, knowing(d1=claimed())) == [("examination.5", "defects.0.gone")]


def test_what_has_been_seen_is_no_claim_any_more() -> None:
    look = an_examination(defects=(claimed(),))
    for known in (a_defect(), a_defect(gone=True)):
        assert broken_rules(look, knowing(d1=known)) == [("examination.10", "defects.0.claimed_by")]
    assert broken_rules(look, knowing(d1=claimed())) == []


@pytest.mark.parametrize("by", OpinionOf)
def test_the_same_id_without_its_claim_makes_it_seen(by: OpinionOf) -> None:
    told = an_examination("2024-02-05", defects=(claimed(claimed_by=by),))
    book = folded(a_purchase(), told)
    assert (book.there, book.claims) == ((), told.defects)
    seen = an_examination("2024-03-05", defects=(a_defect(),))
    book = folded(a_purchase(), told, seen)
    assert (book.there, book.claims) == (seen.defects, ())


def test_a_claim_keeps_the_type_of_its_id_too() -> None:
    crease = an_examination(defects=(a_defect(kind="crease", breaks_colour=Answer.YES),))
    assert broken_rules(crease, knowing(d1=claimed())) == [("examination.6", "defects.0.type")]


def test_a_claim_may_speak_of_the_inside_of_a_closed_holder() -> None:
    look = an_examination(through_holder=True, defects=(claimed(face=Face.INSIDE),))
    assert broken_rules(look, a_book(holding=Holding.SLABBED)) == []


AT: dict[str, Any] = {"x_mm": "10", "y_mm": "20"}


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"to_x_mm": "30"}, "to_y_mm"),
        ({"to_y_mm": "30"}, "to_x_mm"),
        ({"to_x_mm": "30", "to_y_mm": "40", "width_mm": "5"}, "to_x_mm"),
        ({"to_x_mm": "30", "to_y_mm": "40", "height_mm": "5"}, "to_x_mm"),
        ({"to_x_mm": "10.0", "to_y_mm": "20"}, "to_x_mm"),
    ],
)
def test_a_place_is_a_point_an_area_or_a_line(more: dict[str, str], field: str) -> None:
    region = Region(**AT, **more)
    mark = Mark(id="m1", what="a blue fibre", face=Face.BACK, region=region)
    look = an_examination(defects=(a_defect(region=region),), marks=(mark,))
    assert broken_rules(look) == [
        ("examination.9", f"defects.0.region.{field}"), ("examination.9", f"marks.0.region.{field}"),
    ]  # fmt: skip
    step = an_intervention(regions=(WorkedRegion(face=Face.FRONT, region=region),))
    assert broken_rules(step) == [("intervention.10", f"regions.0.region.{field}")]


@pytest.mark.parametrize(
    "more", [{}, {"width_mm": "5"}, {"width_mm": "5", "height_mm": "6"}, {"to_x_mm": "10", "to_y_mm": "0"}]
)
def test_a_point_an_area_and_a_line_may_stand(more: dict[str, str]) -> None:
    region = Region(**AT, **more)
    assert broken_rules(an_examination(defects=(a_defect(region=region),))) == []
    assert broken_rules(an_intervention(regions=(WorkedRegion(face=Face.FRONT, region=region),))) == []


def test_a_line_is_as_long_as_its_ends_lie_apart() -> None:
    """Source: the right-angled triangle of sides 3, 4 and 5."""
    assert Region(x_mm="1", y_mm="2", to_x_mm="4", to_y_mm="6").length_mm == 5
    assert Region(x_mm="4", y_mm="6.5", to_x_mm="1", to_y_mm="2.5").length_mm == 5
    assert not Region(**AT).is_line


def test_a_photograph_of_a_defect_or_mark_is_one_of_this_book() -> None:
    mark = Mark(id="m1", what="a blue fibre", face=Face.BACK, photograph=CLEAN)
    look = an_examination(defects=(a_defect(photograph=CLEAN),), marks=(mark,))
    assert broken_rules(look, a_book(photographs=("ef" * 32,))) == [
        ("examination.11", "defects.0.photograph"), ("examination.11", "marks.0.photograph"),
    ]  # fmt: skip
    assert broken_rules(look, a_book(photographs=("ef" * 32, CLEAN))) == []


def test_a_photograph_of_a_defect_was_taken_before_the_look_that_names_it() -> None:
    look = an_examination("2024-03-05", defects=(a_defect(photograph=CLEAN),))
    assert against(chain(a_purchase(), a_shot("2024-03-04")), look) == ([], [])
    refused, _ = against(chain(a_purchase(), a_shot("2024-03-06")), look)
    assert rules(refused) == [("examination.11", "defects.0.photograph")]
    refused, _ = against(chain(a_purchase(), a_shot("2024-03-04", "ef" * 32)), look)
    assert rules(refused) == [("examination.11", "defects.0.photograph")]


RUSTED = a_defect("d9", "staple-rust", face=Face.STAPLES, size_mm=None, count=1)


def test_rust_on_staples_agrees_with_their_number_and_with_the_defects() -> None:
    wrong = [("examination.12", "staple_rust")]
    assert broken_rules(an_examination(staple_rust=Answer.NO, defects=(RUSTED,))) == wrong
    assert broken_rules(an_examination(staples_counted=0, defects=(RUSTED,))) == wrong
    assert broken_rules(an_examination(staples_counted=0, staple_rust=Answer.YES)) == wrong
    for right in (
        an_examination(staple_rust=Answer.YES, staples_counted=2, defects=(RUSTED,)),
        an_examination(defects=(RUSTED,)),
        an_examination(staples_counted=0, staple_rust=Answer.NO),
        an_examination(staple_rust=Answer.NO, defects=(claimed("d9", "staple-rust", face=Face.STAPLES),)),
    ):
        assert broken_rules(right) == []


def test_rust_that_has_gone_may_be_none() -> None:
    gone = an_examination(staple_rust=Answer.NO, defects=(a_defect("d9", "staple-rust", face=Face.STAPLES, gone=True),))
    assert broken_rules(gone, knowing(d9=RUSTED)) == []


def test_the_last_look_keeps_its_rest_as_said_or_as_the_dates_tell_it() -> None:
    work = an_intervention("cold-press", "2024-03-01", settings=Settings(total_minutes=720))
    for said, told in ((None, (96, True)), (90, (90, False))):
        book = folded(a_purchase(), work, an_examination("2024-03-05", rest_hours=said))
        assert book.last_look is not None
        assert (book.last_look.rest_hours, book.last_look.rest_from_dates) == told
        assert book.work[0].minutes == 720


def test_without_work_no_rest_is_told() -> None:
    book = folded(a_purchase(), an_examination("2024-03-05"))
    assert book.last_look is not None
    assert (book.last_look.rest_hours, book.last_look.rest_from_dates) == (None, False)
