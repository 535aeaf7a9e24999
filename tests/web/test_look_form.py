"""The form of a look and the book's page: photographs to choose from, what is only claimed, the technical grade, the rest."""

from dataclasses import replace

import pytest

from ledger.book import Book
from ledger.events._parts import Face, OpinionOf
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.usecases.look import look_at
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, on
from tests.web.browser import Browser
from tests.web.entry_forms import address, at, opened
from tests.web.markup import Element, read_page
from tests.web.stories import OWNER, Shelf, page_of
from web.brief import brief

CLEAN = "ab" * 32
CLAIM = a_defect("d2", "tear", face=Face.BACK, size_mm=None, claimed_by=OpinionOf.SERVICE)


def form_page(browser: Browser, book: str) -> Element:
    answer = browser.get(address("examination", book))
    assert answer.status_code == 200
    return read_page(answer.text)


def now(ledger: Ledger, book: str) -> Book:
    return look_at(ledger, OWNER, book).book


@pytest.mark.parametrize("row", ["defects", "marks"])
def test_the_photographs_of_the_book_are_there_to_choose_from(signed_in: Browser, shelf: Shelf, row: str) -> None:
    first = Photograph(on=on("2024-02-20"), original="cd" * 32, clean=CLEAN)
    later = replace(first, on=on("2024-02-21"), clean="ef" * 32, face=Face.DETAIL)
    page = form_page(signed_in, shelf.takes(a_purchase(), first, later))
    field = at(page, f"{row}.0.photograph")
    assert field.tag == "select"
    assert [(each.attrs["value"], each.text) for each in field.all("option")] == [
        ("", "none"),
        ("ef" * 32, "detail, normal light, 21 February 2024"),
        (CLEAN, "front, normal light, 20 February 2024"),
    ]


def test_what_is_only_claimed_is_told_as_such_and_seen_once_its_id_is_written(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase(), an_examination("2024-03-01", defects=(a_defect("d1"), CLAIM)))
    told = "Tear, back; claimed by the grading service, not seen here"
    assert told in form_page(signed_in, book).text
    form = opened(signed_in, address("examination", book))
    typed = {"key": form.fields["key"], "on": "2 Mar 2024", "defects.0.id": "d2", "defects.0.size_mm": "6"}
    assert signed_in.post(form.action, typed).status_code == 303
    assert now(ledger, book).claims == ()
    assert now(ledger, book).defects["d2"] == a_defect(
        "d2", "tear", face=Face.BACK, size_mm="6", breaks_colour="unsure"
    )
    assert "claimed by" not in form_page(signed_in, book).one("dl", class_="seen-so-far").text


def test_faces_and_a_claim_are_written_from_the_form(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    form = opened(signed_in, address("examination", book))
    typed = {
        "key": form.fields["key"],
        "on": "2 Mar 2024",
        "faces_looked_at": ["front", "back"],
        "defects.0.type": "tear",
        "defects.0.face": "back",
        "defects.0.claimed_by": "seller",
        "technical": "8.5",
        "staples_counted": "2",
        "staple_rust": "no",
    }
    assert signed_in.post(form.action, typed).status_code == 303
    written = look_at(ledger, OWNER, book).moments[-1].event
    assert isinstance(written, Examination)
    assert written.faces_looked_at == (Face.FRONT, Face.BACK)
    assert [(each.id, each.claimed_by) for each in written.defects] == [("d1", OpinionOf.SELLER)]
    assert (written.technical, written.staples_counted, written.staple_rust) == (Grade("8.5"), 2, "no")


def test_a_timeline_counts_claims_apart() -> None:
    seen = (a_defect("d1"), a_defect("d3", gone=True, size_mm=None))
    assert brief(an_examination(defects=(*seen, CLAIM))) == "Examined: one defect, 1 gone, 1 claimed by others"
    assert brief(an_examination(defects=(CLAIM,))) == "Examined: 1 claimed by others"


def test_the_books_page_tells_the_technical_grade_and_where_the_rest_is_from(signed_in: Browser, shelf: Shelf) -> None:
    look = an_examination("2024-03-12", presents_as=Grade("9.0"), technical=Grade("8.5"))
    book = shelf.takes(a_purchase(), an_intervention("cold-press", "2024-03-10"), look)
    text = page_of(signed_in, book).text
    assert "Presents as 9.0 technical grade 8.5" in text
    assert "after 48 hours of rest, read from the dates" in text
    shelf.then(book, an_examination("2024-03-13", rest_hours=70))
    text = page_of(signed_in, book).text
    assert "after 70 hours of rest" in text
    assert "read from the dates" not in text
