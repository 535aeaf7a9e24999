"""Marks of a copy without a script: the map, a photograph laid under it by two places, and one that is held for a look only."""

import base64
from urllib.parse import urlencode

import pytest

from ledger.arriving import PIECE_MOST
from ledger.bootstrap import OWNER
from ledger.events._parts import Face, Mark, Region
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
from tests.builders import a_purchase, an_examination, on
from tests.pictures import a_picture
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf
from web.condition_lines import marks_asked

FIBRE = Mark(id="m1", what="a blue fibre", face=Face.FRONT, region=Region(x_mm="20", y_mm="30"))
DOT = Mark(id="m2", what="a dot of ink", face=Face.FRONT, region=Region(x_mm="100", y_mm="200"))
STAPLE = Mark(id="m3", what="upper staple", face=Face.STAPLES, region=Region(x_mm="1", y_mm="61"))
NOWHERE = Mark(id="m4", what="a notch", face=Face.BACK)
HAND = a_picture("olive", (50, 100))


def a_marked_book(shelf: Shelf, *marks: Mark) -> str:
    look = an_examination("2024-03-01", width_mm="180", height_mm="260", marks=marks)
    return shelf.takes(a_purchase(), look)


@pytest.fixture
def book(shelf: Shelf) -> str:
    return a_marked_book(shelf, FIBRE, DOT, STAPLE, NOWHERE)


def path(book: str, **asked: str) -> str:
    return f"/books/{book}/marks" + (f"?{urlencode(asked)}" if asked else "")


def found(browser: Browser, book: str, status: int = 200, /, **asked: str) -> Element:
    answer = browser.get(path(book, **asked))
    assert answer.status_code == status, text_of(answer)
    return read_page(answer.text)


def taken(ledger: Ledger, book: str) -> int:
    """The entry of a photograph that is 50 wide and 100 high."""
    said = {"on": on("2024-05-01"), "face": Face.FRONT}
    return photograph(ledger, OWNER, book, [Shot(data=a_picture("teal", (50, 100)), said=said)]).entries[0].seq


def held(browser: Browser, book: str, data: bytes = HAND) -> str:
    """The address of the page once a photograph is held."""
    browser.get(path(book))
    answer = browser.upload(f"{path(book)}/picture", {"face": "front"}, {"file": ("hand.png", data)})
    assert answer.status_code == 303, text_of(answer)
    return str(answer.headers["location"]).partition("#")[0]


def test_the_map_shows_the_face_with_most_marks_and_the_list_all_of_them(signed_in: Browser, book: str) -> None:
    page = found(signed_in, book)
    drawn = page.one("svg", class_="of-marks")
    assert [each.one("text").text for each in drawn.all("g", class_="mark")] == ["m1", "m2"]
    circle = drawn.all("g", class_="mark")[1].all("circle")[0]
    assert (float(circle.attrs["cx"]), float(circle.attrs["cy"])) == (100, 200)
    rows = [each.text for each in page.one("tbody").all("tr")]
    assert rows[3] == "m4 a notch back not known entry 3"
    assert [each.attrs["value"] for each in page.one("select", id="face").all("option")] == ["front", "back", "staples"]


@pytest.mark.parametrize(
    ("marks", "said"),
    [((), "None is known yet."), ((FIBRE,), "One is known.")],
)
def test_at_least_three_marks_are_asked_for_in_one_way_on_both_pages(
    signed_in: Browser, shelf: Shelf, marks: tuple[Mark, ...], said: str
) -> None:
    book = a_marked_book(shelf, *marks)
    asked = f"{marks_asked(len(marks))} Write down more at the next look, with the place in mm."
    assert said in asked
    assert asked in found(signed_in, book).text
    assert marks_asked(len(marks)) in read_page(signed_in.get(f"/books/{book}/condition").text).text


def test_three_marks_are_enough(signed_in: Browser, book: str) -> None:
    assert "asked for" not in found(signed_in, book).text.lower()


def test_a_staple_lies_on_the_spine_as_narrow_as_it_is(signed_in: Browser, book: str) -> None:
    leaf = found(signed_in, book, face="staples").one("rect", class_="leaf")
    assert (float(leaf.attrs["width"]), float(leaf.attrs["height"])) == (3, 260)
    assert found(signed_in, book, face="back").one("svg", class_="of-marks").all("g", class_="mark") == []
    found(signed_in, book, 404, face="inside")


