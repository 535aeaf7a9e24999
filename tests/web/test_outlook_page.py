"""The page of an outlook: what holds the ceiling, what the collector says, and what was written into the chain."""

from dataclasses import replace
from typing import Any

from ledger.events._parts import Answer, Region
from ledger.events.outlook import Origin, Outlook
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.outlook_spread import SPREAD_RULE
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.look import look_at
from tests.builders import a_defect, a_purchase, a_stated_grade, an_examination, an_opening, on
from tests.usecases.forecast_books import written
from tests.usecases.telling import OWNER
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page

CREASE = a_defect("d1", "crease", size_mm="10", breaks_colour=Answer.YES)
PLACED = replace(CREASE, region=Region(x_mm="20", y_mm="30"))
BEND = a_defect("d2", size_mm="30")


def a_book(ledger: Ledger, *defects: Any) -> str:
    (book,) = written(ledger, (None, a_purchase("2024-01-09")))
    if defects:
        written(ledger, (book, an_examination("2024-02-05", defects=defects)))
    return book


def graded(ledger: Ledger, *defects: Any) -> str:
    """A book that was looked at, sent, and given 7.5."""
    book = a_book(ledger, *defects)
    sent = Submission(on=on("2024-06-01"), batch="b-1", asks=Ask.GRADE, service=Sealed.of("Third Bench"))
    written(ledger, (book, sent))
    written(ledger, (book, Slab(on=on("2024-08-01"), batch="b-1", stated=a_stated_grade("7.5", "7.5"))))
    return book


def path(book: str) -> str:
    return f"/books/{book}/outlook"


def page(browser: Browser, book: str) -> Element:
    answer = browser.get(path(book))
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def outlooks(ledger: Ledger, book: str) -> list[Outlook]:
    return [each.event for each in look_at(ledger, OWNER, book).moments if isinstance(each.event, Outlook)]


def test_a_book_nobody_looked_at_has_no_ceiling_and_the_way_to_look(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger)
    shown = page(signed_in, book)
    assert "Nobody has looked at this book" in shown.text
    assert shown.all("a", href=f"/books/{book}/look")


def test_the_defects_that_hold_the_ceiling_are_named_by_number(signed_in: Browser, ledger: Ledger) -> None:
    shown = page(signed_in, a_book(ledger, BEND, CREASE)).one("section", id="ceiling")
    assert shown.one("h2").text == "The ceiling is 8.0"
    assert "2. Crease, front, 10 mm" in shown.text
    assert "1. " not in shown.text.split("Presents as", maxsplit=1)[0].replace("2. Crease", "")


def test_the_chances_of_each_defect_stand_with_what_they_rest_on(signed_in: Browser, ledger: Ledger) -> None:
    rows = page(signed_in, a_book(ledger, BEND)).one("section", id="chances").one("tbody").all("tr")
    assert [[cell.text for cell in row.all("td")] for row in rows] == [
        ["80", "15", "5", "The table alone; no result of yours yet."]
    ]


def test_a_line_is_read_and_shown_before_anything_is_written(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, BEND)
    answer = signed_in.post(path(book), {"said": "60 % 7.5, 25 % 8.0, 15 % 7.0", "do": "show"})
    own = read_page(answer.text).one("section", id="own")
    assert "7.0: 15 %, 7.5: 60 %, 8.0: 25 %" in own.text
    assert own.one("input", id="said").attrs["value"] == "60 % 7.5, 25 % 8.0, 15 % 7.0"
    assert outlooks(ledger, book) == []


