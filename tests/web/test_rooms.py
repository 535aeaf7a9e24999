"""Rooms are entered and changed through a form, drawn as they are typed; every saving is an entry with its date."""

from typing import Any

import pytest

from ledger.bootstrap import OWNER
from ledger.events.room import Basis, Room, Side
from ledger.events.ruling import NewValue, Ruling
from ledger.ports import Ledger
from ledger.rules.lit_places import lit_places
from ledger.usecases.places import look_at_places
from ledger.usecases.record import Draft, record
from tests.builders import on
from tests.web.browser import Browser, form_to, text_of
from tests.web.markup import read_page
from tests.web.shelves import boxed, buy
from tests.web.test_hang import a_study, hung

NEW = "/wall/new-room"
STUDY = "/wall/rooms/study"
ONE_WALL = {
    "room": "hall",
    "name": "Hall",
    "on": "3 Apr 2026",
    "walls.0.id": "w",
    "walls.0.width_cm": "240",
    "walls.0.height_cm": "250",
    "walls.0.side": "west",
}


def sent(browser: Browser, do: str, path: str = NEW, **headers: str) -> Any:
    fields = form_to(browser.get(path), path).fields
    own = ONE_WALL if path == NEW else {}
    return browser.post(path, {**fields, **own, "do": do}, **headers)


def stated(ledger: Ledger, room: str) -> Room:
    return look_at_places(ledger, OWNER).by_id[room]


def test_a_room_is_entered_and_is_an_entry_with_its_date(signed_in: Browser, ledger: Ledger) -> None:
    answer = sent(signed_in, "write")
    assert answer.status_code == 303, text_of(answer)
    room = stated(ledger, "hall")
    assert (room.name.value, room.on) == ("Hall", on("2026-04-03"))
    assert [(each.id, each.width_cm, each.side) for each in room.walls] == [("w", "240", Side.WEST)]
    listed = signed_in.follow(answer)
    assert "Hall, west wall" in text_of(listed)
    links = [each.attrs["href"] for each in read_page(listed.text).one("main").all("a")]
    assert {"/wall/hall/w/hang", "/wall/hall/w/plan", "/wall/rooms/hall"} <= set(links)


def test_it_is_drawn_before_anything_is_written(signed_in: Browser, ledger: Ledger) -> None:
    assert "it is drawn here" in text_of(signed_in.get(NEW))
    shown = sent(signed_in, "show")
    assert [each.text for each in read_page(shown.text).one("aside").all("figcaption")] == ["Hall, west wall"]
    part = sent(signed_in, "show", X_Slipsheet_Part="seen")
    assert "<h1" not in part.text
    assert "Hall, west wall" in part.text
    assert look_at_places(ledger, OWNER).rooms == ()


def test_books_on_the_walls_of_a_room_lead_to_their_own_pages(signed_in: Browser, ledger: Ledger) -> None:
    a_study(ledger)
    book = buy(ledger, hung("40"))
    links = read_page(signed_in.get(STUDY).text).all("a", class_="hung")
    assert [each.attrs["href"] for each in links] == [f"/books/{book}"]


def test_what_cannot_be_drawn_yet_says_so(signed_in: Browser) -> None:
    fields = form_to(signed_in.get(NEW), NEW).fields
    answer = signed_in.post(NEW, {**fields, **ONE_WALL, "walls.0.width_cm": "wide", "do": "show"})
    assert answer.status_code == 200
    assert "cannot be drawn yet" in text_of(answer)


def test_a_light_that_nobody_measured_is_taken_from_the_table_and_marked(signed_in: Browser, ledger: Ledger) -> None:
    fields = form_to(signed_in.get(NEW), NEW).fields
    shown = signed_in.post(NEW, {**fields, **ONE_WALL, "lit": "inner-wall", "do": "estimate"})
    row = next(each for each in lit_places() if each.id == "inner-wall")
    drawn = [each.text for each in read_page(shown.text).one("aside").all("text", class_="word")]
    assert drawn == [f"about {row.lux} lx, {row.hours} h a day, estimated"]
    written = signed_in.post(NEW, {**form_to(shown, NEW).fields, "do": "write"})
    assert written.status_code == 303, text_of(written)
    (reading,) = stated(ledger, "hall").readings
    assert (reading.wall, reading.x_cm, reading.y_cm) == ("w", "120", "150")
    assert (reading.lux, reading.basis) == (str(row.lux), Basis.ESTIMATED)


def test_a_figure_that_was_ruled_otherwise_is_the_one_that_is_offered(signed_in: Browser, ledger: Ledger) -> None:
    values = (NewValue(field="lux", value="64"), NewValue(field="hours", value="2"))
    record(ledger, OWNER, [Draft(event=Ruling(table="lit_places", row="corridor", version=1, values=values))])
    fields = form_to(signed_in.get(NEW), NEW).fields
    shown = signed_in.post(NEW, {**fields, **ONE_WALL, "lit": "corridor", "do": "estimate"})
    assert form_to(shown, NEW).fields["readings.0.lux"] == "64"
    assert form_to(shown, NEW).fields["readings.0.hours_per_day"] == "2"
    assert "64 lx, from 20 to 100" in text_of(shown)


