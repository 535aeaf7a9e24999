"""The page that weighs a book's choices: figures as typed, the reason beside them, nothing guessed, nothing lost."""

from dataclasses import replace
from fractions import Fraction
from urllib.parse import urlencode

import numpy as np
import pytest

from ledger.events._parts import Answer
from ledger.events._settings import Settings
from ledger.events.outlook import Outlook, OutlookStage, Weight
from ledger.ports import Ledger
from ledger.rules.grades import Grade, grades
from ledger.rules.worth_gained import Gain
from ledger.sale_rows import Reading, SaleSaid
from ledger.sealed import Sealed
from ledger.usecases.comparables import add_sale
from ledger.usecases.weighing import weigh_book
from ledger.usecases.weighing_values import Said
from tests.builders import a_defect, a_purchase, a_slab, a_stated_grade, an_examination, an_intervention, an_issue, usd
from tests.usecases.telling import OWNER
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf

BEND = a_defect("d2", size_mm="30")
CREASE = a_defect("d1", "crease", size_mm="10", breaks_colour=Answer.YES)
OWN = (Weight(grade=Grade("7.5"), per_mille=500), Weight(grade=Grade("8.0"), per_mille=500))
TYPED = {
    "currency": "USD", "given_up": "120.00", "grading": "30", "postage": "10",
    "graded.7.5": "200.00", "graded.8.0": "400.00",
}  # fmt: skip


@pytest.fixture
def book(shelf: Shelf) -> str:
    """A book whose owner said where it may land, and why it is here."""
    made = shelf.takes(a_purchase("2024-01-09", reason=Sealed.of("The cover I had as a child.")))
    shelf.then(made, Outlook(weights=OWN, stage=OutlookStage.RAW))
    return made


def asked(browser: Browser, book: str, **fields: str) -> Element:
    answer = browser.get(f"/books/{book}/worth?{urlencode(fields)}")
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


GRADES = [str(each) for each in grades()]


def row(shown: Element, title: str) -> list[str]:
    rows = shown.one("table", class_="worth-choices").one("tbody").all("tr")
    (found,) = (each for each in rows if each.one("th").text.startswith(title))
    return [each.text for each in found.all("td")]


def test_it_is_weighed_as_typed_and_all_of_it_stays_in_the_form(signed_in: Browser, book: str) -> None:
    """By hand: 300.00 on average; a sale keeps 150 of 1000, harm takes 400 with a chance of 10 of 1000.

    300 * 0.85 * (1 - 0.004) is 253.98, less 40.00 and the 120.00 given up: 93.98. At 7.5 unharmed 170 - 160 = 10.00, at
    8.0 unharmed 340 - 160 = 180.00; harmed at 7.5 102 - 160 below zero, with half of 10 of 1000; 8.0 harmed 204 - 160.
    """
    shown = asked(signed_in, book, **TYPED)
    cost, net, between, loss, days, heat = row(shown, "Work, then grade")
    assert (cost, net, between) == ("40.00 USD", "93.98 USD", "10.00 USD to 180.00 USD")
    assert (loss, days, heat) == ("0.5", "90", "not known")
    form = shown.one("form", action=f"/books/{book}/worth")
    assert {name: form.one("input", name=name).attrs["value"] for name in TYPED} == TYPED
    assert row(shown, "Leave it")[:2] == ["0.00 USD", "0.00 USD"]


def test_the_reason_stands_beside_the_value_and_money_does_not_decide(signed_in: Browser, book: str) -> None:
    shown = asked(signed_in, book, **TYPED)
    assert "The cover I had as a child." in shown.text
    assert "No figure on this page decides." in shown.text


def test_the_step_needed_and_its_chance_are_told(signed_in: Browser, book: str) -> None:
    """By hand: with nothing kept back and no harm, 7.5 brings 200 - 160 and 8.0 400 - 160 against 250.00 as it is.

    7.5 loses 90.00, 8.0 wins 110.00: p * 110 = (1 - p) * 90, so p is 0.45.
    """
    typed = {**TYPED, "given_up": "250.00", "sale": "0", "risk.work-then-grade": "0"}
    assert (
        "8.0 or better is needed. It is held to be 50 of 100; 45 of 100 would do."
        in asked(signed_in, book, **typed).text
    )


