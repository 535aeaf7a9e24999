"""Defects placed by taps on the book opened flat, with a phone in one hand, and by numbers alone without a script."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
TAPS = [
    ("front", 0.9, 0.9, "corner-blunting"),
    ("front", 0.1, 0.1, "crease"),
    ("front", 0.5, 0.5, "bend"),
    ("spine", 0.5, 0.3, "spine-tick"),
    ("back", 0.2, 0.8, "bend"),
    ("back", 0.5, 0.5, "bend"),
]
NUMBER = "defects.{}.region.{}_mm"


def a_raw_book(window: Window) -> str:
    page = window.go("/collection?holding=raw&status=here")
    href = page.locator(".rows .issue a").first.get_attribute("href")
    assert href is not None
    return href.removeprefix("/books/")


def tap(page: Page, face: str, across: float, down: float) -> None:
    """The finger on a face of the ground. Units: shares of its width and height."""
    box = page.locator(f".placing [data-face={face}]").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] * across, box["y"] + box["height"] * down)


def number(page: Page, row: int, side: str) -> float:
    return float(page.locator(f"[name='{NUMBER.format(row, side)}']").input_value())


def test_six_defects_are_placed_by_taps_on_a_phone_and_written(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    book = a_raw_book(window)
    page = window.go(f"/entry/new?kind=examination&book={book}")
    expect(page.locator(".placing")).to_be_visible()
    wrong = list(look_closely(window, "placing"))
    known = page.locator("[name='defects.0.type'] option").evaluate_all("all => all.map(each => each.value)")
    for row, (face, across, down, kind) in enumerate(TAPS):
        page.locator(".placing svg").scroll_into_view_if_needed()
        tap(page, face, across, down)
        expect(page.locator(f"[name='defects.{row}.face']")).to_have_value(face)
        page.locator(f"[name='defects.{row}.type']").select_option(kind if kind in known else known[1])
        page.locator(f"[name='defects.{row}.size_mm']").fill("4")
        page.locator(f"[name='defects.{row}.count']").fill("1")
    wide = page.locator(".placing [data-face=front]").evaluate("each => each.width.baseVal.value")
    assert number(page, 0, "x") == pytest.approx(wide * 0.9, abs=1.5)
    assert number(page, 3, "x") <= 3
    expect(page.locator(".placing .placed")).to_have_count(len(TAPS))
    wrong += look_closely(window, "six placed")
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("Examination: 6 defects")
    assert not wrong, "\n".join(wrong)


def test_a_mouse_draws_how_far_it_reaches(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go(f"/entry/new?kind=examination&book={a_raw_book(window)}")
    page.locator(".placing svg").scroll_into_view_if_needed()
    box = page.locator(".placing [data-face=front]").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.25, box["y"] + box["height"] * 0.25)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.75, box["y"] + box["height"] * 0.5)
    page.mouse.up()
    shape = page.locator(".placing [data-face=front]")
    wide, high = (shape.evaluate(f"each => each.{side}.baseVal.value") for side in ("width", "height"))
    for side, expected in (("x", wide / 4), ("y", high / 4), ("width", wide / 2), ("height", high / 4)):
        assert number(page, 0, side) == pytest.approx(expected, abs=2)


def test_without_a_script_the_numbers_alone_place_it(told: Server, windows: Windows) -> None:
    window = windows(told, script=False)
    page = window.go(f"/entry/new?kind=examination&book={a_raw_book(window)}")
    expect(page.locator(".placing")).to_be_hidden()
    assert page.locator(f"[name='{NUMBER.format(0, 'x')}']").count() == 1