def test_a_room_is_changed_by_stating_it_anew_and_keeps_what_was_not_touched(
    signed_in: Browser, ledger: Ledger
) -> None:
    a_study(ledger)
    before = stated(ledger, "study")
    fields = form_to(signed_in.get(STUDY), STUDY).fields
    assert "room" not in fields
    answer = signed_in.post(STUDY, {**fields, "on": "2026-05-01", "walls.0.width_cm": "310", "do": "write"})
    assert answer.status_code == 303, text_of(answer)
    after = stated(ledger, "study")
    assert after.walls[0].width_cm == "310"
    assert (after.windows, after.lamps, after.readings, after.name.value) == (
        *(before.windows, before.lamps, before.readings),
        before.name.value,
    )
    with ledger.log.read() as reader:
        assert sum(isinstance(each.event, Room) for each in reader.of_collection()) == 2


def test_a_flaw_comes_back_at_its_field_and_nothing_typed_is_lost(signed_in: Browser, ledger: Ledger) -> None:
    a_study(ledger)
    fields = form_to(signed_in.get(STUDY), STUDY).fields
    answer = signed_in.post(STUDY, {**fields, "windows.0.x_cm": "250", "do": "write"})
    assert answer.status_code == 422
    assert "this lies beyond" in text_of(answer)
    assert form_to(answer, STUDY).fields["windows.0.x_cm"] == "250"
    with ledger.log.read() as reader:
        assert sum(isinstance(each.event, Room) for each in reader.of_collection()) == 1


def test_the_list_tells_what_is_where(signed_in: Browser, ledger: Ledger) -> None:
    assert "No room is entered yet" in text_of(signed_in.get("/wall/rooms"))
    a_study(ledger)
    buy(ledger, hung("40"))
    buy(ledger, boxed("Box 1"))
    found = read_page(signed_in.get("/wall/rooms").text)
    assert "300 cm wide, 250 cm high, one book." in found.one("main").text
    assert "200 cm wide, 250 cm high, nothing hangs there." in found.one("main").text
    assert [[cell.text for cell in (*row.all("th"), *row.all("td"))] for row in found.one("tbody").all("tr")] == [
        ["Box 1", "box", "not known Say where", "1"]
    ]


def test_where_a_box_stands_is_said_for_all_its_books_and_then_told(signed_in: Browser, ledger: Ledger) -> None:
    a_study(ledger)
    books = [buy(ledger, boxed("Box 1"), title=title) for title in ("Alpha", "Beta")]
    row = read_page(signed_in.get("/wall/rooms").text).one("tbody").one("tr")
    way = next(each.attrs["href"] for each in row.all("a") if "Say where" in each.text)
    asked = signed_in.get(way)
    fields = form_to(asked, "/collection/change").fields
    assert (fields["spot"], fields["place"], fields["room"]) == ("box", "Box 1", "")
    said = {**fields, "room": "study", "on": "6 Jan 2025", "reason": "It never stood elsewhere."}
    seen = signed_in.post("/collection/change", {**said, "do": "preview"})
    assert "box: Box 1 (room study)" in text_of(seen)
    written = signed_in.post("/collection/change", {**form_to(seen, "/collection/change").fields, "do": "write"})
    assert written.status_code == 303, text_of(written)
    (kept,) = look_at_places(ledger, OWNER).kept
    assert (kept.room, kept.books) == ("study", len(books))
    row = read_page(signed_in.get("/wall/rooms").text).one("tbody").one("tr")
    assert [each.text for each in row.all("td")][1] == "Study"
    assert "Say where" not in row.text


@pytest.mark.parametrize("path", [STUDY, NEW])
def test_the_caution_stands_beside_the_form(signed_in: Browser, ledger: Ledger, path: str) -> None:
    a_study(ledger)
    said = read_page(signed_in.get(path).text).one("div", class_="cautions").text
    assert "not on an outer wall" in said
    assert "Follow local codes" in said


def test_a_room_that_is_not_there_is_not_found(signed_in: Browser) -> None:
    assert signed_in.get("/wall/rooms/attic").status_code == 404


def test_the_table_of_light_gives_a_band_around_each_figure_and_names_its_kind() -> None:
    # Typical illuminances: open sun 100,000 (32,000 to 120,000), window 2,000 (about 1,000), indoors 300, evening 50,
    # corridor 20 to 100 in use, inner wall 50 to 200: common practice and memory, see the table's own marks.
    found = {each.id: (each.low, each.lux, each.high) for each in lit_places()}
    assert found["open-sun"] == (32_000, 100_000, 120_000)
    assert found["window"] == (1_000, 2_000, 2_000)
    assert (found["indoors"][1], found["evening"][1]) == (300, 50)
    assert (found["corridor"][::2], found["inner-wall"][::2]) == ((20, 100), (50, 200))
    assert all(low <= lux <= high for low, lux, high in found.values())
