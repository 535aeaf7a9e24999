"""A group picture: one file, several books, a part of it for each; nowhere is more than its own part shown of a book."""

import io
import re
from typing import Any

import pytest
from httpx2 import Response
from PIL import Image

from ledger.entry import Entry
from ledger.events.photograph import Crop, Photograph
from ledger.ports import Ledger
from ledger.sealed import Sealed
from tests.pictures import a_picture
from tests.web.browser import Browser, form_to, text_of
from tests.web.entry_forms import PATH, RAW, SLABBED, address, at, opened
from tests.web.markup import read_page
from tests.web.typed import size, written

LEFT = {"x_percent": "0", "y_percent": "10", "width_percent": "50", "height_percent": "80"}
RIGHT = {"x_percent": "50", "y_percent": "0", "width_percent": "50", "height_percent": "100"}
FILE = {"file": ("table.png", a_picture(size=(400, 300)))}


def two_books(ledger: Ledger) -> list[str]:
    return [written(ledger, *RAW)[0].book or "" for _ in range(2)]


def parts(*each: dict[str, str]) -> dict[str, str]:
    """The number fields of each book."""
    return {f"of.{number}.region.{name}": value for number, part in enumerate(each) for name, value in part.items()}


def sent(browser: Browser, books: list[str], fields: dict[str, str], files: Any = None) -> Response:
    form = opened(browser, address("photograph", *books))
    return browser.upload(form.action, {**form.fields, **fields}, FILE if files is None else files)


def newest(ledger: Ledger, count: int) -> list[tuple[Entry, Photograph]]:
    end = size(ledger)
    with ledger.log.read() as reader:
        entries = [reader.entry(seq) for seq in range(end - count + 1, end + 1)]
    return [(entry, entry.event) for entry in entries if isinstance(entry.event, Photograph)]


# --- the form ---------------------------------------------------------------------------------------------------------


