"""A guided look without a script: face by face, held between the steps, and in the end one examination with exact fields."""

from datetime import timedelta

import pytest

from ledger.accounts import LOOK_BYTES
from ledger.events._parts import Answer, Defect, Face, Holding, Light, Region
from ledger.events.examination import Odour, Suppleness, Tone
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from tests.builders import a_purchase, a_slab, on
from tests.fakes import FakeClock
from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.looks import (
    BEND,
    DIRT,
    TEAR,
    TICK,
    a_seen_book,
    page_at,
    path,
    row,
    skip,
    states,
    turn,
    write,
    written,
)
from tests.web.stories import Shelf

WHOLE = {
    "on": "5 May 2025",
    "rest_hours": "168",
    "lights": ["normal", "raking"],
    "height_mm": "259.5",
    "width_mm": "180",
    "thickness_mm": "2.5",
    "weight_g": "61",
    "pages_counted": "32",
    "completeness": "yes",
    "tone": "ivory",
    "suppleness": "supple",
    "odour": "musty",
    "presents_as": "8.0",
    "technical": "7.0",
    "examiner": "the owner",
    "remark": "by the window",
}
FOUND = (
    Defect(id="d1", type="bend", face=Face.FRONT, breaks_colour=BEND.breaks_colour, size_mm="5", region=BEND.region),
    Defect(
        id="d3", type="surface-dirt", face=Face.FRONT, breaks_colour=DIRT.breaks_colour, gone=True, note="wiped off"
    ),
    Defect(
        id="d5", type="tear", face=Face.FRONT, breaks_colour=Answer.YES, size_mm="4.5",
        region=Region(x_mm="10", y_mm="20.5", to_x_mm="40", to_y_mm="60"),
    ),
    Defect(
        id="d6", type="stain", face=Face.FRONT, size_mm="9", region=Region(x_mm="1", y_mm="2", width_mm="30")
    ),
    Defect(
        id="d2", type="spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, size_mm="3", count=4,
        region=TICK.region,
    ),
)  # fmt: skip
ORDER = ["front", "spine", "back", "edges", "inside", "staples", "whole"]


@pytest.fixture
def book(shelf: Shelf) -> str:
    return a_seen_book(shelf)


def test_it_turns_the_book_as_hands_do_and_says_what_to_look_for(signed_in: Browser, book: str) -> None:
    step, seen = "front", []
    for _ in ORDER[:-1]:
        page = page_at(signed_in, book, step)
        assert len(page.one("ul", class_="hints").all("li")) == 4
        seen.append(step)
        step = turn(signed_in, book, step)
    assert [*seen, step] == ORDER
    assert states(page_at(signed_in, book)) == {
        **dict.fromkeys(["front", "spine", "back", "edges", "inside", "staples"], "looked"),
        "the whole book": "now",
    }


def test_a_look_of_two_faces_becomes_one_examination_with_exactly_what_was_said(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, book: str
) -> None:
    line = row(0, **TEAR, region__x_mm="10", region__y_mm="20.5", region__to_x_mm="40", region__to_y_mm="60")
    area = row(1, face="front", type="stain", size_mm="9", region__x_mm="1", region__y_mm="2", region__width_mm="30")
    said = {"known.d1.is": "less", "known.d1.size_mm": "5", "known.d3.is": "gone", "known.d3.note": "wiped off"}
    assert turn(signed_in, book, "front", said={**said, **line, **area}) == "spine"
    assert turn(signed_in, book, "spine", said={"known.d2.is": "same"}) == "back"
    skip(signed_in, book, "back", "edges", "inside", "staples")
    answer = write(signed_in, book, WHOLE)
    assert answer.status_code == 303, text_of(answer)
    assert answer.headers["location"] == f"/books/{book}/condition"
    look = written(ledger, book)
    assert look.faces_looked_at == (Face.FRONT, Face.SPINE)
    assert look.defects == FOUND
    assert (look.on, look.rest_hours, look.lights) == (on("2025-05-05"), 168, (Light.NORMAL, Light.RAKING))
    assert (look.height_mm, look.width_mm, look.thickness_mm, look.weight_g) == ("259.5", "180", "2.5", "61")
    assert (look.pages_counted, look.completeness, look.tone) == (32, Answer.YES, Tone.IVORY)
    assert (look.suppleness, look.odour) == (Suppleness.SUPPLE, Odour.MUSTY)
    assert (look.presents_as, look.technical) == (Grade("8.0"), Grade("7.0"))
    assert (look.examiner.value, look.remark.value) == ("the owner", "by the window")
    assert (look.through_holder, look.staples_counted, look.marks) == (False, None, ())