def test_a_step_without_a_value_is_named_and_never_guessed(signed_in: Browser, book: str) -> None:
    shown = asked(signed_in, book, given_up="120", currency="USD", **{"graded.7.5": "200"})
    assert row(shown, "Work, then grade") == ["What it brings at 8.0 is not known, so this is not weighed."]
    assert row(shown, "One more session")[0].startswith("Your own outlook counts.")


def test_without_what_it_is_worth_now_nothing_is_weighed(signed_in: Browser, book: str) -> None:
    shown = asked(signed_in, book)
    assert row(shown, "Leave it") == ["Write down what the book is worth as it is."]
    assert shown.one("input", id="given_up").attrs["value"] == ""


def test_one_more_session_is_weighed_by_what_is_typed_of_it(signed_in: Browser, book: str) -> None:
    """By hand: all at 8.0, nothing kept back, no harm: 400 - 40 - 9 - 120 is 231.00."""
    more = {
        "after": "100 % 8.0",
        "session": "9",
        "sale": "0",
        "risk.one-more-session": "0",
        "days.one-more-session": "7",
    }
    cost, net, between, loss, days, _ = row(asked(signed_in, book, **TYPED, **more), "One more session")
    assert (cost, net, between, loss, days) == ("49.00 USD", "231.00 USD", "231.00 USD to 231.00 USD", "0", "7")


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("given_up", "-5", "An amount is zero or more."),
        ("grading", "5 EUR", "All amounts are in USD here."),
        ("currency", "QQQ", "three letters of a currency"),
        ("sale", "1001", "Write a whole number from 0 to 1000."),
        ("after", "60 % 7.7", "7.7"),
        ("at_least", "eight", "This is no step of the scale."),
    ],
)
def test_what_cannot_be_read_stands_at_its_field_and_is_not_lost(
    signed_in: Browser, book: str, name: str, text: str, said: str
) -> None:
    shown = asked(signed_in, book, **{**TYPED, name: text})
    assert said in shown.one("p", id=f"{name}-fault").text
    assert shown.one("input", id=name).attrs["value"] == text


def test_what_sales_say_is_filled_in_and_said_so(signed_in: Browser, ledger: Ledger, shelf: Shelf) -> None:
    """By hand: eight sales of raw copies at 7.5 for 100.00 each; the fit of one price is that price."""
    book = shelf.takes(a_purchase("2024-01-09"), an_examination("2024-02-05", technical=Grade("7.5")))
    sales(ledger, "raw", "7.5", "100.00")
    shown = asked(signed_in, book)
    assert "As it is, at 7.5, its sales say 100.00 USD." in shown.text


def sales(ledger: Ledger, holding: str, grade: str, price: str, count: int = 8) -> None:
    reading = Reading(day=ledger.clock.today(), currency="USD")
    said = SaleSaid(on="3 Apr 2025", grade=grade, price=price, where="an auction", holding=holding)
    for at in range(count):
        add_sale(ledger, OWNER, an_issue(), replace(said, on=f"{at + 1} Apr 2025"), reading)


def test_each_defect_tells_what_easing_it_further_is_worth(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase("2024-01-09"), an_examination("2024-02-05", defects=(CREASE,)))
    values = {f"graded.{grade}": str(100 + 10 * at) for at, grade in enumerate(GRADES)}
    shown = asked(signed_in, book, currency="USD", given_up="10", at_least="8.5", **values)
    (line,) = shown.one("section", aria_labelledby="eased-title").one("tbody").all("tr")
    assert line.one("th").text == "1. Crease, front, 10 mm"
    assert line.one("td").text.startswith("Easing this defect further adds ")
    assert "to the chance of 8.5 or better." in line.one("td").text


def test_the_heat_of_a_session_is_told_with_its_band_and_what_it_had_so_far(
    signed_in: Browser, book: str, shelf: Shelf
) -> None:
    hot = Settings(measured_celsius="60", hold_minutes=60, cooling_minutes=30)
    shelf.then(book, an_intervention("hot-press-dry", settings=hot))
    shown = asked(signed_in, book, **TYPED)
    heat = row(shown, "Work, then grade")[5]
    assert heat.startswith("about ")
    assert f"Heat it had here so far: {heat}." in shown.text
    assert row(shown, "Leave it")[5] == "none"


def test_outlook_and_book_lead_to_it(signed_in: Browser, book: str) -> None:
    for path in (f"/books/{book}", f"/books/{book}/outlook"):
        assert read_page(signed_in.get(path).text).all("a", href=f"/books/{book}/worth")
    assert signed_in.get("/books/nobody/worth").status_code == 404


