"""The page of light: drawn and in words, never more exact than it is known, with what another spot would do."""

from datetime import UTC, datetime
from typing import Any

import pytest

from ledger.events.custody import Custody, Direction, Hands
from ledger.light_share import Bounds
from ledger.ports import Ledger
from ledger.rules.light import Extent
from ledger.usecases.light import SpotDays
from ledger.usecases.phones import join
from tests.builders import a_purchase, an_issue, on
from tests.fakes import FakeClock
from tests.lit import a_reading, a_room, boxed, hung
from tests.web.browser import Browser, Home, forms_of, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf, page_of
from web.hung_lines import light_line
from web.light_drawing import HEIGHT, WIDTH, drawing_of
from web.light_words import figure, years_words

STEADY = a_room("2020-01-01", a_reading("50", "4"), a_reading("0", "20"))


@pytest.fixture
def book(ledger: Ledger, clock: FakeClock) -> str:
    """A cover of 1962 that hung for ten days at 200 lx h a day."""
    clock.time = datetime(2024, 1, 11, 12, tzinfo=UTC)
    shelf = Shelf(ledger)
    shelf.then(None, STEADY)
    bought = a_purchase("2024-01-01", issue=an_issue(cover_date=on("1962-05")))
    return shelf.takes(bought, hung("2024-01-01"))


@pytest.fixture
def browser(book: str, home: Home) -> Browser:
    """Signed in after the clock was put back."""
    home.set_password()
    return home.browser().sign_in()


def class_form(browser: Browser, path: str) -> dict[str, Any]:
    """What stands in the form of the class."""
    (form,) = [each for each in forms_of(browser.get(path)) if each.method == "post" and each.action == path]
    return form.fields


def page(browser: Browser, book: str, asked: str = "", status: int = 200) -> Element:
    answer = browser.get(f"/books/{book}/light{asked}")
    assert answer.status_code == status, text_of(answer)
    return read_page(answer.text)


def facts(section: Element) -> dict[str, str]:
    names, values = section.all("dt"), section.all("dd")
    return dict(zip((each.text for each in names), (each.text for each in values), strict=True))


def test_what_it_had_is_told_with_its_band_and_what_it_had_before_is_not_known(browser: Browser, book: str) -> None:
    told = facts(page(browser, book).one("section", id="so-far"))
    assert told["Light here"] == "2,000 lux hours"
    assert told["Before it came here"].startswith("Not known, and not nothing")
    # By hand: 2,000 of 600,000 with ultraviolet, of 110,000 and of 6,000,000 at the ends.
    assert told["Which is"] == "about 0.33 % (0.033 to 1.8 %) of a just noticeable fade"
    assert told["As if all of it were"].startswith("about 0.2 % (")
    assert "High responsivity, blue wool 1 to 3. Our assumption." in told["A signature, if there is one"]


def test_of_a_book_that_came_in_today_no_day_is_said_to_be_known(browser: Browser, ledger: Ledger) -> None:
    book = Shelf(ledger).takes(a_purchase("2024-01-11"), hung("2024-01-11"))
    told = facts(page(browser, book).one("section", id="so-far"))
    assert told["Not known"] == "No day has passed since then, so nothing is counted yet."


def test_what_its_spot_does_in_a_year_is_told(browser: Browser, book: str) -> None:
    told = facts(page(browser, book).one("section", id="here"))
    assert told["Its light"] == "Measured with a meter. The reading was made 0 cm away."
    assert told["In a year"] == "73,000 lux hours"
    assert told["Beside the yearly limit"].startswith("Over 15,000 lux hours a year. Never brighter than 50 lx")
    assert told["Days a year it allows"] == "75"
    assert told["Copies in turn"].startswith("5 copies would take turns")
    assert told["To a just noticeable fade"].startswith("about 8.2 years (from 1.5 to 80) on top of")


def test_the_sum_is_drawn_and_stands_in_words_and_figures_below(browser: Browser, book: str) -> None:
    section = page(browser, book).one("section", id="so-far")
    figure_of = section.one("figure")
    assert figure_of.one("svg", class_="light-drawing").attrs["aria-hidden"] == "true"
    assert "11 January 2024" in figure_of.one("figcaption").text
    rows = [[cell.text for cell in (row.one("th"), *row.all("td"))] for row in section.one("tbody").all("tr")]
    assert rows == [["1 January 2024", "0", "0", "0"], ["11 January 2024", "2,000", "2,000", "2,000"]]


