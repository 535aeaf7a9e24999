"""The kinds there are: likely next ones first, what cannot stand now with its reason, what is written elsewhere."""

from dataclasses import replace

import pytest

from ledger.events import KINDS
from ledger.events.submission import Stage
from ledger.ports import Ledger
from tests.builders import a_purchase
from tests.web.browser import Browser, text_of
from tests.web.entry_forms import PATH, SENT, address, book_for, gone, opened
from tests.web.markup import Element, read_page
from tests.web.typed import size, written


def links(page: Element, head: str) -> list[str]:
    """Names of the kinds listed under a head."""
    lists = [each for each in page.walk() if each.tag in {"h2", "ul"}]
    place = next(n for n, each in enumerate(lists) if each.tag == "h2" and each.text == head)
    return [link.one("b").text for link in lists[place + 1].all("a")]


def test_the_likely_next_kinds_come_first(ledger: Ledger, signed_in: Browser) -> None:
    slabbed = book_for(ledger, "opening", 0)
    page = read_page(signed_in.get(f"{PATH}?book={slabbed}").text)
    assert links(page, "Likely next") == ["Examination", "Opening", "Placement", "Photograph"]
    under_way = book_for(ledger, "arrival", 0)
    assert links(read_page(signed_in.get(f"{PATH}?book={under_way}").text), "Likely next") == ["Arrival"]
    out = book_for(ledger, "slab", 0)
    page = read_page(signed_in.get(f"{PATH}?book={out}").text)
    assert links(page, "Likely next") == ["Outcome of a submission", "Submission"]
    by_seller = replace(SENT, stage=Stage.SENT_BY_SELLER)
    there = written(ledger, a_purchase("2024-02-01", expects_arrival=True), by_seller)[0].book
    page = read_page(signed_in.get(f"{PATH}?book={there}").text)
    assert links(page, "Likely next") == ["Outcome of a submission", "Arrival", "Submission"]
    assert opened(signed_in, address("arrival", there)).fields["stage"] == "arrived"


def test_what_cannot_stand_now_is_listed_with_its_reason(ledger: Ledger, signed_in: Browser) -> None:
    book = written(ledger, a_purchase("1970"), gone("1975"))[0].book
    answer = signed_in.get(f"{PATH}?book={book}")
    page = read_page(answer.text)
    assert {"Examination", "Opening", "Sale"} <= set(links(page, "Not now"))
    assert "It has left the collection; until it comes back only notes and mending can be written." in text_of(answer)
    assert links(page, "Likely next") == ["Note", "Purchase"]


def test_every_kind_is_offered_once_or_written_elsewhere(ledger: Ledger, signed_in: Browser) -> None:
    book = book_for(ledger, "choice", 0)
    of_book = read_page(signed_in.get(f"{PATH}?book={book}").text)
    of_none = read_page(signed_in.get(PATH).text)
    offered = [
        link.attrs["href"].partition("kind=")[2].partition("&")[0]
        for page in (of_book, of_none)
        for each in page.all("ul", class_="kind-list")
        for link in each.all("a")
    ]
    assert set(offered) == set(KINDS) - {
        "climate",
        "key",
        "disclosure",
        "restored",
        "correction",
        "withdrawal",
        "erasure",
    }
    assert sorted(offered) == sorted([*set(offered), "note"]), "only a note speaks of either"


def test_kinds_stand_in_the_order_in_which_hands_come_to_them(ledger: Ledger, signed_in: Browser) -> None:
    page = read_page(signed_in.get(f"{PATH}?book={book_for(ledger, 'choice', 0)}").text)
    hands = ["Arrival", "Submission", "Outcome of a submission", "Custody", "Sale"]
    assert [each for each in links(page, "In whose hands it is") if each in hands] == hands


def test_what_speaks_of_the_collection_needs_no_book(signed_in: Browser) -> None:
    page = read_page(signed_in.get(PATH).text)
    assert links(page, "Where and how it is kept") == ["Room"]
    assert links(page, "Papers, pictures, notes") == ["Note", "Ruling"]


def test_a_kind_that_speaks_of_a_book_asks_for_the_book_first(signed_in: Browser) -> None:
    answer = signed_in.get(address("examination"))
    assert answer.status_code == 200
    assert "Examination speaks of a book. Choose the book first." in text_of(answer)


@pytest.mark.parametrize("kind", ["key", "disclosure", "restored", "no-such-kind", "correction", "erasure"])
def test_what_is_written_elsewhere_has_no_form_here(ledger: Ledger, signed_in: Browser, kind: str) -> None:
    before = size(ledger)
    answer = signed_in.get(address(kind))
    assert answer.status_code == 200
    assert "New entry" in text_of(answer)
    assert signed_in.post(address(kind), {"action": "start"}).status_code == 404
    assert size(ledger) == before


def test_a_book_or_an_entry_that_is_not_there_is_not_found(signed_in: Browser) -> None:
    assert signed_in.get(address("choice", "nowhere")).status_code == 404
    assert signed_in.get(address("correction", entry=999)).status_code == 404
    assert signed_in.get(address("correction", entry="many")).status_code == 400
