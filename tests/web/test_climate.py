"""The pages of climate: a file is looked at and taken in, rooms and a book's ageing are told, what is not known stays so."""

import pytest

from ledger.events.climate import Climate
from ledger.events.withdrawal import Withdrawal
from ledger.usecases.record import Draft, record
from tests.builders import on
from tests.usecases.telling import OWNER
from tests.web.browser import Browser, Home, form_to, forms_of, text_of
from tests.web.climates import a_room, days_of, logged
from tests.web.markup import read_page
from web.pages.climate_new import PATH

NEW = "/climate/new"


def size(home: Home) -> int:
    with home.ledger.log.read() as reader:
        return reader.head().size


def test_without_a_log_it_says_what_starts_it(signed_in: Browser) -> None:
    said = text_of(signed_in.get("/climate"))
    assert "No climate log has been taken in yet" in said
    assert "Take in a logger" in said


def test_a_file_is_looked_at_and_taken_in_with_its_room(home: Home, signed_in: Browser) -> None:
    a_room(home)
    before = size(home)
    seen = signed_in.upload(NEW, {}, {"file": ("study.csv", days_of(10, 21, 55) + b"end,,\n")})
    assert seen.status_code == 200, text_of(seen)
    said = text_of(seen)
    assert "240 readings, one in 60 min, 100.0 % of the time known" in said
    assert "One row or figure is not read." in said
    assert "Line 242: no time that can be read" in said
    assert size(home) == before
    form = next(each for each in forms_of(seen) if each.action.startswith(PATH))
    empty = signed_in.post(form.action, {**form.fields, "do": "take", "room1": ""})
    assert (empty.status_code, "Give at least one channel its room." in text_of(empty)) == (422, True)
    fields = {**form.fields, "do": "take", "room1": "study", "place1": "On the shelf", "remark": "New battery"}
    taken = signed_in.post(form.action, fields)
    assert (taken.status_code, taken.headers["location"]) == (303, "/climate")
    assert "One climate log is taken in." in text_of(signed_in.follow(taken))
    with home.ledger.log.read() as reader:
        entry = reader.entry(size(home))
    assert isinstance(entry.event, Climate)
    assert (entry.event.room, entry.event.readings, entry.event.place.value) == ("study", 240, "On the shelf")
    assert (entry.event.file_name.value, entry.event.remark.value) == ("study.csv", "New battery")
    again = signed_in.post(form.action, fields)
    assert (again.status_code, size(home)) == (303, before + 1)


def test_a_channel_without_a_temperature_says_why_nothing_of_it_counts(home: Home, signed_in: Browser) -> None:
    a_room(home)
    data = days_of(3, 21, 55).replace("°C".encode(), b"Warmth")
    said = text_of(signed_in.upload(NEW, {}, {"file": ("attic.csv", data)}))
    assert "one channel. Lines before the first reading: 1." in said
    assert "0.0 % of the time known. A reading counts only with its temperature and its humidity" in said
    told = text_of(signed_in.upload(NEW, {}, {"file": ("study.csv", days_of(3, 21, 55))}))
    assert "A reading counts only" not in told


def test_what_the_file_leaves_open_is_asked_once(home: Home, signed_in: Browser) -> None:
    a_room(home)
    data = b"Time,Temp,RH\n03/04/2025 00:00,68,50\n03/04/2025 01:00,77,50\n"
    seen = signed_in.upload(NEW, {}, {"file": ("a.csv", data)})
    assert "can be read in two ways" in text_of(seen)
    form = next(each for each in forms_of(seen) if each.action.startswith(PATH))
    said = signed_in.post(form.action, {**form.fields, "do": "look", "dates": "month first", "unit": "°F"})
    assert "2025-03-04 00:00:00 to 2025-03-04 01:00:00" in text_of(said)
    form = form_to(said, form.action)
    assert signed_in.post(form.action, {**form.fields, "do": "take", "room1": "study"}).status_code == 303


@pytest.mark.parametrize("data", [b"", b"nothing", b"\x89PNG\r\n" + bytes(20)])
def test_what_is_no_logger_file_comes_back_with_the_reason(signed_in: Browser, data: bytes) -> None:
    answer = signed_in.upload(NEW, {}, {"file": ("a.csv", data)})
    assert answer.status_code == 422
    assert "Export it as CSV" in text_of(answer)


def test_a_file_that_is_no_longer_kept_is_not_found(signed_in: Browser) -> None:
    form = form_to(signed_in.get(NEW), NEW)
    assert "Choose a file." in text_of(signed_in.upload(form.action, {}, {}))
    assert signed_in.post(f"{NEW}/{'ab' * 32}", {"do": "take"}).status_code == 404


def test_a_room_is_told_with_its_band_its_damp_and_labels(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(20, 21, 55, wet=5))
    page = read_page(signed_in.get("/climate/rooms/study").text)
    said = page.text
    assert "Study on the garden side" in said
    assert "It was above 75 %, somewhere in the room." in said
    assert "5.0 days" in said
    assert "At an outer wall 7 °C colder than the room" in said
    assert "a home passes or fails none of them" in said
    assert "from memory" in said
    assert "Follow local codes; for valuable or unstable books ask a paper conservator." in said
    assert "20 of 20 days have readings; 5 of them went above 75 %." in said
    assert "25 years" not in said
    assert signed_in.get("/climate/rooms/attic").status_code == 404