def test_half_of_the_light_is_told_beside_the_light_of_now(browser: Browser, book: str) -> None:
    section = page(browser, book, "?dim_to_percent=50").one("section", id="what-if")
    assert "Then about 36,000 lux hours a year, now 73,000." in section.text
    then = facts(section.one("div", class_="now-then").all("div")[0])
    assert then["Days a year it allows"] == "150"
    assert section.one("input", id="dim_to_percent").attrs["value"] == "50"


def test_another_wall_or_another_light_can_be_tried_and_a_comma_is_a_point(browser: Browser, book: str) -> None:
    moved = page(browser, book, "?room=r/n&x_cm=390&y_cm=150").one("section", id="what-if")
    assert "No reading is near: estimated from the table." in moved.text
    other = page(browser, book, "?lux=12,5&hours_per_day=4&uv_filter=yes").one("section", id="what-if")
    assert "Filtered out before it falls on the book." in other.text
    assert "now 73,000" in other.text


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ("?lux=many&hours_per_day=4", "lux"),
        ("?room=attic/n", "room"),
        ("?room=r/x", "room"),
        ("?dim_to_percent=half", "dim_to_percent"),
        ("?x_cm=5&room=r/n", "y_cm"),
    ],
)
def test_what_makes_no_sense_comes_back_with_the_reason_at_its_field(
    browser: Browser, book: str, asked: str, field: str
) -> None:
    found = page(browser, book, asked, status=422)
    assert found.one("p", id=f"{field}-fault").text


