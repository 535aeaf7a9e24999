"""Several books changed at once: chosen in the collection, shown book by book, written as one act under one reason."""

from collections.abc import Mapping

import pytest
from httpx2 import Response

from ledger.entry import Entry
from ledger.events.placement import Placement
from ledger.events.sale import Sale
from ledger.ports import Ledger
from ledger.usecases.record import Draft, record
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.shelves import buy, sold
from tests.web.stories import OWNER
from web.pages.change import PATH

MOVED = {"spot": "box", "place": "Box 9", "on": "5 Jan 2026", "reason": "Shelves were rearranged."}


@pytest.fixture
def books(ledger: Ledger) -> list[str]:
    return [buy(ledger, title=title, number="7", publisher="Gorse Hil") for title in ("Alpha", "Beta", "Delta")]


def address(books: list[str], kind: str = "") -> str:
    asked = "&".join(f"book={book}" for book in books)
    return f"{PATH}?{asked}" + (f"&kind={kind}" if kind else "")


def show(browser: Browser, at: str, said: Mapping[str, str], do: str = "preview") -> Response:
    return again(browser, browser.get(at), said, do)


def again(browser: Browser, page: Response, said: Mapping[str, str], do: str) -> Response:
    """The form as it stands, every book of it with it."""
    named = [each.attrs["value"] for each in read_page(page.text).all("input", name="book")]
    return browser.post(PATH, {**form_to(page, PATH).fields, **said, "book": named, "do": do})


def entries(ledger: Ledger, kind: str) -> list[Entry]:
    with ledger.log.read() as reader:
        return [reader.entry(seq) for seq in reader.numbers_of(kind)]


def rows(page: Response) -> list[list[str]]:
    found: list[Element] = [line for table in read_page(page.text).all("table") for line in table.all("tr")[1:]]
    return [[line.one("em").text, *(cell.text for cell in line.all("td"))] for line in found]


def test_books_are_chosen_in_the_collection_ticked_or_all_of_a_search(signed_in: Browser, books: list[str]) -> None:
    page = read_page(signed_in.get("/collection?q=gorse").text)
    assert page.all("button", formaction=PATH)
    (link,) = [each.attrs["href"] for each in page.all("a") if each.attrs.get("href", "").startswith(f"{PATH}?")]
    chosen = signed_in.get(link)
    assert "3 books are chosen." in text_of(chosen)
    ways = [each.attrs["href"] for each in read_page(chosen.text).one("section", id="which").all("a")]
    assert [way.rpartition("=")[2] for way in ways] == ["placement", "correction", "note", "valuation"]
    assert all("found=" in way and "book=" not in way for way in ways)


def test_without_a_book_it_leads_to_the_collection(signed_in: Browser) -> None:
    assert "No book is chosen." in text_of(signed_in.get(PATH))
    assert signed_in.get(f"{PATH}?book=nobody&kind=note").status_code in (200, 404)


def test_two_copies_of_one_number_are_told_apart_and_a_note_takes_the_place_of_nothing(
    signed_in: Browser, books: list[str]
) -> None:
    shown = show(signed_in, address(books, "note"), {"words": "Looked at.", "reason": "The yearly look."})
    assert {cells[1] for cells in rows(shown)} == {"nothing; it is added"}
    table = read_page(shown.text).one("table")
    numbers = [line.one("span", class_="minor").text for line in table.all("tr")[1:]]
    assert len(set(numbers)) == len(books)
    assert all(number.startswith("book ") for number in numbers)


def test_they_are_shown_then_written_as_one_act(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    shown = show(signed_in, address(books, "placement"), MOVED)
    assert rows(shown) == [[f"{title} 7", "not known", "box: Box 9"] for title in ("Alpha", "Beta", "Delta")]
    assert entries(ledger, "placement") == []
    page = signed_in.follow(again(signed_in, shown, {}, "write"))
    assert "They are one act." in text_of(page)
    written = entries(ledger, "placement")
    assert [each.book for each in written] == books
    assert len({each.act for each in written}) == 1
    assert {each.event.remark.value for each in written if isinstance(each.event, Placement)} == {MOVED["reason"]}


def test_all_of_a_search_are_corrected(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    said = {"field": "issue.publisher", "value": "Gorse Hill Press", "reason": "Read in the indicia."}
    shown = show(signed_in, f"{PATH}?found=%2Fcollection%3Fq%3Dgorse&kind=correction", said)
    assert [row[1:] for row in rows(shown)] == [["Gorse Hil", "Gorse Hill Press"]] * 3
    again(signed_in, shown, {}, "write")
    with ledger.log.read() as reader:
        assert {reader.book(book).publisher for book in books} == {"Gorse Hill Press"}


def test_a_book_in_the_way_is_named_and_can_be_left_out(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    gone = sold()
    assert isinstance(gone, Sale)
    record(ledger, OWNER, [Draft(event=gone, book=books[1])])
    shown = show(signed_in, address(books, "note"), {"words": "Seen at the fair.", "reason": "For the list."})
    assert not read_page(shown.text).all("section", id="refused"), "a note may follow a sale"
    later = {**MOVED, "on": "5 Apr 2026"}
    shown = show(signed_in, address(books, "placement"), later)
    assert "has left the collection" in read_page(shown.text).one("section", id="refused").text
    assert {each.attrs["class"] for each in read_page(shown.text).all("button", value="write")} == {"vh"}
    left = again(signed_in, shown, {}, "without")
    assert "One book is left out." in text_of(left)
    signed_in.follow(again(signed_in, left, {}, "write"))
    assert [each.book for each in entries(ledger, "placement")] == [books[0], books[2]]


def test_what_is_wrong_stands_at_its_field_and_nothing_typed_is_lost(signed_in: Browser, books: list[str]) -> None:
    answer = show(signed_in, address(books, "valuation"), {"amount": "dear", "reason": ""})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert page.all("p", id="amount-fault")
    assert page.all("p", id="reason-fault")
    assert form_to(answer, PATH).fields["amount"] == "dear"
    year = show(signed_in, address(books, "correction"), {"field": "issue.start_year", "value": "52", "reason": "x"})
    assert read_page(year.text).all("p", id="value-fault")
    blank = show(signed_in, address(books, "correction"), {"field": "seller", "value": "", "reason": "x"})
    assert read_page(blank.text).all("p", id="value-fault")
    assert signed_in.post(PATH, {"kind": "sale", "book": books[0]}).status_code == 404


def test_a_book_that_moved_on_since_is_shown_once_more(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    shown = show(signed_in, address(books, "placement"), MOVED)
    again(signed_in, show(signed_in, address(books[:1], "note"), {"words": "x", "reason": "y"}), {}, "write")
    answer = again(signed_in, shown, {}, "write")
    assert answer.status_code == 409
    assert "Look at it once more." in text_of(answer)
    assert entries(ledger, "placement") == []


def test_the_same_form_twice_writes_once(signed_in: Browser, ledger: Ledger, books: list[str]) -> None:
    shown = show(signed_in, address(books, "placement"), MOVED)
    for _ in range(2):
        assert again(signed_in, shown, {}, "write").status_code == 303
    assert len(entries(ledger, "placement")) == 3