def test_several_books_chosen_in_the_list_can_be_photographed_together(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    page = read_page(signed_in.get(f"{PATH}?book={books[0]}&book={books[1]}").text)
    (way,) = [link for link in page.all("a") if link.text.startswith("Photograph ")]
    form = opened(signed_in, way.attrs["href"])
    assert {name for name in form.fields if name.startswith("of.")} == set(parts(LEFT, RIGHT))
    assert "multiple" not in at(read_page(signed_in.get(way.attrs["href"]).text), "file").attrs


def test_one_book_has_the_form_it_always_had(ledger: Ledger, signed_in: Browser) -> None:
    fields = opened(signed_in, address("photograph", two_books(ledger)[0])).fields
    assert "shots.0.face" in fields
    assert not [name for name in fields if "region" in name]


def test_the_frames_on_the_picture_are_only_for_a_group(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    group = signed_in.get(address("photograph", *books)).text
    figure = read_page(group).one("figure", class_="on-picture")
    assert "hidden" in figure.attrs, "without a script there is nothing to drag"
    assert "enhance/parts.js" in group
    for alone in (address("photograph", books[0]), address("choice", *books)):
        page = signed_in.get(alone).text
        assert "on-picture" not in page
        assert "parts.js" not in page


# --- what is written --------------------------------------------------------------------------------------------------


def test_one_picture_is_one_act_with_an_entry_for_each_book(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    said = {"on": "May 2025", "face": "back", "light": "raking", "caption": "on the table", "scale_px_per_mm": "4,2"}
    answer = sent(signed_in, books, {**said, **parts(LEFT, RIGHT)})
    assert answer.status_code == 303, text_of(answer)
    (first, left), (second, right) = newest(ledger, 2)
    assert answer.headers["location"] == f"/ledger/{first.seq}"
    assert [first.book, second.book] == books
    assert first.act == second.act
    assert left.region == Crop(x_percent=0, y_percent=10, width_percent=50, height_percent=80)
    assert right.region == Crop(x_percent=50, y_percent=0, width_percent=50, height_percent=100)
    for each in (left, right):
        assert (str(each.on), each.face.value, each.light.value) == ("2025-05", "back", "raking")
        assert (each.caption, each.scale_px_per_mm) == (Sealed.of("on the table"), "4.2")
        assert (each.file_name, each.width_px, each.height_px) == (Sealed.of("table.png"), 400, 300)
    assert (left.original, left.clean) == (right.original, right.clean)
    assert ledger.pictures.read(left.original) == FILE["file"][1]


def test_the_same_upload_sent_twice_is_written_once(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    form = opened(signed_in, address("photograph", *books))
    before = size(ledger)
    for _ in range(2):
        assert signed_in.upload(form.action, {**form.fields, **parts(LEFT, RIGHT)}, FILE).status_code == 303
    assert size(ledger) == before + 2


# --- what is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("second", "name", "words"),
    [
        ({}, "x_percent", "Say which part of the picture shows this book"),
        ({**RIGHT, "x_percent": ""}, "x_percent", "This is needed."),
        ({**RIGHT, "width_percent": "0"}, "width_percent", "It is at least 1."),
        ({**RIGHT, "width_percent": "51"}, "x_percent", "The part reaches over the edge of the picture."),
        ({**RIGHT, "height_percent": "tall"}, "height_percent", "This is no whole number."),
        ({**RIGHT, "y_percent": "100"}, "y_percent", "It is at most 99."),
    ],
)
def test_a_part_that_cannot_be_is_told_at_its_book_and_nothing_is_written(
    ledger: Ledger, signed_in: Browser, second: dict[str, str], name: str, words: str
) -> None:
    books = two_books(ledger)
    before = size(ledger)
    answer = sent(signed_in, books, parts(LEFT, second))
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert at(page, f"of.1.region.{name}-fault").text.startswith(words)
    assert "of.0.region" not in " ".join(link.attrs["href"] for link in page.one("div", class_="faults").all("a"))
    back = form_to(answer, PATH).fields
    assert {field: back[field] for field in parts(LEFT, second)} == parts(LEFT, second)
    assert "Files are not kept by a browser." in text_of(answer)
    assert size(ledger) == before


def test_without_a_file_everything_that_is_wrong_is_told_at_once(ledger: Ledger, signed_in: Browser) -> None:
    answer = sent(signed_in, two_books(ledger), parts(LEFT, {}), {"file": ("", b"")})
    assert answer.status_code == 422
    page = read_page(answer.text)
    assert at(page, "file-fault").text == "Choose one picture. It is cut into a part for each book."
    assert at(page, "of.1.region.x_percent-fault").text.startswith("Say which part")


def test_two_files_are_one_too_many(ledger: Ledger, signed_in: Browser) -> None:
    form = opened(signed_in, address("photograph", *two_books(ledger)))
    before, files = size(ledger), [("file", FILE["file"]), ("file", ("another.png", a_picture("red")))]
    headers = {"Origin": "http://localhost:8450"}
    answer = signed_in.client.post(
        form.action, data={**form.fields, **parts(LEFT, RIGHT)}, files=files, headers=headers
    )
    assert answer.status_code == 422
    assert at(read_page(answer.text), "file-fault").text.startswith("Choose one picture.")
    assert (size(ledger), ledger.pictures.stored()) == (before, [])


def test_a_file_that_is_no_picture_is_named(ledger: Ledger, signed_in: Browser) -> None:
    answer = sent(signed_in, two_books(ledger), parts(LEFT, RIGHT), {"file": ("notes.txt", b"no picture at all")})
    assert answer.status_code == 422
    assert at(read_page(answer.text), "file-fault").text.startswith("notes.txt: it cannot be read as a picture.")


def test_a_rule_that_one_of_the_books_breaks_stops_them_all(ledger: Ledger, signed_in: Browser) -> None:
    inside, before = {"face": "inside"}, size(ledger)
    books = [written(ledger, *RAW)[0].book or "", written(ledger, *SLABBED)[0].book or ""]
    answer = sent(signed_in, books, {**inside, **parts(LEFT, RIGHT)})
    assert answer.status_code == 409
    assert "The book is slabbed at that time" in at(read_page(answer.text), "face-fault").text
    assert size(ledger) == before + len(RAW) + len(SLABBED)


# --- where it is shown ------------------------------------------------------------------------------------------------


def pictures_on(browser: Browser, path: str) -> set[str]:
    """The address of every picture of a page."""
    page = browser.get(path).text.replace("&amp;", "&")
    return set(re.findall(r"/pictures/[^\"' ]+", page))


def test_a_book_is_shown_by_its_own_part_and_by_nothing_else(ledger: Ledger, signed_in: Browser) -> None:
    books = two_books(ledger)
    sent(signed_in, books, {"on": "2025-05-01", **parts(LEFT, RIGHT)})
    (first, event), _ = newest(ledger, 2)
    for book, part in zip(books, ("0,10,50,80", "50,0,50,100"), strict=True):
        shown = pictures_on(signed_in, f"/books/{book}")
        assert {each.partition("?")[0] for each in shown} == {f"/pictures/{event.clean}"}
        assert {each.partition("&")[2] for each in shown} == {f"part={part}"}
    assert pictures_on(signed_in, f"/ledger/{first.seq}") == {f"/pictures/{event.clean}?size=1200&part=0,10,50,80"}
    assert event.clean not in signed_in.get("/collection").text
    answer = signed_in.get(f"/pictures/{event.clean}?size=1200&part=0,10,50,80")
    assert Image.open(io.BytesIO(answer.content)).size == (200, 240)


def test_a_photograph_of_one_book_is_shown_whole_on_the_page_of_its_entry(ledger: Ledger, signed_in: Browser) -> None:
    book = two_books(ledger)[0]
    form = opened(signed_in, address("photograph", book))
    signed_in.upload(form.action, form.fields, {"shots.0.file": ("front.png", a_picture(size=(300, 450)))})
    ((entry, event),) = newest(ledger, 1)
    page = read_page(signed_in.get(f"/ledger/{entry.seq}").text)
    image = page.one("figure", class_="entry-picture").one("img")
    assert image.attrs["src"] == f"/pictures/{event.clean}?size=1200"
    assert (image.attrs["width"], image.attrs["height"]) == ("1200", "1800")
    assert image.attrs["alt"] == "front, normal light"
    assert not read_page(signed_in.get("/ledger/1").text).all("figure", class_="entry-picture")
