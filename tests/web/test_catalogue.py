"""The printed catalogue: chosen on its page, made behind it with a count, taken as a PDF with contents and index."""

from collections.abc import Iterator
from threading import Event
from typing import Any
from urllib.parse import parse_qsl

import pytest
from fastapi.datastructures import QueryParams

from ledger.actor import Permission
from ledger.adapters.makings import FileMakings
from ledger.bootstrap import OWNER
from ledger.errors import ConflictError
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.saying.narrowed import narrowed
from ledger.usecases import catalogues as module
from ledger.usecases.browse import look_through
from ledger.usecases.record import Draft, record
from tests.api.door import door_to
from tests.builders import on
from tests.pdf import elements, opened, words
from tests.pictures import a_picture
from tests.web.browser import Browser, form_to, text_of
from tests.web.checks import SOON
from tests.web.markup import read_page
from tests.web.shelves import a_shelf
from web.render import PART
from web.shelf_asked import Asked
from web.shelf_filters import questions

PATH = "/collection/catalogue"


@pytest.fixture
def shelf(ledger: Ledger) -> dict[str, str]:
    """Six books, of which one has a cover that is at hand and one a cover that is not."""
    books = a_shelf(ledger)
    kept = ledger.pictures.keep(a_picture(size=(300, 450)))
    shot = Photograph(original=kept.original, clean=kept.clean, on=on("2025-06"))
    record(ledger, OWNER, [Draft(event=shot, book=books["Beta"])])
    return books


def ended(ledger: Ledger) -> None:
    """The catalogue that was begun is not under way any more."""
    assert isinstance(ledger.catalogues, FileMakings)
    ledger.catalogues.wait(SOON)


def made(browser: Browser, ledger: Ledger, query: str = "", **fields: str) -> bytes:
    """The catalogue that was begun here."""
    form = form_to(browser.get(PATH + query), PATH)
    assert browser.post(PATH, {**form.fields, **fields}).headers["location"] == PATH
    ended(ledger)
    assert browser.get(PATH).status_code == 200
    answer = browser.get(f"{PATH}/pdf")
    assert answer.headers["content-type"] == "application/pdf"
    return answer.content


def text(data: bytes) -> str:
    return words("".join(page.extract_text() for page in opened(data).pages))


def test_it_has_every_book_with_contents_and_an_index(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str]
) -> None:
    assert shelf
    said = text(made(signed_in, ledger))
    for part in ("Catalogue of the collection", "5 books.", "Contents", "Index", "Publishers", "Cover dates by year"):
        assert words(part) in said, part
    for part in ("Alpha (1962)", "Gorse Hill Press", "no. 14, September 1958", "9.0, Third Bench", "184 by 260 mm"):
        assert words(part) in said, part
    assert "Omega<&>" in said
    assert "Gone" not in said, "what has left is in it only where that is chosen"
    assert "1958:2" in said, "the index leads to the page"


def test_where_a_book_is_stands_in_it_only_when_that_is_wished(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str]
) -> None:
    assert shelf
    assert "Box2" not in text(made(signed_in, ledger))
    assert "Box2" in text(made(signed_in, ledger, places="yes"))


def test_a_search_and_a_filter_choose_books_and_are_told(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str]
) -> None:
    assert shelf
    said = text(made(signed_in, ledger, "?q=ta&holding=raw"))
    assert words("3 books. Chosen: search for ta; Raw or in a holder: raw.") in said
    assert "Alpha" not in said
    page = text_of(signed_in.get(PATH))
    assert "3 books, made" in page
    assert "Chosen: search for ta; Raw or in a holder: raw." in page


def test_it_lasts_and_can_be_read_out_with_its_pictures(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str]
) -> None:
    """Marks of PDF/A-2a and PDF/UA-1. Source: ISO 19005-2, 6.6.4; ISO 14289-1, clause 5; ISO 32000-1, 14.7 and 14.8."""
    assert shelf
    data = made(signed_in, ledger)
    reader = opened(data)
    assert b"<pdfaid:part>2</pdfaid:part>" in data or reader.xmp_metadata is not None
    figures = [each for each in elements(reader) if each.get("/S") == "/Figure"]
    assert [str(each["/Alt"]) for each in figures] == ["Front of Beta 9"]
    assert made(signed_in, ledger) == data, "the same ledger gives the same bytes"
    assert len(reader.outline) > 0


QUESTIONS: dict[str, tuple[str, dict[str, Any]]] = {
    "all": ("", {}),
    "a search, raw": ("q=ta&holding=raw", {"q": "ta", "holdings": ["raw"]}),
    "with what has left, and where": ("left=yes&places=yes", {"left": True, "print_places": True}),
    "two boxes, or none": (
        "place=Box+2&place=Box+1&unnamed=yes",
        {"places": ["Box 1", "Box 2"], "unnamed": True},
    ),
    "work": ("heading=none&heading=restoration", {"headings": ["restoration", "none"]}),
    "standing": ("status=in+other+hands&status=here", {"statuses": ["here", "in other hands"]}),
    "bench": ("bench=yes", {"on_bench": True}),
    "grades": ("low=8.5&high=9.2", {"grade_from": "8.5", "grade_to": "9.2"}),
}
"""The same question to the page and to the service."""


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_service_gives_the_same_bytes_for_the_same_question(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str], name: str
) -> None:
    assert shelf
    query, body = QUESTIONS[name]
    fields = parse_qsl(query)
    posted = signed_in.post(PATH, {key: [value for own, value in fields if own == key] for key, _ in fields})
    assert posted.headers["location"] == PATH
    ended(ledger)
    page = signed_in.get(f"{PATH}/pdf").content
    door = door_to(ledger, {Permission.READ})
    begun = door.post("/catalogues", body)
    assert begun.status_code == 202, begun.text
    ended(ledger)
    file = door.get(f"{begun.headers['location']}/file").content
    assert file.startswith(b"%PDF")
    assert file == page
    assert signed_in.get(f"{PATH}/pdf").content == file, "what the service had made last is taken from the page as well"