def test_a_class_is_kept_with_its_reason_and_told_on_both_pages(browser: Browser, book: str) -> None:
    before = page_of(browser, book).text
    assert "0.33 % (0.033 to 1.8 %) of a just noticeable fade." in before
    path = f"/books/{book}/light"
    assert class_form(browser, path)["light_class"] == ""
    answer = browser.post(path, {**class_form(browser, path), "light_class": "low", "why": "Carbon black"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{path}#class")
    assert "It is taken so from now on." in text_of(browser.get(path))
    assert class_form(browser, path) == {"light_class": "low", "why": "Carbon black", "signature_class": ""}
    section = page(browser, book).one("section", id="class")
    assert "Low responsivity, blue wool 7 to 8. You chose it: Carbon black" in section.text
    assert "0.33 % (0.033 to 1.8 %)" not in page_of(browser, book).text


def test_a_class_that_there_is_not_is_refused_at_its_field(browser: Browser, book: str) -> None:
    path = f"/books/{book}/light"
    answer = browser.post(path, {**class_form(browser, path), "light_class": "purple", "why": "as I say"})
    assert answer.status_code == 422
    found = read_page(answer.text)
    assert "Choose one of none, low, medium and high" in found.one("p", id="light_class-fault").text
    assert found.one("input", id="why").attrs["value"] == "as I say"


def test_the_books_page_tells_its_light_and_leads_to_it(browser: Browser, book: str) -> None:
    found = page_of(browser, book)
    assert "What it had before is not known." in found.text
    assert found.all("a", href=f"/books/{book}/light")


def test_a_book_in_a_box_or_away_is_told_so(browser: Browser, ledger: Ledger) -> None:
    shelf = Shelf(ledger)
    stored = shelf.takes(a_purchase("2024-01-01"), boxed("2024-01-02"))
    told = page(browser, stored)
    assert "Taken as dark: our assumption." in told.one("section", id="here").text
    assert "None is counted in this light." in told.one("section", id="here").text
    assert not told.all("figure")
    assert "Of 1 of 10 days" in told.one("section", id="so-far").text
    lent = shelf.takes(
        a_purchase("2024-01-01"), Custody(on=on("2024-01-03"), direction=Direction.OUT, to_whom=Hands.OTHER)
    )
    assert "Not known: enter the room" in page(browser, lent).one("section", id="here").text
    away = facts(page(browser, lent).one("section", id="so-far"))
    assert away["Light here"] == "not known"
    assert not {"Which is", "A signature, if there is one"} & set(away)


def test_the_wall_tells_how_many_days_of_the_year_are_left(browser: Browser, book: str) -> None:
    for path in ("/wall", "/wall?as=list"):
        assert "days a year here: 75, 65 left" in text_of(browser.get(path))


@pytest.mark.parametrize(
    ("days", "hung_days", "said"),
    [
        (Bounds(low=75, middle=75, high=75), 80, "days a year here: 75, used up"),
        (Bounds(low=30.5, middle=37.5, high=37.5), None, "days a year here: about 37 (from 30 to 37)"),
        (Bounds(low=30, middle=37.5, high=90), 37, "days a year here: about 37 (from 30 to 90), maybe used up"),
        (Bounds(low=30, middle=37.5, high=90), 29, "days a year here: about 37 (from 30 to 90), 8 left"),
        (Bounds(low=200, middle=None, high=None), 3, "can hang all year"),
        (None, 3, "light not known"),
    ],
)
def test_days_left_are_told_as_far_as_they_are_known(days: Bounds | None, hung_days: int | None, said: str) -> None:
    assert light_line(SpotDays(days=days, hung=hung_days)) == said


def test_no_years_are_told_finer_than_they_are_known_and_never_twenty_five() -> None:
    for tenths in range(1, 10_000):
        value = tenths / 10
        assert "25 years" not in years_words(Bounds(low=value, middle=value, high=value))
    assert years_words(Bounds(low=0, middle=24.9, high=None)).startswith("about 20 years (from 0 to no end)")


def test_a_drawing_goes_from_the_first_day_to_the_last_and_up_to_the_most() -> None:
    days = [datetime(2024, 1, day, tzinfo=UTC).date() for day in (1, 11)]
    none, most = Extent(low=0, middle=0, high=0), Extent(low=100, middle=200, high=400)
    drawn = drawing_of(list(zip(days, (none, most), strict=True)))
    assert drawn is not None
    assert drawn.line == f"M0.0 {HEIGHT:.1f}L{WIDTH:.1f} {HEIGHT / 2:.1f}"
    assert drawn.band == f"M0.0 {HEIGHT:.1f}L{WIDTH:.1f} 0.0L{WIDTH:.1f} {HEIGHT * 0.75:.1f}L0.0 {HEIGHT:.1f}z"
    assert [word for _, word in drawn.ticks] == ["0", "200", "400"]
    assert drawing_of([(days[0], none), (days[1], none)]) is None


def test_figures_are_written_out_to_two_figures() -> None:
    assert [figure(each) for each in (0, 0.004, 0.0333, 7.14, 43_210, 1_000_000)] == [
        "0",
        "less than 0.01",
        "0.033",
        "7.1",
        "43,000",
        "1,000,000",
    ]


def test_a_phone_sees_the_light_and_no_form_of_the_class(home: Home, book: str) -> None:
    home.set_password()
    phone = home.browser()
    phone.client.cookies.set(phone.cookie, join(home.accounts, "Grey phone"), domain="localhost.local")
    found = page(phone, book)
    assert "High responsivity" in found.one("section", id="class").text
    assert [each.attrs["method"] for each in found.one("main").all("form")] == ["get"]


def test_every_figure_of_light_has_its_limit_and_the_table_s_own_numbers(browser: Browser, book: str) -> None:
    said = page(browser, book).text
    for limit in (
        "no forecast of this copy",
        "carried with a factor of 2 either way; which inks a cover has nobody measured",
        "About 30 just noticeable fades are almost a total one (from memory)",
        "A reading counts within 100 cm on its wall",
        "hours of which no reading speaks count as 0 to 5 lx",
        "A signature is taken apart",
        "An older limit is 20 mW/m², in some places 6.",
    ):
        assert limit in said
    assert "25 years" not in said


def test_a_year_stands_beside_limits_of_other_things_as_labels(browser: Browser, book: str) -> None:
    # 200 lx h a day are 73,000 a year, and 50,000 are the limit of both.
    here = facts(page(browser, book).one("section", id="here"))
    assert here["Beside limits of other things"].count("Over 50,000 lux hours a year") == 2
    assert "then three years of rest" in here["Beside limits of other things"]