def test_what_is_written_is_what_was_said_with_the_ceiling_then(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    answer = signed_in.post(path(book), {"said": "60 % 7.5, 40 % 8.0", "stage": "after work", "do": "write"})
    assert answer.status_code == 303
    (event,) = outlooks(ledger, book)
    assert [(str(each.grade), each.per_mille) for each in event.weights] == [("7.5", 600), ("8.0", 400)]
    assert (event.origin, event.stage.value, str(event.ceiling)) == (Origin.OWN, "after work", "8.0")
    assert "7.5: 60 %, 8.0: 40 %" in page(signed_in, book).one("section", id="stated").text


def test_bars_alone_are_weighed_against_each_other_and_make_a_thousand(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    fields = {"said": "", "bar.7.0": "10", "bar.7.5": "10", "bar.8.0": "10", "bar.9.7": "90", "do": "write"}
    assert signed_in.post(path(book), fields).status_code == 303
    (event,) = outlooks(ledger, book)
    assert [(str(each.grade), each.per_mille) for each in event.weights] == [("7.0", 334), ("7.5", 333), ("8.0", 333)]


def test_the_computed_outlook_is_written_as_computed(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    assert signed_in.post(path(book), {"do": "computed"}).status_code == 303
    (event,) = outlooks(ledger, book)
    assert event.origin is Origin.COMPUTED
    assert sum(each.per_mille for each in event.weights) == 1000


def test_a_line_that_cannot_be_read_comes_back_as_typed_with_the_mend(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    answer = signed_in.post(path(book), {"said": "60 % 7.7", "bar.7.5": "40", "do": "write"})
    own = read_page(answer.text).one("section", id="own")
    assert answer.status_code == 422
    assert own.one("input", id="said").attrs["value"] == "60 % 7.7"
    assert own.one("p", id="said-fault").text
    assert own.one("input", name="bar.7.5").attrs["value"] == "40"
    assert outlooks(ledger, book) == []


def test_nothing_said_at_all_says_what_to_do(signed_in: Browser, ledger: Ledger) -> None:
    answer = signed_in.post(path(a_book(ledger, CREASE)), {"said": "", "do": "write"})
    assert answer.status_code == 422
    assert "Write a line, or move a bar." in text_of(answer)


def test_after_the_result_it_says_of_which_sending_a_new_one_speaks(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    sent = Submission(on=on("2024-06-01"), batch="b-1", asks=Ask.GRADE, service=Sealed.of("Third Bench"))
    written(ledger, (book, sent))
    written(ledger, (book, Slab(on=on("2024-08-01"), batch="b-1", stated=a_stated_grade("7.5", "7.5"))))
    assert "The grade is known already." in page(signed_in, book).text
    assert "speaks of the next time the book is sent" in page(signed_in, book).text


def test_graded_books_with_like_defects_stand_beside_with_both_maps(signed_in: Browser, ledger: Ledger) -> None:
    first = graded(ledger, PLACED)
    second = a_book(ledger, PLACED)
    found = page(signed_in, second).one("section", id="precedents")
    row = found.one("tbody").one("tr")
    assert row.all("a")[0].attrs["href"] == f"/books/{first}"
    assert "7.5" in row.text
    assert len(found.all("figure")) == 2


def test_where_no_defect_has_its_place_no_map_is_drawn(signed_in: Browser, ledger: Ledger) -> None:
    graded(ledger, CREASE)
    found = page(signed_in, a_book(ledger, CREASE)).one("section", id="precedents")
    assert found.one("tbody").all("tr")
    assert found.all("figure") == []


def test_a_grade_is_no_precedent_of_the_look_it_rests_on(signed_in: Browser, ledger: Ledger) -> None:
    book = graded(ledger, CREASE)
    assert "No graded book of yours had defects like these." in page(signed_in, book).text
    written(ledger, (book, an_opening("2024-09-01")))
    written(ledger, (book, an_examination("2024-09-10", defects=(CREASE,))))
    row = page(signed_in, book).one("section", id="precedents").one("tbody").one("tr")
    assert row.all("a")[0].attrs["href"] == f"/books/{book}"


def test_the_book_leads_to_its_outlook(signed_in: Browser, ledger: Ledger) -> None:
    book = a_book(ledger, CREASE)
    assert read_page(signed_in.get(f"/books/{book}").text).all("a", href=path(book))


def test_how_the_rest_is_shared_is_shown_with_what_was_read(signed_in: Browser, ledger: Ledger) -> None:
    answer = signed_in.post(path(a_book(ledger, BEND)), {"said": "60 % 7.5, rest below", "do": "show"})
    assert SPREAD_RULE in read_page(answer.text).one("section", id="own").text
