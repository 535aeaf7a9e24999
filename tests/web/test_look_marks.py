"""Marks of this copy and photographs of defects in a guided look."""

import pytest

from ledger.bootstrap import OWNER
from ledger.events._parts import Face, Mark, Region
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
from tests.builders import on
from tests.pictures import a_picture
from tests.web.browser import Browser
from tests.web.looks import TEAR, a_seen_book, page_at, row, send, turn, write, written
from tests.web.stories import Shelf


@pytest.fixture
def book(shelf: Shelf) -> str:
    return a_seen_book(shelf)


def test_a_photograph_of_a_defect_is_chosen_from_those_of_the_book(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    said = {"on": on("2024-05-01"), "face": Face.DETAIL}
    shot = photograph(ledger, OWNER, book, [Shot(data=a_picture("teal", (40, 60)), said=said)]).entries[0].event
    clean = getattr(shot, "clean", "")
    turn(signed_in, book, "back", said=row(0, **TEAR, photograph=clean))
    assert write(signed_in, book).status_code == 303
    assert written(ledger, book).defects[0].photograph == clean


def test_a_new_mark_of_this_copy_is_written_with_its_place(signed_in: Browser, ledger: Ledger, book: str) -> None:
    mark = {"marks.0.what": "a blue fibre", "marks.0.region.x_mm": "12", "marks.0.region.y_mm": "200"}
    turn(signed_in, book, "front", "add:marks", mark)
    turn(signed_in, book, "front", said={"marks.1.what": "a dot of ink"})
    turn(signed_in, book, "back", "skip", {"marks.2.what": "a notch"})
    page = page_at(signed_in, book, "whole")
    assert "Marks: 2 new." in page.text
    assert "What you typed at a step you left out is not written: back." in page.text
    assert write(signed_in, book).status_code == 303
    assert written(ledger, book).marks == (
        Mark(id="m1", what="a blue fibre", face=Face.FRONT, region=Region(x_mm="12", y_mm="200")),
        Mark(id="m2", what="a dot of ink", face=Face.FRONT),
    )
    assert "m1: a blue fibre" in page_at(signed_in, book, "front").one("details", id="marks").text


def test_a_mark_without_a_word_of_what_it_is_is_told_at_its_field(signed_in: Browser, book: str) -> None:
    said = {"marks.0.region.x_mm": "12", "marks.0.region.y_mm": "200"}
    answer = send(signed_in, book, "front", "next", said)
    assert answer.status_code == 422
    assert 'id="marks.0.what-fault"' in answer.text
