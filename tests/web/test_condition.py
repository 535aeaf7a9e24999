"""The condition page: the looks in a row, what lies where on the book opened flat, and what changed since the look before."""

from typing import Any

import pytest

from ledger.events._parts import Answer, Face, Mark, Region
from ledger.events.examination import Tone
from ledger.events.sale import Disclosed, Sale
from ledger.rules.grades import Grade
from ledger.when import When
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, worked_on
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf, page_of

SIZE = {"width_mm": "180", "height_mm": "260"}


def a_bend(name: str, size: str | None = "12", **more: Any) -> Any:
    return a_defect(name, "bend", size_mm=size, **more)


@pytest.fixture
def worked(shelf: Shelf) -> str:
    """A book with two looks and a press between them."""
    at: dict[str, Any] = {"face": Face.FRONT, "region": Region(x_mm="20", y_mm="30")}
    first = an_examination(
        "2024-03-01",
        **SIZE,
        defects=(
            a_bend("d1", **at),
            a_bend("d2", face=Face.BACK, region=Region(x_mm="5", y_mm="6", width_mm="40", height_mm="10")),
            a_defect(
                "d3", "spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, region=Region(x_mm="1", y_mm="100")
            ),
            a_bend("d4", face=Face.INSIDE),
        ),
    )
    second = an_examination(
        "2024-04-01",
        rest_hours=168,
        defects=(a_bend("d1", "4", **at), a_bend("d2", None, gone=True, face=Face.BACK), a_bend("d5")),
    )
    return shelf.takes(a_purchase(), first, an_intervention("cold-press", "2024-03-10"), second)


def found(browser: Browser, book: str, asked: str = "") -> Element:
    answer = browser.get(f"/books/{book}/condition{asked}")
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def rows(page: Element) -> dict[str, list[str]]:
    """The cells behind each id of the table."""
    return {each.one("th").text: [cell.text for cell in each.all("td")] for each in page.one("tbody").all("tr")}


