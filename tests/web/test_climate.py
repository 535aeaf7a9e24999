"""The pages of climate: a file is looked at and taken in, rooms and a book's ageing are told, what is not known stays so."""

from datetime import UTC, datetime, timedelta

import pytest

from ledger.events._settings import Settings
from ledger.events.climate import Climate
from ledger.events.placement import Placement, Spot
from ledger.events.room import Room, Wall
from ledger.events.withdrawal import Withdrawal
from ledger.rules.ageing import Band
from ledger.sealed import Sealed
from ledger.usecases.climate import Where, look_at_file, take_in
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, an_intervention, on
from tests.usecases.telling import OWNER
from tests.web.browser import Browser, Home, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.typed import written
from web.climate_drawings import BAR, HEIGHT, ageing_drawing
from web.pages.climate_new import PATH

NEW = "/climate/new"


def days_of(days: int, celsius: float, rh: float, first: str = "2025-01-01", wet: int = 0) -> bytes:
    """A reading each hour; the last `wet` days are at 78 per cent."""
    start = datetime.fromisoformat(first)
    lines = [
        f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},{celsius},{78 if hour >= (days - wet) * 24 else rh}\n"
        for hour in range(days * 24)
    ]
    return ("Time,°C,%RH\n" + "".join(lines)).encode()


def a_room(home: Home, name: str = "study") -> None:
    walls = (Wall(id="n", width_cm="400", height_cm="250"), Wall(id="s", width_cm="400", height_cm="250", outer=True))
    event = Room(on=on("2024-12-01"), room=name, walls=walls, name=Sealed.of("Study on the garden side"))
    record(home.ledger, OWNER, [Draft(event=event)])


def logged(home: Home, data: bytes, room: str = "study") -> int:
    file = look_at_file(home.ledger, OWNER, data).file
    return take_in(home.ledger, OWNER, file, [Where(channel=1, room=room)]).entries[0].seq


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


def test_what_aged_a_book_stands_side_by_side(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(100, 24, 60))
    press = an_intervention(
        "hot-press-dry",
        on=on("2025-03-01"),
        settings=Settings(measured_celsius="65", hold_minutes=10, cooling_minutes=0),
    )
    hung = Placement(on=on("2025-01-01"), spot=Spot.WALL, room="study", wall="n")
    boxed = Placement(on=on("2025-02-10"), spot=Spot.BOX, room="study")
    book = str(written(home.ledger, a_purchase("2024-12-01"), hung, boxed, press)[0].book)
    home.clock.time = datetime(2025, 3, 12, tzinfo=UTC)
    home.set_password()
    said = text_of(home.browser().sign_in().get(f"/books/{book}/ageing"))
    # Forty days over the multiplier of 24 and 60, 0.4541, are 88 days.
    assert "about 88 days" in said
    assert "40 days" in said
    assert "One session" in said
    assert "Of 31 days no place is written down" in said
    assert "What aged it before it came here is not known." in said
    assert "25 years" not in said


def test_which_aged_it_most_is_told_only_where_all_of_it_is_known(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(100, 24, 60))
    hung = Placement(on=on("2025-01-01"), spot=Spot.WALL, room="study", wall="n")
    boxed = Placement(on=on("2025-02-10"), spot=Spot.BOX)
    first, other = (
        str(written(home.ledger, a_purchase("2024-12-01"), *events)[0].book) for events in ((hung,), (hung, boxed))
    )
    home.clock.time = datetime(2025, 3, 12, tzinfo=UTC)
    home.set_password()
    browser = home.browser().sign_in()
    assert "As far as is known, the wall aged it most." in text_of(browser.get(f"/books/{first}/ageing"))
    said = text_of(browser.get(f"/books/{other}/ageing"))
    assert "Of a part of it nothing is known, so which aged it most cannot be told." in said
    assert "aged it most." not in said


def test_of_a_book_nobody_placed_nothing_is_known(home: Home, signed_in: Browser) -> None:
    book = str(written(home.ledger, a_purchase("2024-12-01"))[0].book)
    said = text_of(signed_in.get(f"/books/{book}/ageing"))
    assert "Nothing is known yet" in said
    assert said.count("None here") == 6, "in the drawing and in the table, never as zero"


def test_the_bars_stand_on_one_scale() -> None:
    found = ageing_drawing(
        [("a", "x", Band(low=1, middle=2, high=4)), ("b", "y", Band(low=10, middle=20, high=40)), ("c", "z", None)]
    )
    assert [(each.x, each.width, each.middle) for each in found.bars] == [
        (BAR / 40, BAR * 3 / 40, BAR / 20),
        (BAR / 4, BAR * 3 / 4, BAR / 2),
        (0.0, 0.0, -1.0),
    ]
    assert HEIGHT > 0