def test_the_outlook_has_its_break_even_drawn_where_sales_alone_tell_it_and_nothing_else(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    """By hand: a sale keeps 150 of 1000 and harm takes 400 with a chance of 10, so 0.8466 of a price is left.

    At 7.0 that is 93.13 of 110.00, less than the 100.00 it is worth at 6.0. At 7.5, half of the way from 7.0 to 8.0 on the
    steps, the price is the root of 110 * 400, which is 209.76, and 177.58 is more: 7.5 is the first step that pays.
    """
    book = shelf.takes(a_slab("2024-01-09", stated=a_stated_grade("6.0", "6.0")))
    weights = tuple(Weight(grade=Grade(each), per_mille=500) for each in ("7.0", "8.0"))
    shelf.then(book, Outlook(weights=weights, stage=OutlookStage.RAW))
    path = f"/books/{book}/outlook"
    assert not read_page(signed_in.get(path).text).all("line", class_="heavy")
    sales(ledger, "slabbed", "6.0", "100.00")
    sales(ledger, "slabbed", "7.0", "110.00")
    sales(ledger, "slabbed", "8.0", "400.00")
    shown = read_page(signed_in.get(path).text)
    assert len(shown.all("line", class_="heavy")) == 2  # the whole scale, and its part for a narrow page
    assert "The heavy line stands at 7.5:" in shown.text


def test_what_was_typed_of_a_step_without_weight_stays_in_the_form(signed_in: Browser, book: str) -> None:
    shown = asked(signed_in, book, **TYPED, **{"graded.9.0": "900", "raw.9.0": "500"})
    assert shown.one("input", name="graded.9.0").attrs["value"] == "900"
    assert shown.one("input", name="raw.9.0").attrs["value"] == "500"


def test_every_step_that_an_eased_defect_may_reach_is_asked_for(signed_in: Browser, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase("2024-01-09"), an_examination("2024-02-05", defects=(CREASE,)))
    shelf.then(book, Outlook(weights=OWN, stage=OutlookStage.RAW))
    shown = asked(signed_in, book, **TYPED)
    (line,) = shown.one("section", aria_labelledby="eased-title").one("tbody").all("tr")
    named = line.one("td").text.removeprefix("What it brings at ").partition(" is not known")[0].split(", ")
    assert named
    assert all(shown.all("input", name=f"graded.{step}") for step in named)


def test_the_value_of_easing_is_the_difference_of_the_two_computed_outlooks(
    signed_in: Browser, ledger: Ledger, shelf: Shelf
) -> None:
    """Against numpy: the means of what is left of each step's value, before and after, over the same steps."""
    book = shelf.takes(a_purchase("2024-01-09"), an_examination("2024-02-05", defects=(BEND,)))
    prices = {Grade(each): 100 + 10 * at for at, each in enumerate(GRADES)}
    found = weigh_book(ledger, OWNER, book, said_of_prices(prices), ledger.clock.today())
    (eased,) = found.eased
    view = found.view
    assert view.computed is not None
    assert isinstance(eased.gain, Gain)
    after = view.with_chances("d2", view.chances["d2"].eased_by(Fraction(1, 10))).grades_after
    left = 0.85 * (1 - 0.01 * 0.4)
    values = np.array([prices[Grade(each)] * 100 * left for each in GRADES])
    before, then = (np.array([float(each) for each in of.shares]) for of in (view.computed.grades_after, after))
    # Steps of less than half a thousandth are left out and the rest shared anew, which moves it by less than twenty cents.
    assert float(eased.gain.value) == pytest.approx(float(values @ then - values @ before), abs=20)
    assert eased.gain.value > 0


def said_of_prices(prices: dict[Grade, int]) -> Said:
    graded = {grade: usd(f"{price}.00") for grade, price in prices.items()}
    return Said(currency="USD", given_up=usd("10.00"), graded=graded)


def test_defaults_are_marked_as_assumptions(signed_in: Browser, book: str) -> None:
    shown = asked(signed_in, book, **TYPED)
    assert shown.one("output", id="risk.work-then-grade-reading").text == "10, as an assumption"
    typed = asked(signed_in, book, **TYPED, **{"risk.work-then-grade": "20"})
    assert not typed.all("output", id="risk.work-then-grade-reading")
