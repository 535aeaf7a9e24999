"""A placement: its rules, where it leaves the book, its line."""

from typing import Any

import pytest

from ledger.book import Status
from ledger.events._parts import Answer
from ledger.events.placement import Around, Housing, Material, Placement, Spot
from ledger.sealed import Sealed
from tests.builders import a_book, a_purchase, against, at, broken_rules, chain, on, shut


def placed(when: str | None = "2024-09-02", **changes: Any) -> Placement:
    return Placement(**{"on": on(when), "spot": Spot.BOX, **changes})


def hung(**changes: Any) -> Placement:
    where = {"spot": Spot.WALL, "room": "r1", "wall": "north", "x_cm": "36.5", "y_cm": "148"}
    return placed(**{**where, **changes})


def housing(around: Around = Around.SLEEVE, **changes: Any) -> Housing:
    return Housing(**{"around": around, "material": Material.POLYESTER, **changes})


def test_a_book_here_is_hung_or_put_away() -> None:
    frame = housing(Around.FRAME, uv_filter=Answer.YES, changed_on=on("2024-09"), due=on("2034"))
    assert broken_rules(hung(housings=(housing(), frame), place=Sealed.of("Study, north wall"))) == []
    assert broken_rules(placed()) == []
    assert broken_rules(hung(x_cm=None, y_cm=None, room=None, wall=None)) == []


@pytest.mark.parametrize("status", [Status.OUT, Status.EXPECTED])
def test_a_book_that_is_not_here_is_not_placed(status: Status) -> None:
    (problem,) = placed().check(a_book(status=status, away_by=4))
    assert (problem.rule, problem.field, problem.entries) == ("placement.1", "on", (4,))


@pytest.mark.parametrize("field", ["wall", "x_cm", "y_cm"])
def test_a_book_in_a_box_has_no_position_on_a_wall(field: str) -> None:
    given = {"room": "r1", "wall": None, "x_cm": None, "y_cm": None, field: "10"}
    assert ("placement.2", field) in broken_rules(placed(**given))


def test_a_position_has_both_measures_and_a_wall_its_room() -> None:
    assert broken_rules(hung(y_cm=None)) == [("placement.2", "y_cm")]
    assert broken_rules(hung(x_cm=None)) == [("placement.2", "x_cm")]
    assert broken_rules(hung(room=None)) == [("placement.2", "room")]


def test_each_housing_is_named_once() -> None:
    twice = placed(housings=(housing(), housing(Around.BOARD), housing()))
    assert broken_rules(twice) == [("placement.3", "housings.2.around")]


def test_a_housing_is_not_due_before_it_was_new() -> None:
    odd = placed(housings=(housing(changed_on=on("2024-09"), due=on("2024-08")),))
    assert broken_rules(odd) == [("placement.4", "housings.0.due")]


def test_only_the_glazing_of_a_frame_filters_ultraviolet() -> None:
    assert broken_rules(placed(housings=(housing(uv_filter=Answer.NO),))) == [("placement.5", "housings.0.uv_filter")]


@pytest.mark.parametrize("place", ["x" * 41, "", "  "])
def test_the_name_of_a_place_is_short_and_not_blank(place: str) -> None:
    assert broken_rules(placed(place=Sealed.of(place))) == [("placement.6", "place")]


def test_a_place_of_forty_characters_and_a_withheld_one_are_fine() -> None:
    assert broken_rules(placed(place=Sealed.of("x" * 40))) == []
    assert broken_rules(shut(placed())) == []


def test_it_is_in_this_spot_from_now_on_and_not_missing() -> None:
    book = hung().apply(a_book(spot="box", placed_by=2, missing_since=5), at(7))
    assert (book.spot, book.placed_by, book.placed_on, book.missing_since) == ("wall", 7, on("2024-09-02"), None)


def test_it_is_refused_before_the_purchase() -> None:
    refused, _ = against(chain(a_purchase()), placed("2023-01-01"))
    assert [(problem.rule, problem.field) for problem in refused] == [("placement.0", "on")]


def test_its_line_tells_the_spot_and_not_the_place() -> None:
    told = shut(hung(housings=(housing(), housing(Around.FRAME)), place=Sealed.of("Study")))
    assert told.summary() == "Hung on the wall, 36.5 cm from the left; with sleeve, frame"
    assert placed(spot=Spot.SAFE).summary() == "Put in a safe"
