"""The page of the collection: what a line says of a book, what the page offers, and its states."""

import pytest

from ledger.bootstrap import OWNER
from ledger.events.erasure import Erasure
from ledger.events.placement import Placement, Spot
from ledger.ports import Ledger
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, a_stated_grade, an_issue, on
from tests.web.browser import Browser
from tests.web.markup import read_page
from tests.web.shelves import COVER, a_shelf, boxed, buy, line_of, page, titles
from web.render import PART


@pytest.fixture
def shelf(ledger: Ledger) -> dict[str, str]:
    return a_shelf(ledger)


def test_a_line_says_what_the_book_is_and_where_it_is(signed_in: Browser, shelf: dict[str, str]) -> None:
    line = line_of(page(signed_in), "Alpha")
    assert line.one("th").text == "Alpha 14 Gorse Hill Press, Sep 1958"
    assert line.one("th").one("a").attrs["href"] == f"/books/{shelf['Alpha']}"
    assert line.one("td", class_="opinion").text == "9.0 Third Bench"
    assert line.one("td", class_="where").text == "Box 1 In a box, slabbed"
    assert line.one("td", class_="work").text == "none here"
    assert line.one("td", class_="written").text == "2 Jan 2026"


def test_a_book_stands_in_the_list_at_one_twentieth_of_its_size(signed_in: Browser, shelf: dict[str, str]) -> None:
    # An inch is 25.4 mm and 96 px. Source: CSS Values and Units Level 3, section 6.2.
    picture = line_of(page(signed_in), "Alpha").one("img")
    assert picture.attrs["src"] == f"/pictures/{COVER}?size=160"
    for side, mm in (("width", 184), ("height", 260)):
        assert float(picture.attrs[side]) == pytest.approx(mm / 25.4 * 96 / 20, abs=0.1)
    assert (picture.attrs["alt"], picture.attrs["loading"]) == ("", "lazy")
    outline = line_of(page(signed_in), "Beta").one("td", class_="front").one("svg")
    # Common practice, no source: a book whose year is not known is drawn 181 by 267 mm, and its outline is broken.
    assert float(outline.attrs["width"]) == pytest.approx(181 / 25.4 * 96 / 20, abs=0.1)
    assert outline.attrs["class"] == "broken"


def test_a_clear_holder_is_drawn_around_a_slabbed_book_only(signed_in: Browser, shelf: dict[str, str]) -> None:
    found = page(signed_in)
    assert line_of(found, "Alpha").one("span", class_="clear")
    assert line_of(found, "Beta").all("span", class_="clear") == []


def test_the_stated_grade_is_a_stroke_on_a_rule_of_equal_steps(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger, slab=True, title="One step")
    stated = a_stated_grade("VG to FN", "4.0", "4.5", "5.0")
    span = a_purchase(issue=an_issue(title="Three steps"), stated=stated)
    record(ledger, OWNER, [Draft(event=span, new_book=True)])
    buy(ledger, title="None")
    found = page(signed_in)
    strokes = {title: line_of(found, title).all("rect", class_="stated") for title in titles(found)}
    # Common practice, no source: 9.0 is the nineteenth of 25 steps, 4.0 to 5.0 the ninth to the eleventh; each is 5 px.
    (one,), (three,), none = strokes["One step"], strokes["Three steps"], strokes["None"]
    assert (float(one.attrs["x"]), float(one.attrs["width"])) == (18 * 5 + 1, 3)
    assert (float(three.attrs["x"]), float(three.attrs["width"])) == (8 * 5 + 1, 2 * 5 + 3)
    assert none == []


def test_what_is_not_known_says_so(signed_in: Browser, shelf: dict[str, str]) -> None:
    found = page(signed_in)
    assert line_of(found, "Delta").one("td", class_="where").text == "not known In a box, raw, on the bench"
    assert line_of(found, "Zeta").one("td", class_="where").text == "Here, raw"
    assert line_of(found, "Zeta").one("td", class_="opinion").text == "no grade stated"


def test_a_book_on_a_wall_is_there_whether_or_not_the_spot_has_a_name(signed_in: Browser, ledger: Ledger) -> None:
    book = buy(ledger, title="Alpha")
    hung = Placement(spot=Spot.WALL, on=on("2025-01-05"))
    record(ledger, OWNER, [Draft(event=hung, book=book)])
    line = line_of(page(signed_in), "Alpha")
    assert line.one("td", class_="where").text.startswith("On the wall")


def test_a_book_in_other_hands_says_so_first_and_then_whether_it_is_raw(
    signed_in: Browser, shelf: dict[str, str]
) -> None:
    line = line_of(page(signed_in), "Omega <&>")
    assert line.one("td", class_="where").text == "In other hands since May 2025 raw"


