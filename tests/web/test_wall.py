"""The page of the walls: what hangs where, drawn and in words; what lies elsewhere; and a wall on which nothing hangs."""

from typing import Any

import pytest

from ledger.bootstrap import OWNER
from ledger.events.erasure import Erasure
from ledger.events.examination import Examination
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.room import Basis, Reading, Room, Side, Wall
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases import browse
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, an_issue, on
from tests.web.browser import Browser
from tests.web.markup import Element, read_page
from tests.web.shelves import COVER, boxed, buy, sold

SHOT = Photograph(original="a" * 64, clean=COVER, on=on("2024-04"))


def hang(place: str | None, **changes: Any) -> Placement:
    return Placement(**{"spot": Spot.WALL, "place": Sealed.of(place), "on": on("2025-02-22"), **changes})


def in_study(x_cm: str, **changes: Any) -> Placement:
    return hang("Study, above", room="study", wall="n", x_cm=x_cm, y_cm="152", **changes)


def a_room(ledger: Ledger, name: str | None = "Study", *walls: Wall) -> int:
    made = walls or (Wall(id="n", width_cm="412", height_cm="262", side=Side.NORTH),)
    room = Room(room="study", walls=made, name=Sealed.of(name))
    return record(ledger, OWNER, [Draft(event=room)]).entries[0].seq


def page(browser: Browser, path: str = "/wall") -> Element:
    answer = browser.get(path)
    assert answer.status_code == 200, answer.text
    return read_page(answer.text)


def figures(found: Element) -> dict[str, list[str]]:
    """The titles that hang, from the left, by the wall's name."""
    return {
        figure.one("h2").text: [link.one("em").text for link in figure.all("a", class_="hung")]
        for figure in found.all("figure")
    }


@pytest.fixture
def house(ledger: Ledger) -> dict[str, str]:
    """Two walls, one of them of a room, a box and a safe."""
    a_room(ledger)
    seen = Examination(height_mm="260", width_mm="184", on=on("2024-03"))
    safe = Placement(spot=Spot.SAFE, place=Sealed.of(None))
    return {
        "Right": buy(ledger, in_study("60"), title="Right", slab=True),
        "Left": buy(ledger, seen, SHOT, in_study("20"), title="Left", number="9", cover_date=on("1958-06")),
        "Hall": buy(ledger, hang("Hall"), title="Hall book"),
        "Boxed": buy(ledger, boxed("Box 1"), title="Boxed"),
        "Safe": buy(ledger, safe, title="Safe"),
        "Gone": buy(ledger, in_study("90"), sold(), title="Gone"),
    }


def test_the_start_page_is_the_wall(signed_in: Browser, house: dict[str, str]) -> None:
    answer = signed_in.get("/")
    assert (answer.status_code, answer.headers["location"]) == (303, "/wall")


def test_books_hang_wall_by_wall_from_the_left(signed_in: Browser, house: dict[str, str]) -> None:
    found = page(signed_in)
    assert figures(found) == {"Study, north wall": ["Left", "Right"], "Hall": ["Hall book"]}
    lede = found.one("div", class_="top")
    assert lede.one("p").text == "3 books hang on 2 walls, all drawn at one scale."


def test_every_book_leads_to_its_page_and_says_what_it_is(signed_in: Browser, house: dict[str, str]) -> None:
    link = page(signed_in).all("a", class_="hung")[0]
    assert link.attrs["href"] == f"/books/{house['Left']}"
    card = link.one("div", class_="card")
    spans = [each.text for each in card.all("span")]
    assert spans[:2] == ["No. 9, Jun 1958", "since 22 Feb 2025"]
    # No reading of the room was entered, so its light is that of a corridor: 50 (20 to 100) lx for 3 (1 to 12) h, of which
    # 15,000 lux hours are 100 days.
    light = "days a year here: about 100 (from 12 to every day), maybe used up"
    assert link.one("span", class_="more").text == f"Study, above 184 by 260 mm 20 cm from the left, 152 cm up {light}"