def test_nothing_of_a_face_that_was_left_out_is_written_although_it_was_typed(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    turn(signed_in, book, "front", "skip", {"known.d1.is": "gone", **row(0, **TEAR)})
    skip(signed_in, book, *ORDER[1:5])
    turn(signed_in, book, "staples", said={"staples_counted": "2", "staple_rust": "no"})
    page = page_at(signed_in, book)
    assert "Looked at: staples. Not looked at: front, spine, back, edges, inside." in page.text
    assert "What you typed at a step you left out is not written: front." in page.text
    assert write(signed_in, book).status_code == 303
    look = written(ledger, book)
    assert (look.faces_looked_at, look.defects) == ((Face.STAPLES,), ())
    assert (look.staples_counted, look.staple_rust) == (2, Answer.NO)


def test_a_face_that_was_left_out_can_still_be_looked_at_and_the_other_way_round(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    turn(signed_in, book, "front", "skip", row(0, **TEAR))
    turn(signed_in, book, "spine")
    assert (
        page_at(signed_in, book, "front").one("select", id="defects.0.type").one("option", selected="").attrs["value"]
        == "tear"
    )
    turn(signed_in, book, "front")
    turn(signed_in, book, "spine", "skip")
    assert write(signed_in, book).status_code == 303
    assert written(ledger, book).faces_looked_at == (Face.FRONT,)
    assert [each.type for each in written(ledger, book).defects] == ["tear"]


def test_it_can_be_put_down_and_taken_up_where_it_was_for_a_week(
    signed_in: Browser, home: Home, clock: FakeClock, book: str
) -> None:
    turn(signed_in, book, "front", said={"known.d1.is": "same", **row(0, **TEAR)})
    signed_in.forget()
    clock.time += timedelta(days=6)
    other = home.browser().sign_in()
    assert states(page_at(other, book))["spine"] == "now"
    front = page_at(other, book, "front")
    assert front.one("input", name="known.d1.is", value="same").attrs["checked"] == ""
    assert front.one("input", id="defects.0.size_mm").attrs["value"] == "4.5"
    clock.time += timedelta(days=8)
    later = home.browser().sign_in()
    assert states(page_at(later, book))["front"] == "now"
    assert not page_at(later, book, "front").all("input", name="known.d1.is", value="same", checked="")


def test_it_can_be_begun_anew(signed_in: Browser, book: str) -> None:
    assert "begin this look anew" not in page_at(signed_in, book).text.lower()
    turn(signed_in, book, "front", said=row(0, **TEAR))
    answer = signed_in.post(path(book), {"do": "anew"})
    assert answer.headers["location"] == path(book)
    assert states(page_at(signed_in, book))["front"] == "now"
    assert page_at(signed_in, book, "front").one("input", id="defects.0.size_mm").attrs["value"] == ""


def test_what_was_typed_is_found_in_every_step_back_and_forth_and_rows_do_not_pile_up(
    signed_in: Browser, book: str
) -> None:
    turn(signed_in, book, "front", "add:defects", row(0, **TEAR))
    turn(signed_in, book, "front", "add:defects", row(1, type="stain", size_mm="2"))
    assert turn(signed_in, book, "front", "to:back") == "back"
    turn(signed_in, book, "back", said=row(2, type="stain", size_mm="3"))
    assert turn(signed_in, book, "edges", "back") == "back"
    rows = page_at(signed_in, book, "back").one("div", id="defects").all("fieldset", class_="row")
    assert [each.attrs["id"] for each in rows] == ["defects.2", "defects.3"]
    fronts = page_at(signed_in, book, "front").one("div", id="defects").all("fieldset", class_="row")
    assert [each.attrs["id"] for each in fronts] == ["defects.0", "defects.1", "defects.3"]


def test_what_is_wrong_at_an_earlier_step_is_told_with_its_name_when_it_is_written(
    signed_in: Browser, ledger: Ledger, shelf: Shelf, book: str
) -> None:
    turn(signed_in, book, "front", said={"known.d1.is": "less", "known.d1.size_mm": "5"})
    turn(signed_in, book, "front", "to:whole", {"known.d1.is": "less", "known.d1.size_mm": "12"})
    before = shelf.seqs(book)
    answer = write(signed_in, book, {"remark": "kept"})
    assert answer.status_code == 422
    assert "Front: It was 12, and this is not less." in text_of(answer)
    assert ">kept</textarea>" in answer.text
    assert shelf.seqs(book) == before


def test_a_date_before_the_last_look_is_refused_by_the_ledger_and_can_be_mended(
    signed_in: Browser, shelf: Shelf, book: str
) -> None:
    turn(signed_in, book, "front", said={"known.d1.is": "gone"})
    before = shelf.seqs(book)
    answer = write(signed_in, book, {"on": "2024-02-29"})
    assert answer.status_code == 409
    assert "never seen before" in text_of(answer)
    assert shelf.seqs(book) == before
    assert write(signed_in, book, {"on": "2025-05-05"}).status_code == 303


def test_through_a_holder_there_is_no_inside_and_nothing_to_weigh(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    book = shelf.takes(a_slab())
    skip(signed_in, book, "spine", "back")
    turn(signed_in, book, "front", said=row(0, **TEAR))
    assert turn(signed_in, book, "edges") == "staples"
    page = page_at(signed_in, book, "whole")
    assert "inside" not in states(page)
    assert not [each for each in ("weight_g", "suppleness", "odour", "pages_counted") if page.all("", name=each)]
    assert write(signed_in, book).status_code == 303
    look = written(ledger, book)
    assert (look.through_holder, look.faces_looked_at) == (True, (Face.FRONT, Face.EDGES))


def test_where_nobody_said_whether_it_is_slabbed_that_is_asked_first(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    book = shelf.takes(a_purchase(holding=Holding.NOT_STATED))
    assert page_at(signed_in, book).all("input", name="through_holder")
    turn(signed_in, book, "front", said={"through_holder": "yes"})
    assert "inside" not in states(page_at(signed_in, book))
    turn(signed_in, book, "front", said={"through_holder": "no"})
    assert "inside" in states(page_at(signed_in, book))
    assert write(signed_in, book).status_code == 303
    assert written(ledger, book).through_holder is False


def test_a_look_that_is_too_long_to_be_held_says_so_and_shows_what_was_typed(signed_in: Browser, book: str) -> None:
    long = "x" * LOOK_BYTES
    answer = signed_in.post(path(book, "front"), {**row(0, face="front", **TEAR, note=long), "do": "to:back"})
    assert answer.status_code == 422
    assert "too long to be held from step to step" in text_of(answer)
    assert long in answer.text
    assert states(page_at(signed_in, book))["front"] == "now"


def test_written_once_however_often_it_is_sent(signed_in: Browser, shelf: Shelf, book: str) -> None:
    turn(signed_in, book, "front", said=row(0, **TEAR))
    form = {**form_to(signed_in.get(path(book, "whole")), path(book)).fields, "do": "write", "on": "2025-05-05"}
    first = signed_in.post(path(book, "whole"), form)
    assert first.status_code == 303
    told = signed_in.follow(first)
    assert "Written as entry" in text_of(told)
    assert "Examination: one defect" in text_of(told) or "1 defect" in text_of(told)
    entries = shelf.seqs(book)
    assert states(page_at(signed_in, book))["front"] == "now", "the look has come to its end"
    again = signed_in.post(path(book, "whole"), form)
    assert again.status_code == 409
    assert "This form was written once already" in text_of(again)
    assert shelf.seqs(book) == entries


def test_a_session_that_ended_between_two_steps_loses_nothing(signed_in: Browser, book: str) -> None:
    page_at(signed_in, book, "front")
    signed_in.forget()
    answer = signed_in.post(path(book, "front"), {**row(0, face="front", **TEAR), "known.d1.is": "gone", "do": "next"})
    asked = signed_in.follow(answer)
    assert asked.status_code == 200
    back = signed_in.post("/sign-in", {**_sign_in_fields(asked.text), "password": "eleven tins of green peas"})
    page = signed_in.follow(back)
    assert 'id="defects.0.size_mm" name="defects.0.size_mm" type="text" value="4.5"' in page.text


def _sign_in_fields(html: str) -> dict[str, str]:
    from tests.web.markup import read_page  # noqa: PLC0415 - used here alone

    form = next(each for each in read_page(html).all("form") if each.attrs.get("action") == "/sign-in")
    return {each.attrs["name"]: each.attrs.get("value", "") for each in form.all("input") if "name" in each.attrs}


def test_it_answers_only_somebody_who_is_signed_in(visitor: Browser, book: str) -> None:
    assert visitor.get(path(book)).status_code == 303
    assert visitor.post(path(book, "front"), {"do": "next"}).status_code == 303


def test_a_book_that_is_not_here_is_not_found(signed_in: Browser) -> None:
    assert signed_in.get(path("nobody")).status_code == 404
    assert signed_in.post(path("nobody"), {"do": "next"}).status_code == 404
