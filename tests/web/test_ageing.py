"""The page of what aged a book: side by side on one scale, what is not known never as zero."""

from datetime import UTC, datetime

from ledger.events._settings import Settings
from ledger.events.placement import Placement, Spot
from ledger.rules.ageing import Band
from tests.builders import a_purchase, an_intervention, on
from tests.web.browser import Browser, Home, text_of
from tests.web.climates import a_room, days_of, logged
from tests.web.typed import written
from web.climate_drawings import BAR, HEIGHT, ageing_bars

NEW = "/climate/new"


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


def test_a_box_counts_by_the_log_of_the_room_it_stands_in_and_one_in_no_room_says_how(home: Home) -> None:
    a_room(home)
    logged(home, days_of(100, 24, 60))
    events = [Placement(on=on("2025-01-01"), spot=Spot.BOX, room=room) for room in ("study", None)]
    known, other = (str(written(home.ledger, a_purchase("2024-12-01"), each)[0].book) for each in events)
    home.clock.time = datetime(2025, 2, 10, tzinfo=UTC)
    home.set_password()
    browser = home.browser().sign_in()
    said = text_of(browser.get(f"/books/{known}/ageing"))
    # As above: forty days over 0.4541.
    assert "about 88 days" in said
    assert "Box in Study on the garden side" in said
    assert "Where no room is named" not in said
    said = text_of(browser.get(f"/books/{other}/ageing"))
    assert "Box in no room named" in said
    assert "Where no room is named, follow the entry and correct it" in said


def test_of_a_book_nobody_placed_nothing_is_known(home: Home, signed_in: Browser) -> None:
    book = str(written(home.ledger, a_purchase("2024-12-01"))[0].book)
    said = text_of(signed_in.get(f"/books/{book}/ageing"))
    assert "Nothing is known yet" in said
    assert said.count("None here") == 3, "never as zero"


def test_the_bars_stand_on_one_scale() -> None:
    found = ageing_bars([Band(low=1, middle=2, high=4), Band(low=10, middle=20, high=40), None])
    assert [(each.x, each.width, each.middle) for each in found] == [
        (BAR / 40, BAR * 3 / 40, BAR / 20),
        (BAR / 4, BAR * 3 / 4, BAR / 2),
        (0.0, 0.0, -1.0),
    ]
    assert HEIGHT > 0


def test_what_did_more_than_the_presses_is_told_even_where_a_part_is_not_known(home: Home, signed_in: Browser) -> None:
    a_room(home)
    logged(home, days_of(100, 24, 60))
    heat = Settings(measured_celsius="65", hold_minutes=10, cooling_minutes=0)
    press = an_intervention("hot-press-dry", on=on("2024-12-10"), settings=heat)
    left_out = an_intervention("hot-press-dry", on=on("2024-12-10"), settings=Settings(measured_celsius="65"))
    hung = Placement(on=on("2025-01-01"), spot=Spot.WALL, room="study", wall="n")
    boxed = Placement(on=on("2025-02-10"), spot=Spot.BOX)
    books = [
        str(written(home.ledger, a_purchase("2024-12-01"), *events)[0].book)
        for events in ((press, hung, boxed), (left_out, hung, boxed))
    ]
    home.clock.time = datetime(2025, 3, 12, tzinfo=UTC)
    home.set_password()
    browser = home.browser().sign_in()
    said = [text_of(browser.get(f"/books/{book}/ageing")) for book in books]
    # Forty days at 24 and 60 are 75 at the least; ten minutes at 65 degrees 8.2 at the most, by hand.
    assert "The wall aged it more than all presses, even without the days of which nothing is known." in said[0]
    assert "All of its 40 days are known." in said[0]
    assert "None of its 30 days is known." in said[0]
    # A session that cannot be told may have been more than anything.
    assert "Of a part of it nothing is known, so which aged it most cannot be told." in said[1]