def test_a_picture_fills_the_outline_of_its_book(signed_in: Browser, house: dict[str, str]) -> None:
    left, right, _ = page(signed_in).all("a", class_="hung")
    image, outline = left.one("image"), left.one("rect", class_="outline")
    assert image.attrs["href"] == f"/pictures/{COVER}?size=480"
    assert [image.attrs[side] for side in ("x", "y", "width", "height")] == [
        outline.attrs[side] for side in ("x", "y", "width", "height")
    ]
    assert float(image.attrs["width"]) / float(image.attrs["height"]) == pytest.approx(184 / 260, abs=0.005)
    assert right.all("image") == []
    assert "broken" in right.one("rect", class_="outline").attrs["class"].split()


def test_only_a_slabbed_book_has_a_holder(signed_in: Browser, house: dict[str, str]) -> None:
    left, right, _ = page(signed_in).all("a", class_="hung")
    assert left.all("rect", class_="clear") == []
    assert len(right.all("rect", class_="clear")) == 1


def test_the_wall_says_which_part_of_it_is_drawn(signed_in: Browser, house: dict[str, str]) -> None:
    captions = [each.text for each in page(signed_in).all("figcaption")]
    assert captions[0].endswith("cm of a wall 412 cm wide.")
    assert captions[1] == "Where on this wall it hangs is not entered, so the ruler only gives sizes."


def test_boxes_and_safes_are_told_below_and_lead_to_their_books(signed_in: Browser, house: dict[str, str]) -> None:
    kept = page(signed_in).one("section", class_="kept-away")
    pairs = [(each.one("dt").text, each.one("dd").text) for each in kept.one("dl").all("div")]
    assert pairs == [("Box 1", "one book"), ("A safe whose name is not known", "one book")]
    links = [each.attrs["href"] for each in kept.all("a")]
    assert links == ["/collection?place=Box+1", "/collection?unnamed=yes"]
    assert "Boxed" in signed_in.get(links[0]).text


def test_a_plain_list_says_the_same_and_one_key_goes_there_and_back(signed_in: Browser, house: dict[str, str]) -> None:
    drawn = page(signed_in)
    there = next(each for each in drawn.all("a") if each.attrs.get("data-key") == "v")
    listed = page(signed_in, there.attrs["href"])
    assert next(each for each in listed.all("a") if each.attrs.get("data-key") == "v").attrs["href"] == "/wall"
    assert [each.text for each in listed.all("h2")] == ["Study, north wall", "Hall", "Not on a wall"]
    rows = [[cell.text for cell in (*row.all("th"), *row.all("td"))] for row in listed.all("tr") if row.all("td")]
    light = "days a year here: about 100 (from 12 to every day), maybe used up"
    assert rows == [
        [
            *("Left No. 9, Jun 1958", "since 22 Feb 2025", "Study, above"),
            *("20 cm from the left, 152 cm up", "184 by 260 mm", light),
        ],
        [
            *("Right No. 14", "since 22 Feb 2025 in a holder", "Study, above"),
            *("60 cm from the left, 152 cm up", "not measured", light),
        ],
        [
            *("Hall book No. 14", "since 22 Feb 2025", "Hall"),
            *("where on the wall is not entered", "not measured", "light not known"),
        ],
    ]


@pytest.mark.parametrize(
    ("name", "wall", "title"),
    [
        ("Study", Wall(id="n", width_cm="412", height_cm="262"), "Study, wall n"),
        (None, Wall(id="n", width_cm="412", height_cm="262", side=Side.WEST), "Room study, west wall"),
        ("Study", Wall(id="other", width_cm="1", height_cm="1"), "Study, wall n"),
    ],
)
def test_a_wall_is_called_by_what_is_known_of_it(
    signed_in: Browser, ledger: Ledger, name: str | None, wall: Wall, title: str
) -> None:
    a_room(ledger, name, wall)
    buy(ledger, in_study("20"), title="Alpha")
    assert list(figures(page(signed_in))) == [title]


def test_a_room_that_was_never_described_is_called_by_its_id(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger, in_study("20"), title="Alpha")
    buy(ledger, hang("Landing", room="landing"), title="Beta")
    assert figures(page(signed_in)) == {"Room landing": ["Beta"], "Room study, wall n": ["Alpha"]}