def test_a_withdrawn_log_is_shown_no_more(home: Home, signed_in: Browser) -> None:
    a_room(home)
    seq = logged(home, days_of(5, 21, 55))
    assert "Study on the garden side" in text_of(signed_in.get("/climate"))
    record(home.ledger, OWNER, [Draft(event=Withdrawal(on=on("2025-02-01"), entry=seq))])
    assert "No climate log has been taken in yet" in text_of(signed_in.get("/climate"))


def test_a_gap_is_left_blank_in_the_drawing_and_told(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(5, 20, 50))
    logged(home, days_of(5, 20, 50, first="2025-01-11"))
    answer = signed_in.get("/climate/rooms/study").text
    assert "10 of 15 days have readings; 0 of them went above 75 %." in answer
    page = read_page(answer)
    paths = [each.attrs["d"] for each in page.all("path") if each.attrs.get("class") == "day-reach"]
    assert [each.count("M") for each in paths] == [10, 10]
    assert "66.6 % of the time is known" in page.text


def test_every_number_of_a_room_has_its_limit_beside_it(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(20, 21, 55, wet=5))
    said = text_of(signed_in.get("/climate/rooms/study"))
    for limit in (
        "An index for comparing places, not a forecast",
        "Isoperms are another formula for the same, with 25 to 35 kcal/mol; the index of film is not made for paper.",
        "Temperature and humidity are as the logger wrote them and as exact as it is",
        "These are labels beside the log and no finding of mould.",
        "how much colder an outer wall is, on a mild and on a cold day, is assumed",
        "a curve for 20 to 25 °C, from memory, and no verdict",
        "a home passes or fails none of them",
    ):
        assert limit in said


def test_the_longest_damp_stands_beside_the_days_of_the_curve(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(20, 21, 55, wet=5))
    sheet = read_page(signed_in.get("/climate/rooms/study").text).one("section", id="damp")
    rows = [[cell.text for cell in (*row.all("th"), *row.all("td"))] for row in sheet.all("tbody")[1].all("tr")]
    # Five days of 78 per cent in the air; 21 degrees and 55 are 86 at a wall of 14, so all twenty days are damp there.
    assert rows[3] == ["Above 75 %", "5.0 days", "5.0 days", "20.0 days", "about 30 days"]
    assert rows[4][1:4] == ["0.0 days", "5.0 days", "20.0 days"]
    assert rows[0][-1] == "years"


def test_the_air_at_a_wall_is_worked_out_beside_what_was_measured(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(5, 21, 55))
    path = "/climate/rooms/study"
    form = form_to(signed_in.get(path), path)
    assert (form.fields["celsius"], form.fields["rh"]) == ("21.0", "55.0"), "it stands ready with the means of the room"
    before = size(home)
    page = read_page(signed_in.get(f"{path}?celsius=21&rh=55&outside=0&kind=solid-brick&surface=14").text)
    columns = {
        each.one("h3").text: dict(zip((d.text for d in each.all("dt")), (d.text for d in each.all("dd")), strict=True))
        for each in page.one("div", class_="at-walls").all("div")
        if each.all("h3")
    }
    # By hand: 1 - 0.25 / (1 / 2.2 + 0.12) = 0.565 of 21 degrees behind a picture, 0.714 bare; 85.6 % at 14 degrees.
    assert columns["Estimated, the coldest it may be"]["The surface"] == "11.9 °C"
    assert columns["Estimated, the warmest it may be"]["The surface"] == "15.0 °C"
    assert columns["As you measured it"]["Humidity there"] == "86 %"
    assert columns["As you measured it"]["It is seen after"] == "about 10 days"
    assert "Water settles on whatever is at 11.6 °C or colder." in page.text
    assert "never a sign that a book is safe" in page.text
    assert size(home) == before, "nothing is written"


def test_a_wall_without_its_figures_comes_back_with_what_is_missing(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(5, 21, 55))
    answer = signed_in.get("/climate/rooms/study?celsius=21&rh=")
    assert answer.status_code == 422
    said = text_of(answer)
    assert "The air of the room is needed" in said
    assert "Give the temperature outdoors for an estimate" in said


def test_the_cautions_of_mould_and_of_hanging_stand_with_a_room(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(5, 21, 55))
    said = text_of(signed_in.get("/climate/rooms/study"))
    for words in (
        "Put the book in a closed bag away from the others",
        "gloves",
        "not on an outer wall, not over a heater",
    ):
        assert words in said
    assert said.count("Follow local codes; for valuable or unstable books ask a paper conservator.") == 2


def test_the_days_that_were_wet_are_named(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(20, 21, 55, wet=5))
    said = text_of(signed_in.get("/climate/rooms/study"))
    assert "Above 75 %, the last time first: 16 January 2025 to 20 January 2025." in said
