"""Bench tags: one label for each book, with its number and a code that opens its page."""

import pytest

from ledger.codes import Code
from ledger.ports import Ledger
from tests.builders import a_purchase, an_issue
from tests.fakes import FakeClock
from tests.scanning import drawn, scanned, squares
from tests.web.browser import HOST, Browser, Home, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf
from web.pages.tags import SHORT, TAGS_MOST
from web.reach import Reach

NEAR = Reach(host="192.0.2.7", port=8450, hosts=("bench.example",))


def labels(browser: Browser, path: str) -> list[Element]:
    answer = browser.get(path)
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text).all("li", class_="tag")


def code_on(label: Element) -> str:
    """What a camera reads from it."""
    (svg,) = label.all("svg", class_="code")
    made = Code(side=int(svg.attrs["viewbox"].split()[2]), path=svg.all("path")[0].attrs["d"])
    return scanned(drawn(squares(made)))


def test_a_tag_names_the_book_its_number_and_the_way_to_its_page(signed_in: Browser, shelf: Shelf) -> None:
    shelf.takes(a_purchase())
    book = shelf.takes(a_purchase(issue=an_issue(title="The Copper Lantern", number="14a")))
    (label,) = labels(signed_in, f"/books/{book}/tag")
    assert label.text == f"The Copper Lantern 14a copy 2 {book[:4]} {book[4:8]}"
    assert SHORT == 8
    assert code_on(label) == f"http://{HOST}/books/{book}"
    assert [each.attrs["href"] for each in label.all("a")] == [f"/books/{book}"]
    assert "The Copper Lantern" in text_of(signed_in.get(f"/books/{book}"))


def test_several_books_have_a_tag_each_in_the_order_in_which_they_were_chosen(signed_in: Browser, shelf: Shelf) -> None:
    first, second, third = (shelf.takes(a_purchase()) for _ in range(3))
    chosen = [third, first, third]
    found = labels(signed_in, "/tags?" + "&".join(f"book={each}" for each in chosen))
    assert [code_on(each).rpartition("/")[2] for each in found] == [third, first]
    assert second not in signed_in.get(f"/tags?book={third}&book={first}").text


def test_the_same_issue_twice_is_told_apart_by_the_number_of_the_copy(signed_in: Browser, shelf: Shelf) -> None:
    books = [shelf.takes(a_purchase()), shelf.takes(a_purchase())]
    one, other = labels(signed_in, f"/tags?book={books[0]}&book={books[1]}")
    assert "copy 1" in one.text
    assert "copy 2" in other.text


def test_the_code_leads_where_a_phone_finds_the_server(ledger: Ledger, clock: FakeClock, shelf: Shelf) -> None:
    home = Home.of(ledger, clock, reach=NEAR, hosts=["192.0.2.7"])
    home.set_password()
    book = shelf.takes(a_purchase())
    at_the_desk = home.browser().sign_in()
    (label,) = labels(at_the_desk, f"/books/{book}/tag")
    assert code_on(label) == f"http://bench.example:8450/books/{book}"
    assert "The codes lead to http://bench.example:8450." in text_of(at_the_desk.get("/tags?book=" + book))
    elsewhere = home.browser(host="192.0.2.7:8450").sign_in()
    (label,) = labels(elsewhere, f"/books/{book}/tag")
    assert code_on(label) == f"http://192.0.2.7:8450/books/{book}"


def test_where_only_this_machine_finds_the_server_that_is_said_with_the_mend(signed_in: Browser, shelf: Shelf) -> None:
    answer = signed_in.get(f"/books/{shelf.takes(a_purchase())}/tag")
    assert f"The codes lead to http://{HOST}, where only this computer finds the program." in text_of(answer)
    assert 'href="/settings/phone"' in answer.text


def test_no_tag_without_a_book(signed_in: Browser) -> None:
    assert labels(signed_in, "/tags") == []
    assert "No book was chosen." in text_of(signed_in.get("/tags"))
    assert signed_in.get("/books/nothing/tag").status_code == 404
    assert signed_in.get("/tags?book=nothing").status_code == 404
    assert signed_in.get("/tags?" + "&".join(["book=x"] * (TAGS_MOST + 1))).status_code == 400


@pytest.mark.parametrize("title", ["<script>x</script>", "Ünder & \N{CJK UNIFIED IDEOGRAPH-591C}", "A" * 200])
def test_whatever_a_book_is_called_its_tag_is_whole(signed_in: Browser, shelf: Shelf, title: str) -> None:
    book = shelf.takes(a_purchase(issue=an_issue(title=title)))
    (label,) = labels(signed_in, f"/books/{book}/tag")
    assert title in label.text
    assert code_on(label).endswith(book)


def test_the_ways_to_the_tags_stand_on_the_bench_in_the_collection_and_on_the_books_page(
    signed_in: Browser, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase())
    assert f'href="/books/{book}/tag"' in signed_in.get(f"/books/{book}").text
    assert 'formaction="/tags"' in signed_in.get("/collection").text
    signed_in.post("/bench/start", {"book": book, "technique": "cold-press"})
    page = read_page(signed_in.get("/bench").text)
    (form,) = [each for each in page.all("form") if each.attrs["action"] == "/tags"]
    assert [each.attrs["value"] for each in form.all("input")] == [book]