def test_an_opinion_without_a_name_says_whose_it_is(signed_in: Browser, ledger: Ledger) -> None:
    book = buy(ledger, slab=True, stated_by="Third Bench", title="Alpha")
    with ledger.log.read() as reader:
        entry = reader.of_book(book)[0].seq
    record(ledger, OWNER, [Draft(event=Erasure(entry=entry, names=("stated_by",)), book=book)])
    assert line_of(page(signed_in), "Alpha").one("td", class_="opinion").text == "9.0 by a grading service"


def test_an_erased_place_is_gone_from_the_list_and_from_what_narrows_it(signed_in: Browser, ledger: Ledger) -> None:
    book = buy(ledger, title="Alpha")
    placed = record(ledger, OWNER, [Draft(event=boxed("The loft"), book=book)]).entries[0]
    buy(ledger, boxed("Box 2"), title="Beta")
    assert "The loft" in signed_in.get("/collection").text
    record(ledger, OWNER, [Draft(event=Erasure(entry=placed.seq, names=("place",)), book=book)])
    again = signed_in.get("/collection").text
    assert "The loft" not in again
    assert "Box 2" in again


def test_a_script_gets_only_the_list(signed_in: Browser, shelf: dict[str, str]) -> None:
    answer = signed_in.get("/collection?q=beta", **{PART: "rows"})
    assert answer.status_code == 200
    assert "<!doctype" not in answer.text
    assert titles(read_page(answer.text)) == ["Beta"]
    assert (answer.headers["vary"], answer.headers["cache-control"]) == (PART, "no-store")
    whole = page(signed_in, "/collection?q=beta")
    form = whole.one("form", class_="whole")
    assert (form.attrs["method"], form.attrs["data-search"]) == ("get", "list")
    assert whole.one("div", id="list").all("table")
    assert whole.one("input", id="search").attrs["data-key"] == "/"


def test_the_ticked_books_lead_to_one_new_entry_for_all_of_them(signed_in: Browser, shelf: dict[str, str]) -> None:
    form = page(signed_in).one("form", action="/entry/new")
    assert form.attrs["method"] == "get"
    ticks = form.all("input", name="book")
    assert [tick.attrs["value"] for tick in ticks] == [
        shelf[name] for name in ("Alpha", "Beta", "Delta", "Omega", "Zeta")
    ]
    assert ticks[3].attrs["aria-label"] == "Omega <&> 14"


def test_an_empty_collection_says_how_it_begins(signed_in: Browser) -> None:
    shown = page(signed_in)
    assert shown.all("table") == shown.all("form", class_="whole") == []
    assert shown.one("div", class_="empty").one("a", class_="next").attrs["href"] == "/purchase"


def test_a_list_that_holds_nothing_leads_back_to_all(signed_in: Browser, shelf: dict[str, str]) -> None:
    shown = page(signed_in, "/collection?q=nothing+of+the+kind")
    empty = shown.one("div", class_="empty")
    assert empty.one("p").text == "No book fits all of this."
    assert [each.attrs["href"] for each in empty.all("a")] == ["/find?q=nothing+of+the+kind", "/collection"]
    assert shown.one("input", id="search").attrs["value"] == "nothing of the kind"


def test_a_page_is_made_anew_after_every_entry(signed_in: Browser, shelf: dict[str, str], ledger: Ledger) -> None:
    before = signed_in.get("/collection").text
    assert signed_in.get("/collection").text == before
    record(ledger, OWNER, [Draft(event=boxed("Box 9"), book=shelf["Zeta"])])
    assert line_of(page(signed_in), "Zeta").one("td", class_="where").text == "Box 9 In a box, raw"


def test_nobody_sees_the_list_without_signing_in(visitor: Browser, shelf: dict[str, str]) -> None:
    answer = visitor.get("/collection?q=alpha")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_a_misspelt_title_leads_to_the_likest(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger, title="Captain Lantern")
    buy(ledger, title="Harbour Lights")
    found = page(signed_in, "/collection?q=captian lantren")
    link, *_ = [each for each in found.one("div", class_="empty").all("a") if "q=" in each.attrs["href"]]
    assert link.text == "Captain Lantern"
    assert titles(read_page(signed_in.get(link.attrs["href"]).text)) == ["Captain Lantern"]


def test_the_ways_on_stand_at_its_head(signed_in: Browser, shelf: dict[str, str]) -> None:
    assert shelf
    head = read_page(signed_in.get("/collection").text).one("p", class_="ways-on")
    assert [each.attrs["href"] for each in head.all("a")] == [
        *("/find", "/barcode", "/runs", "/wants"),
        *("/prospects", "/batches", "/money", "/forecasts"),
        *("/bring-in", "/collection/catalogue"),
    ]
