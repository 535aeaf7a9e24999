"""The photograph: its rules, what it changes, its line."""

from types import MappingProxyType
from typing import Any

import pytest

from ledger.events._parts import Face, Holding, Light
from ledger.events.photograph import Crop, Photograph
from tests.builders import a_book, a_defect, a_slab, against, an_opening, at, broken_rules, chain, folded, on, shut

LEFT_HALF = Crop(x_percent=0, y_percent=0, width_percent=50, height_percent=100)


def a_photograph(clean: str = "b", when: str | None = "2024-02-20", **changes: Any) -> Photograph:
    return Photograph(**{"on": on(when), "original": "a" * 64, "clean": clean * 64, **changes})


@pytest.mark.parametrize("box", [(60, 0, 41, 100), (0, 1, 100, 100), (99, 99, 2, 1)])
def test_the_part_of_a_group_picture_lies_inside_it(box: tuple[int, int, int, int]) -> None:
    x, y, width, height = box
    crop = Crop(x_percent=x, y_percent=y, width_percent=width, height_percent=height)
    assert broken_rules(a_photograph(region=crop)) == [("photograph.1", "region")]


def test_a_defect_shown_has_been_named_before() -> None:
    shown = a_photograph(of_defect="d1")
    assert broken_rules(shown) == [("photograph.2", "of_defect")]
    assert broken_rules(shown, a_book(defects=MappingProxyType({"d1": a_defect()}))) == []


def test_the_same_picture_is_entered_once_unless_it_shows_another_part() -> None:
    book = a_book(photographs=("b" * 64,))
    assert broken_rules(a_photograph(), book) == [("photograph.3", "clean")]
    assert broken_rules(a_photograph(region=LEFT_HALF), book) == []


def test_the_inside_of_a_slabbed_book_is_not_seen() -> None:
    inside = a_photograph(face=Face.INSIDE)
    assert broken_rules(inside, a_book(holding=Holding.SLABBED)) == [("photograph.4", "face")]
    assert broken_rules(inside, a_book()) == []
    assert broken_rules(a_photograph(face=Face.STAPLES), a_book(holding=Holding.SLABBED)) == []


def test_the_inside_is_seen_after_the_opening_and_not_before_it() -> None:
    opened = chain(a_slab(), an_opening("2024-03-01"))
    assert against(opened, a_photograph(face=Face.INSIDE, when="2024-03-02")) == ([], [])
    refused, _ = against(opened, a_photograph(face=Face.INSIDE, when="2024-02-28"))
    assert [problem.rule for problem in refused] == ["photograph.4"]


def test_a_picture_from_a_listing_may_come_before_the_purchase() -> None:
    assert against([], a_photograph()) == ([], [])


def test_the_newest_whole_front_in_normal_light_is_the_cover() -> None:
    book = folded(
        a_slab(),
        a_photograph("b", "2024-03-05"),
        a_photograph("c", "2024-03-01"),
        a_photograph("d", "2024-03-06", light=Light.RAKING),
        a_photograph("e", "2024-03-06", face=Face.BACK),
        a_photograph("f", "2024-03-06", region=LEFT_HALF),
    )
    assert book.cover == "b" * 64
    assert set(book.photographs) == {each * 64 for each in "bcdef"}


def test_a_detail_of_a_defect_is_not_the_cover() -> None:
    assert a_photograph(of_defect="d1").apply(a_book(), at()).cover is None


def test_its_line_tells_face_and_light() -> None:
    assert shut(a_photograph()).summary() == "Photograph: front, normal light"
    detail = a_photograph(face=Face.SPINE, light=Light.ULTRAVIOLET, of_defect="d1", region=LEFT_HALF)
    assert detail.summary() == "Photograph: spine, UV-A light, defect d1, part of a group picture"