@pytest.mark.parametrize("name", QUESTIONS)
def test_what_was_chosen_is_printed_in_the_words_of_the_page(ledger: Ledger, shelf: dict[str, str], name: str) -> None:
    assert shelf
    asked = Asked.read(QueryParams(QUESTIONS[name][0]))
    tallies = look_through(ledger, OWNER, asked.query()).tallies
    ticked = {
        f"{question.title}: {each.words}"
        for question in questions(asked, tallies)
        for each in (*question.choices, *question.further)
        if each.ticked
    }
    said = set(narrowed(asked.query()))
    assert {each for each in said if not each.startswith(("search for", "grade from"))} == ticked


class Gate:
    """A catalogue that waits after its third book."""

    def __init__(self) -> None:
        self.begun, self.may_end = Event(), Event()

    def __call__(self, *_given: Any) -> object:
        *_, progress = _given
        progress(3, 6)
        self.begun.set()
        assert self.may_end.wait(SOON)
        progress(6, 6)
        raise ConflictError(sentence="There was no room.")


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    waiting = Gate()
    monkeypatch.setattr(module, "catalogue", waiting)
    yield waiting
    waiting.may_end.set()


def begun(browser: Browser, gate: Gate) -> None:
    browser.post(PATH, form_to(browser.get(PATH), PATH).fields)
    assert gate.begun.wait(SOON)


def test_while_it_is_made_the_page_says_how_far_it_is_and_can_be_left(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str], gate: Gate
) -> None:
    assert shelf
    begun(signed_in, gate)
    page = signed_in.get(PATH)
    assert "3 of 6 covers are at hand." in text_of(page)
    assert '<meta http-equiv="refresh" content="2">' in page.text
    assert "3 of 6" in signed_in.get(PATH, **{PART: "progress"}).text
    assert signed_in.get("/collection").status_code == 200
    again = signed_in.follow(signed_in.post(PATH, {}))
    assert "Another catalogue is being made." in text_of(again)
    gate.may_end.set()
    ended(ledger)
    page = signed_in.get(PATH)
    assert "There was no room." in text_of(page)
    assert signed_in.get(PATH, **{PART: "progress"}).text.strip() == ""
    assert "No catalogue lies here." in text_of(signed_in.follow(signed_in.get(f"{PATH}/pdf")))


def test_one_that_was_made_can_be_taken_although_a_later_one_fails(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shelf
    data = made(signed_in, ledger)
    waiting = Gate()
    monkeypatch.setattr(module, "catalogue", waiting)

    begun(signed_in, waiting)
    assert signed_in.get(f"{PATH}/pdf").content == data
    waiting.may_end.set()
    ended(ledger)

    page = signed_in.get(PATH)
    assert "There was no room." in text_of(page)
    assert f'href="{PATH}/pdf"' in page.text
    assert signed_in.get(f"{PATH}/pdf").content == data


def test_it_can_be_called_off_while_it_is_made(
    signed_in: Browser, ledger: Ledger, shelf: dict[str, str], gate: Gate
) -> None:
    assert shelf
    begun(signed_in, gate)
    (own,) = module.CATALOGUES.all(ledger, OWNER)
    where = f"{PATH}/{own.id}/off"

    page = signed_in.follow(signed_in.post(where, form_to(signed_in.get(PATH), where).fields))

    assert "It was called off." in text_of(page)
    assert form_to(page, PATH)
    gate.may_end.set()
    ended(ledger)
    assert module.CATALOGUES.all(ledger, OWNER) == []
    assert "There was no room." not in text_of(signed_in.get(PATH))


def test_a_choice_that_finds_no_book_begins_nothing(signed_in: Browser, ledger: Ledger, shelf: dict[str, str]) -> None:
    assert shelf
    page = signed_in.follow(signed_in.post(PATH, {"q": "nowhere"}))
    assert "nothing to print" in text_of(page)
    assert module.CATALOGUES.all(ledger, OWNER) == []


def test_without_what_makes_a_pdf_the_page_says_what_to_install(
    signed_in: Browser, shelf: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shelf
    monkeypatch.setattr("ledger.adapters.sheets.find_spec", lambda _name: None)
    page = signed_in.get(PATH)
    assert "Install the program with its extra report" in text_of(page)
    assert not [each for each in read_page(page.text).all("form") if each.attrs.get("action") == PATH]
    assert "not installed here" in text_of(signed_in.follow(signed_in.post(PATH, {})))
