"""The hanging plan: measures from the left end and the floor, captions, and the same as a PDF."""

from decimal import Decimal

import pytest

from ledger.bootstrap import OWNER
from ledger.events.examination import Examination
from ledger.events.placement import Placement, Spot
from ledger.ports import Ledger
from ledger.usecases.places import look_at_places, wall_in
from tests.builders import on
from tests.pdf import elements, opened, words
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import read_page
from tests.web.shelves import buy
from tests.web.test_hang import a_study, hung
from web.hanging_plan import plan_of

PATH = "/wall/study/n/plan"
MEASURED = Examination(height_mm="260", width_mm="180", on=on("2024-03"))


@pytest.fixture
def study(ledger: Ledger) -> dict[str, str]:
    """Two books at known places, and one that hangs somewhere on the wall."""
    a_study(ledger)
    return {
        "Beta": buy(ledger, MEASURED, hung("90", "155"), title="Beta", number="7", cover_date=on("1958-06")),
        "Alpha": buy(ledger, hung("40"), title="Alpha", slab=True, cover_date=on("1951")),
        "Loose": buy(ledger, Placement(spot=Spot.WALL, room="study", wall="n", on=on("2025")), title="Loose"),
    }


def test_every_measure_is_counted_from_the_left_end_and_the_floor(signed_in: Browser, study: dict[str, str]) -> None:
    found = read_page(signed_in.get(PATH).text)
    # By hand: in its holder Alpha is 197 + 40 by 267 + 50 mm, so its left edge is at 40 - 23.7 / 2 and its upper edge at
    # 150 + 31.7 / 2; Beta is 180 by 260 mm, so 90 - 9 and 155 + 13.
    table = [[cell.text for cell in (*row.all("th"), *row.all("td"))] for row in found.one("tbody").all("tr")]
    assert table == [
        ["Alpha No. 14", "1", "40", "28.2", "165.9", "23.7 by 31.7"],
        ["Beta No. 7", "2", "90", "81", "168", "18 by 26"],
    ]


def test_hooks_are_worked_out_from_how_far_they_sit_below_the_upper_edge(
    signed_in: Browser, ledger: Ledger, study: dict[str, str]
) -> None:
    found = read_page(signed_in.get(f"{PATH}?drop=3,5").text)
    assert "Floor to hook" in found.one("thead").text
    places = look_at_places(ledger, OWNER)
    room, wall = wall_in(places, "study", "n")
    plan = plan_of(places, room.event, wall, Decimal("3.5"))
    # 165.85 - 3.5 and 168 - 3.5
    assert [each.hook for each in plan.lines] == ["162.4", "164.5"]
    for bad in ("far", "51"):
        assert "such as 3 or 3.5" in text_of(signed_in.get(f"{PATH}?drop={bad}"))


def test_each_book_has_a_caption_with_title_number_and_year(signed_in: Browser, study: dict[str, str]) -> None:
    captions = read_page(signed_in.get(PATH).text).one("ul", class_="plan-captions")
    said = [each.text for each in captions.all("li")]
    assert said[0].startswith("Alpha No. 14 1951")
    assert said[1].startswith("Beta No. 7 June 1958")


def test_what_is_not_known_is_said_and_the_caution_stands_there(signed_in: Browser, study: dict[str, str]) -> None:
    said = text_of(signed_in.get(PATH))
    assert "Where these hang is not entered: Loose 14." in said
    assert "How far a holder reaches beyond its book is our assumption." in said
    assert "Hang on two fixings" in said


def test_an_empty_wall_has_no_plan_and_says_how_it_begins(signed_in: Browser, study: dict[str, str]) -> None:
    found = read_page(signed_in.get("/wall/study/e/plan").text)
    assert found.one("a", class_="next").attrs["href"] == "/wall/study/e/hang"
    assert "outer wall" in found.one("main").text
    assert signed_in.get("/wall/study/x/plan").status_code == 404


def test_the_pdf_says_the_same_fits_both_papers_and_can_be_read_out(signed_in: Browser, study: dict[str, str]) -> None:
    answer = signed_in.get(f"{PATH}.pdf?drop=3")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    reader = opened(answer.content)
    text = words("".join(page.extract_text() for page in reader.pages))
    for said in (
        "Hanging plan: Study, north wall",
        "Alpha No. 14",
        "28.2",
        "165.9",
        "162.9",
        "June 1958",
        "two fixings",
    ):
        assert words(said) in text, said
    for page in reader.pages:
        # ISO 216: 210 mm wide; ANSI/ASME Y14.1: 11 in high.
        assert page.mediabox.width <= 595.29
        assert page.mediabox.height <= 792.01
    assert any("outlines of 2 books" in str(each.get("/Alt", "")) for each in elements(reader))
    assert signed_in.get(f"{PATH}.pdf?drop=3").content == answer.content


def test_markup_in_a_title_is_printed_as_text(signed_in: Browser, ledger: Ledger) -> None:
    a_study(ledger)
    buy(ledger, hung("40"), title='#read("x") <b>')
    text = words("".join(page.extract_text() for page in opened(signed_in.get(f"{PATH}.pdf").content).pages))
    assert words('#read("x") <b>') in text


def test_where_no_pdf_can_be_made_the_page_says_so(
    signed_in: Browser, home: Home, study: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ledger.adapters.sheets.find_spec", lambda _: None)
    answer = signed_in.get(f"{PATH}.pdf")
    assert (answer.status_code, answer.headers["location"]) == (303, PATH)
    assert "As a PDF" not in text_of(signed_in.get(PATH))
