"""A press for one book, on a phone: measured, filled, full, emptied; and its calibration offered for what it held."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
PHONE = 390
LEAST = 44
"""Targets for busy fingers. Units: CSS px. Source: WCAG 2.2, success criterion 2.5.5 (enhanced)."""
BUTTONS = "main button:not(.vh), main .acts a, main .lede a, main .due a, main .in-it a, main .page-link, main .tick"


def free_books(window: Window, count: int) -> list[str]:
    """Books that are here, raw, and in no load."""
    page = window.go("/bench")
    busy = [each.get_attribute("href") for each in page.locator(".load a").all()]
    page = window.go("/collection?holding=raw&status=here")
    links = [each.get_attribute("href") for each in page.locator(".rows .issue a").all()]
    found = [each.removeprefix("/books/") for each in links if each is not None and each not in busy]
    assert len(found) >= count
    return found[:count]


def too_small(page: Page) -> list[str]:
    """What a finger would miss."""
    boxes = [(each.inner_text(), each.bounding_box()) for each in page.locator(BUTTONS).all() if each.is_visible()]
    assert boxes
    return [
        f"{words!r} is {box['height']} px high" for words, box in boxes if box is not None and box["height"] < LEAST
    ]


def add_press(page: Page, name: str) -> None:
    """A press for one book, measured at two points."""
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_label("Books at once").fill("1")
    page.get_by_label("Measured on").fill("3 Jan 2026")
    page.get_by_label("Measured with").fill("thermocouple")
    for row, (put, got) in enumerate((("50", "47,5"), ("70", "66.5")), start=1):
        page.get_by_label(f"Row {row}: set, °C").fill(put)
        page.get_by_label(f"Row {row}: measured, °C").fill(got)
    page.locator(".acts").get_by_role("button", name=re.compile("Keep it")).click()
    expect(page.locator(".told")).to_contain_text(f"{name} is on the bench.")
    expect(page.locator(".tool-list li", has_text=name)).to_contain_text("1 of 1 free")


def put_in(window: Window, book: str, press: str) -> Page:
    """The form is sent; where that leads is for the test to say."""
    page = window.go(f"/bench/start?book={book}")
    option = page.locator("#press option", has_text=press)
    page.locator("#press").select_option(option.get_attribute("value"))
    page.locator("[name=technique]").select_option("hot-press-dry")
    page.get_by_label("Set to, °C").fill("60")
    page.get_by_role("button", name=re.compile("It goes in now")).click()
    return page


@pytest.mark.parametrize("scripts", [True, False])
def test_a_press_for_one_book_takes_one_refuses_the_next_and_offers_its_calibration(
    told: Server, windows: Callable[..., Window], *, scripts: bool
) -> None:
    name = f"Small press {'with' if scripts else 'without'}"
    window = windows(told, width=PHONE, script=scripts, touch=True)
    first, second = free_books(window, 2)
    page = window.go("/bench/tools")
    wrong = too_small(page)
    page.get_by_role("link", name="Add a press or tool").tap()
    wrong += list(look_closely(window, "tool form")) if scripts else []
    window.resize(PHONE)
    add_press(page, name)

    page = put_in(window, first, name)
    page.wait_for_url("**/bench")
    press = page.locator(".press", has_text=name)
    expect(press.locator("h3").first).to_contain_text("No room: all 1 taken")
    wrong += too_small(page)
    wrong += list(look_closely(window, "board")) if scripts else []
    window.resize(PHONE)

    with window.refused(409):
        page = put_in(window, second, name)
        expect(page.locator(".faults")).to_contain_text(f"{name} has no room left, and one is to go in.")
    expect(page.locator(".faults")).to_contain_text("has no end planned. Take one out first")
    expect(page.get_by_label("Set to, °C")).to_have_value("60")

    wrong += end_and_take(window, name, scripts=scripts)
    wrong += decide(window, first, scripts=scripts)
    assert not wrong, "\n".join(wrong)


def end_and_take(window: Window, name: str, *, scripts: bool) -> list[str]:
    """The load comes out, and what its press was measured at is taken into the entry; what is wrong with the form."""
    page = window.go("/bench")
    page.locator(".press", has_text=name).get_by_role("button", name="It is out").tap()
    offer = page.locator(".offer")
    # By hand: halfway from 47.5 to 66.5.
    expect(offer).to_contain_text(f"By the calibration of 3 January 2026, {name} set to 60 °C has 57.0 °C at the paper")
    expect(page.locator("[name='settings.measured_celsius']")).to_have_value("")
    wrong = list(look_closely(window, "calibration offered")) if scripts else []
    window.resize(PHONE)
    offer.get_by_role("button", name="Take 57.0 °C from the calibration").tap()
    expect(page.locator("[name='settings.measured_celsius']")).to_have_value("57.0")
    expect(page.locator("[name=remark]")).to_have_value(re.compile("it was not measured in this run"))
    page.get_by_role("button", name="Write into the ledger").tap()
    expect(page.locator(".told")).to_contain_text("Written as entry")
    return wrong


def decide(window: Window, book: str, *, scripts: bool) -> list[str]:
    """The book waits for a decision now; it is made on the board. What is wrong with the board meanwhile."""
    page = window.go("/bench")
    waits = page.locator(f"#decide-{book}")
    expect(waits).to_contain_text("Its last step is over: Hot press, dry")
    wrong = too_small(page)
    wrong += list(look_closely(window, "to decide")) if scripts else []
    window.resize(PHONE)
    waits.get_by_label("Why, in a few words").fill("Flat enough")
    waits.get_by_role("button", name="Stop").tap()
    expect(page.locator(".told")).to_contain_text("Chose to stop")
    expect(page.locator(f"#decide-{book}")).to_have_count(0)
    return wrong