def test_a_book_nobody_looked_at_leads_to_the_first_look(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    page = found(signed_in, book)
    assert "Nobody has looked at this book yet." in page.text
    assert page.all("a", href=f"/entry/new?kind=examination&book={book}")


def test_the_last_look_says_what_changed_since_the_one_before(signed_in: Browser, shelf: Shelf, worked: str) -> None:
    page = found(signed_in, worked)
    assert {name: cells[4] for name, cells in rows(page).items()} == {
        "d1": "lessened",
        "d3": "not looked at",
        "d4": "not looked at",
        "d5": "new",
        "d2": "gone",
    }
    assert "One is new. One has lessened. One is gone. 2 were not looked at." in page.text
    press = shelf.seqs(worked)[2]
    assert f"One step of work since the look before: entry {press} ." in page.text
    assert "This look counts for what the work came to" in page.text


def test_an_earlier_look_is_a_plain_link_away(signed_in: Browser, shelf: Shelf, worked: str) -> None:
    first, last = shelf.seqs(worked)[1], shelf.seqs(worked)[3]
    page = found(signed_in, worked)
    assert page.one("a", rel="prev").attrs["href"] == f"/books/{worked}/condition?look={first}"
    before = found(signed_in, worked, f"?look={first}")
    assert {cells[4] for cells in rows(before).values()} == {"new"}
    assert before.one("a", rel="next").attrs["href"] == f"/books/{worked}/condition?look={last}"
    assert before.one("nav", class_="looks").one("a", aria_current="page").attrs["href"].endswith(f"look={first}")


def test_a_defect_lies_where_it_was_noted_to_scale(signed_in: Browser, shelf: Shelf, worked: str) -> None:
    drawing = found(signed_in, worked, f"?look={shelf.seqs(worked)[1]}").one("svg", class_="flat")
    back, spine, front = drawing.all("rect", class_="leaf")
    assert (back.attrs["width"], back.attrs["height"]) == ("180.0", "260.0")
    point, area, tick = (each for each in drawing.all("g", class_="defect"))
    circle = point.one("circle")
    assert float(circle.attrs["cx"]) == float(front.attrs["x"]) + 20
    assert float(circle.attrs["cy"]) == 30
    box = area.one("rect")
    assert [float(box.attrs[side]) for side in ("x", "y", "width", "height")] == [5, 6, 40, 10]
    assert "solid" in tick.attrs["class"].split()
    assert "solid" not in point.attrs["class"].split()
    assert float(spine.attrs["x"]) < float(tick.one("circle").attrs["cx"]) < float(front.attrs["x"])


def test_what_has_no_place_stands_in_the_table_and_is_said_to_have_none(signed_in: Browser, worked: str) -> None:
    page = found(signed_in, worked)
    assert rows(page)["d4"][1] == "inside no place noted"
    assert len(page.one("svg", class_="flat").all("g", class_="defect")) == 3


def test_a_look_after_a_rest_is_asked_for_until_there_is_one(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(
        a_purchase(),
        an_examination("2024-03-01", defects=(a_bend("d1"),)),
        an_intervention("cold-press", "2024-03-10"),
        an_examination("2024-03-11", rest_hours=12, defects=(a_bend("d1", "3"),)),
    )
    page = found(signed_in, book)
    assert "The look that counts is still to come: after a week of rest with no work since." in page.text
    assert "See d1 (Bend or finger dent) again then: what was eased can come back." in page.text


def test_more_work_ends_what_a_look_counted_for(signed_in: Browser, shelf: Shelf, worked: str) -> None:
    assert "This look counts" in found(signed_in, worked).text
    shelf.then(worked, an_intervention("cold-press", "2024-04-10", worked_defects=worked_on("d1", "d5")))
    for asked in ("", f"?look={shelf.seqs(worked)[1]}"):
        text = found(signed_in, worked, asked).text
        assert "This look counts" not in text
        assert (
            "See these 2 again then, for what was eased can come back: d1 (Bend or finger dent), d5 (Bend or finger dent)."
            in text
        )


def facts(page: Element) -> dict[str, str]:
    return {each.one("dt").text: each.one("dd").text for each in page.one("dl", class_="facts").all("div")}


def test_what_is_said_of_the_whole_book_stands_beside_what_was_said_before(signed_in: Browser, shelf: Shelf) -> None:
    first = an_examination("2024-03-01", **SIZE, weight_g="92.5", presents_as=Grade("8.0"), tone=Tone.IVORY)
    second = an_examination("2024-04-01", height_mm="260", weight_g="92.1", presents_as=Grade("8.5"))
    book = shelf.takes(a_purchase(), first, second)
    seq = shelf.seqs(book)[1]
    told = facts(found(signed_in, book))
    assert told["Presents as"] == f"8.5; 8.0 at entry {seq}"
    assert told["Height"] == f"260 mm, as at entry {seq}"
    assert told["Width"] == f"not said at this look; 180 mm at entry {seq}"
    assert told["Weight"] == f"92.1 g; 92.5 g at entry {seq}"
    assert told["Paper tone"] == f"not said at this look; ivory at entry {seq}"
    assert told["Paper suppleness"] == "not known"
    assert "Pages" not in told
    assert facts(found(signed_in, book, f"?look={seq}"))["Height"] == "260 mm"


def test_marks_of_this_copy_stand_and_are_drawn_apart(signed_in: Browser, shelf: Shelf) -> None:
    marks = (
        Mark(id="m1", what="Blue fibre", face=Face.BACK, region=Region(x_mm="30", y_mm="40")),
        Mark(id="m2", what="Staple a little high", face=Face.STAPLES),
    )
    book = shelf.takes(a_purchase(), an_examination("2024-03-01", **SIZE, marks=marks, defects=(a_bend("d1"),)))
    page = found(signed_in, book)
    drawn = page.one("svg", class_="flat").one("g", class_="mark")
    assert drawn.one("path").attrs["d"].startswith("M30.0 37.8l")
    assert drawn.one("text").text == "m1"
    _, table = page.all("tbody")
    entry = f"entry {shelf.seqs(book)[1]}"
    assert [[cell.text for cell in each.all("td")] for each in table.all("tr")] == [
        ["Blue fibre", "back", entry],
        ["Staple a little high", "staples no place noted", entry],
    ]


def test_what_was_gone_before_and_was_not_looked_for_is_still_told_as_gone(signed_in: Browser, shelf: Shelf) -> None:
    looks = [
        an_examination("2024-03-01", defects=(a_bend("d1"), a_bend("d2"))),
        an_examination("2024-04-01", defects=(a_bend("d1", None, gone=True),)),
        an_examination("2024-05-01"),
    ]
    page = found(signed_in, shelf.takes(a_purchase(), *looks))
    assert [(name, cells[4]) for name, cells in rows(page).items()] == [
        ("d2", "not looked at"),
        ("d1", "gone at an earlier look"),
    ]
    assert "One was not looked at." in page.text


def test_no_look_is_asked_for_of_a_book_that_has_left(signed_in: Browser, shelf: Shelf) -> None:
    sale = Sale(on=When.parse("2024-04-01"), disclosed=Disclosed.NOTHING)
    book = shelf.takes(a_purchase(), an_examination("2024-03-01"), an_intervention("cold-press", "2024-03-10"), sale)
    assert "still to come" not in found(signed_in, book).text


def test_what_is_gone_is_told_without_colour_alone(signed_in: Browser, shelf: Shelf) -> None:
    place: dict[str, Any] = {"face": Face.BACK, "region": Region(x_mm="5", y_mm="6")}
    looks = [
        an_examination("2024-03-01", defects=(a_bend("d1", **place),)),
        an_examination("2024-04-01", defects=(a_bend("d1", None, gone=True, **place),)),
    ]
    page = found(signed_in, shelf.takes(a_purchase(), *looks))
    drawn = page.one("svg", class_="flat").one("g", class_="defect")
    assert "gone" in drawn.attrs["class"].split()
    assert drawn.one("title").text == "d1, Bend or finger dent, gone"
    assert "its id struck through where it is gone" in page.text


def test_a_width_that_changed_raises_a_question(signed_in: Browser, shelf: Shelf) -> None:
    looks = [
        an_examination(day, width_mm=wide, height_mm="260")
        for day, wide in (("2024-03-01", "180"), ("2024-04-01", "178"))
    ]
    assert "Its width differs by a millimetre or more" in found(signed_in, shelf.takes(a_purchase(), *looks)).text


def test_what_was_said_right_after_work_stands_apart_from_what_the_look_found(
    signed_in: Browser, shelf: Shelf, worked: str
) -> None:
    step = an_intervention("cold-press", "2024-04-10", worked_defects=worked_on("d1 gone", "d5 same"))
    shelf.then(worked, step)
    seq = shelf.seqs(worked)[-1]
    claim = f"Entry {seq}. Said right after the step: d1 gone, d5 the same. The look after a rest decides."
    assert claim in found(signed_in, worked).text
    first = shelf.seqs(worked)[1]
    assert claim not in found(signed_in, worked, f"?look={first}").text
    shelf.then(worked, an_examination("2024-05-10", defects=(a_defect("d1", size_mm="9"),)))
    assert claim not in found(signed_in, worked).text


def test_an_entry_that_is_no_look_at_this_book_is_not_found(signed_in: Browser, shelf: Shelf, worked: str) -> None:
    for asked in (shelf.seqs(worked)[0], 9999):
        assert signed_in.get(f"/books/{worked}/condition?look={asked}").status_code == 404
    assert signed_in.get("/books/nobody/condition").status_code == 404


def test_the_books_page_leads_to_it(signed_in: Browser, worked: str) -> None:
    assert page_of(signed_in, worked).all("a", href=f"/books/{worked}/condition")