def test_a_photograph_that_was_chosen_says_that_it_is_not_laid_yet_and_what_to_do(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    (form,) = found(signed_in, book).one("section", id="lay").all("form", method="get")
    assert form.attrs["action"].endswith("/marks#lay"), "on to the picture, for on the map nothing has changed"
    seq = taken(ledger, book)
    chosen = found(signed_in, book, face="front", photo=str(seq)).one("section", id="lay")
    assert "It is not laid under yet" in chosen.text
    assert chosen.all("form", method="get")[0].attrs["action"].endswith("/marks#map")
    points = {"one": "m1", "two": "m2", "p1x": "10", "p1y": "10", "p2x": "50", "p2y": "52,5"}
    assert "not laid under yet" not in found(signed_in, book, face="front", photo=str(seq), **points).text


def test_a_photograph_lies_under_the_map_by_two_places(signed_in: Browser, ledger: Ledger, book: str) -> None:
    seq = taken(ledger, book)
    points = {"p1x": "10", "p1y": "10", "p2x": "50", "p2y": "52,5"}
    page = found(signed_in, book, face="front", photo=str(seq), one="m1", two="m2", **points)
    # Worked by hand: drawn 100 wide the picture is 200 high, so the places are (10, 20) and (50, 105). The marks lie
    # (80, 170) from each other and the places (40, 85): twice as large, not turned; (10, 20) doubled comes to (20, 30).
    image = page.one("svg", class_="of-marks").one("g", opacity="0.7").one("image")
    assert image.attrs["transform"] == "matrix(2.000000 0.000000 -0.000000 2.000000 0.000000 -10.000000)"
    assert float(image.attrs["height"]) == 200
    assert "by two places set by hand: m1: a blue fibre, and m2: a dot of ink." in page.text
    assert "turned clockwise by 0.0 degrees" in page.text
    assert "Only these two places are known here" in page.text
    corners = found(signed_in, book, face="front", photo=str(seq), one="corner1", two="m2", **points)
    assert "upper left corner, and m2" in corners.text
    assert "Only these two places are known here" not in corners.text


WRONG = [
    ({"p1x": "10"}, "p1y", "from 0 to 100"),
    ({"p1x": "10", "p1y": "x", "p2x": "1", "p2y": "1"}, "p1y", "from 0 to 100"),
    ({"p1x": "10", "p1y": "10", "p2x": "10", "p2y": "10"}, "p2x", "same place"),
    ({"p1x": "1", "p1y": "1", "p2x": "9", "p2y": "9", "one": "m1", "two": "m1"}, "two", "same place"),
]


@pytest.mark.parametrize(("asked", "field", "mend"), WRONG)
def test_places_that_lay_nothing_are_told_at_their_field(
    signed_in: Browser, ledger: Ledger, book: str, asked: dict[str, str], field: str, mend: str
) -> None:
    page = found(signed_in, book, 422, photo=str(taken(ledger, book)), **asked)
    assert mend in page.one("p", id=f"{field}-fault").text
    assert not page.all("g", opacity="0.7")


def test_a_photograph_of_the_copy_at_hand_is_held_for_this_look_and_named_by_no_entry(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, book: str
) -> None:
    before, stored = shelf.seqs(book), ledger.pictures.stored()
    there = held(signed_in, book)
    page = read_page(signed_in.get(there).text)
    href = page.one("svg", data_points="p").one("image").attrs["href"]
    picture = signed_in.get(href)
    assert (picture.status_code, picture.headers["content-type"]) == (200, "image/jpeg")
    assert picture.headers["cache-control"] == "no-store"
    assert float(page.one("svg", data_points="p").one("image").attrs["height"]) == 200
    assert (shelf.seqs(book), ledger.pictures.stored()) == (before, stored)
    assert held(signed_in, book) == there, "the same file is held once"


def test_nobody_but_the_session_that_brought_it_sees_it(
    signed_in: Browser, home: Home, visitor: Browser, book: str
) -> None:
    there = held(signed_in, book)
    href = read_page(signed_in.get(there).text).one("svg", data_points="p").one("image").attrs["href"]
    other = home.browser().sign_in(PASSWORD)
    assert other.get(there).status_code == 404
    assert other.get(href).status_code == 404
    assert other.post(f"{href}/keep", {"face": "front"}).status_code == 404


def test_it_is_taken_away_when_that_is_wished(signed_in: Browser, book: str) -> None:
    there = held(signed_in, book)
    href = read_page(signed_in.get(there).text).one("svg", data_points="p").one("image").attrs["href"]
    assert signed_in.post(f"{href}/away").headers["location"] == path(book)
    assert signed_in.get(href).status_code == 404
    assert signed_in.get(there).status_code == 404


def test_it_is_kept_as_a_photograph_of_the_book_only_when_that_is_chosen(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, book: str
) -> None:
    there = held(signed_in, book)
    page = signed_in.get(there)
    href = read_page(page.text).one("svg", data_points="p").one("image").attrs["href"]
    form = form_to(page, f"{href}/keep")
    answer = signed_in.post(f"{href}/keep", {**form.fields, "caption": "came back"})
    assert answer.status_code == 303, text_of(answer)
    with ledger.log.read() as reader:
        entry = reader.of_book(book)[-1]
    assert isinstance(entry.event, Photograph)
    assert (entry.event.face, entry.event.caption.value) == (Face.FRONT, "came back")
    assert ledger.pictures.read(entry.event.original) == HAND
    assert answer.headers["location"] == path(book, face="front", photo=str(entry.seq))
    assert signed_in.get(href).status_code == 404
    assert signed_in.follow(answer).status_code == 200


def test_what_is_no_picture_is_told_at_its_field_and_not_held(signed_in: Browser, book: str) -> None:
    for files in ({"file": ("x.jpg", b"<svg/>")}, {"other": ("x.jpg", HAND)}):
        answer = signed_in.upload(f"{path(book)}/picture", {"face": "front"}, files)
        assert answer.status_code == 422
        assert read_page(answer.text).one("p", id="file-fault").text


def test_a_file_of_several_pieces_is_held_whole(signed_in: Browser, ledger: Ledger, book: str) -> None:
    # Source: PNG, third edition, section 11.3.3: text chunks are passed over, so that a picture can be as long as this.
    large = HAND + b"\0" * (PIECE_MOST + 1)
    there = held(signed_in, book, large)
    page = signed_in.get(there)
    href = read_page(page.text).one("svg", data_points="p").one("image").attrs["href"]
    assert signed_in.post(f"{href}/keep", form_to(page, f"{href}/keep").fields).status_code == 303
    with ledger.log.read() as reader:
        event = reader.of_book(book)[-1].event
    assert isinstance(event, Photograph)
    assert len(base64.b64encode(ledger.pictures.read(event.original))) == len(base64.b64encode(large))


def test_a_macro_photograph_of_this_book_stands_beside_its_mark(signed_in: Browser, shelf: Shelf) -> None:
    book = a_marked_book(shelf)
    said = {"on": on("2024-02-20"), "face": Face.DETAIL}
    shot = photograph(shelf.ledger, OWNER, book, [Shot(data=a_picture("red", (40, 40)), said=said)]).entries[0].event
    assert isinstance(shot, Photograph)
    own = Mark(id="m1", what="a fibre", face=Face.FRONT, photograph=shot.clean)
    shelf.then(book, an_examination("2024-03-02", marks=(own,)))
    image = found(signed_in, book).one("a", class_="macro").one("img")
    assert signed_in.get(image.attrs["src"]).status_code == 200


def test_it_answers_only_somebody_who_is_signed_in(visitor: Browser, book: str) -> None:
    assert visitor.get(path(book)).status_code == 303
    assert visitor.upload(f"{path(book)}/picture", {}, {"file": ("x.png", HAND)}).status_code == 303


def test_the_condition_leads_there(signed_in: Browser, book: str) -> None:
    page = read_page(signed_in.get(f"/books/{book}/condition").text)
    assert page.all("a", href=path(book))
    found(signed_in, "nobody", 404)