def test_an_erased_name_is_gone_from_the_wall(signed_in: Browser, ledger: Ledger) -> None:
    room = a_room(ledger, "The nursery")
    book = buy(ledger, title="Alpha")
    placed = record(ledger, OWNER, [Draft(event=hang("Over the cot"), book=book)]).entries[0].seq
    buy(ledger, in_study("20"), title="Beta")
    assert set(figures(page(signed_in))) == {"The nursery, north wall", "Over the cot"}
    record(ledger, OWNER, [Draft(event=Erasure(entry=placed, names=("place",)), book=book)])
    record(ledger, OWNER, [Draft(event=Erasure(entry=room, names=("name",)))])
    assert set(figures(page(signed_in))) == {"Room study, north wall", "A wall that has no name"}


def test_an_empty_wall_shows_an_outline_and_how_it_begins(signed_in: Browser, ledger: Ledger) -> None:
    first = page(signed_in)
    assert first.one("rect", class_="outline")
    assert first.one("a", class_="next").attrs["href"] == "/purchase"
    buy(ledger, boxed("Box 1"), title="Alpha")
    for path in ("/wall", "/wall?as=list"):
        then = page(signed_in, path)
        assert then.one("rect", class_="outline")
        assert then.one("a", class_="next").attrs["href"] == "/collection"
        assert "Nothing hangs yet." in then.one("div", class_="bare-wall").text
        assert then.one("section", class_="kept-away").one("dt").text == "Box 1"


def test_of_a_house_full_of_books_some_are_drawn_and_the_others_counted(
    signed_in: Browser, house: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(browse, "HUNG_MOST", 1)
    for path in ("/wall", "/wall?as=list"):
        assert "2 more books hang that are not drawn here." in page(signed_in, path).one("main").text


def test_nobody_sees_the_wall_without_signing_in(visitor: Browser, house: dict[str, str]) -> None:
    answer = visitor.get("/wall")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_books_that_hang_longer_than_their_spot_allows_are_named_and_the_surest_come_first(
    signed_in: Browser, ledger: Ledger
) -> None:
    # 50 lx for 12 hours and else dark are 600 lx h a day: the yearly 15,000 lx h (CIE 157:2004) last 25 days. Where of
    # the other hours nothing is said, up to 5 lx for 20 hours may be added to 50 lx for 4: 200 to 300, 75 to 50 days.
    walls = tuple(Wall(id=name, width_cm="412", height_cm="262") for name in ("n", "s", "dark"))
    read = [("n", "50", "12"), ("n", "0", "12"), ("s", "50", "4"), ("dark", "0", "24")]
    readings = tuple(
        Reading(wall=wall, x_cm="60", y_cm="152", lux=lux, hours_per_day=hours, basis=Basis.MEASURED)
        for wall, lux, hours in read
    )
    record(ledger, OWNER, [Draft(event=Room(room="study", walls=walls, readings=readings))])
    bought: dict[str, str] = {}
    for title, wall, since in (
        ("Maybe", "s", "2025-11-05"),
        ("Surely", "n", "2025-06-01"),
        ("Fresh", "n", "2025-12-31"),
        ("Unlit", "dark", "2020-01-01"),
    ):
        hung = hang("Study", room="study", wall=wall, x_cm="60", y_cm="152", on=on(since))
        came = a_purchase("2020-01-01", issue=an_issue(title=title, number="1", cover_date=on("1958-06")))
        bought[title] = record(ledger, OWNER, [Draft(event=came, new_book=True)]).entries[0].book or ""
        record(ledger, OWNER, [Draft(event=hung, book=bought[title])])
    named = page(signed_in).one("section", class_="fading").all("li")
    assert [each.one("a").text for each in named] == ["Surely 1", "Maybe 1"]
    assert [each.one("a").attrs["href"] for each in named] == [
        f"/books/{bought[each]}/light" for each in ("Surely", "Maybe")
    ]
    assert ["maybe used up" in each.text for each in named] == [False, True]


def test_where_the_light_is_not_known_nothing_is_said_of_fading(signed_in: Browser, ledger: Ledger) -> None:
    buy(ledger, hang("Hall"), title="Hall book")
    assert page(signed_in).all("section", class_="fading") == []
