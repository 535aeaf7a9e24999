"""The marks of a copy before a browser: two places are tapped, and what lies under the map is seen more and less."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window
from tests.pictures import a_picture

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390


def a_marked_book(window: Window) -> str:
    """A book of the told collection with a mark that has a place, and with photographs."""
    page = window.go("/collection")
    for link in page.locator("#list tbody th a").all():
        href = link.get_attribute("href") or ""
        text = window.context.request.get(window.server.at(f"{href}/marks")).text()
        if 'class="mark' in text and text.count("<option") > 8:
            return href
    raise AssertionError("no book has a mark on its map")


def tap_two(page: Page) -> None:
    """The upper left and the lower right corner of the picture."""
    picture = page.locator("[data-points=p]")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    for share in (0.02, 0.98):
        page.mouse.click(box["x"] + box["width"] * share, box["y"] + box["height"] * share)


def test_two_taps_lay_a_photograph_of_the_book_under_its_marks(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go(f"{a_marked_book(window)}/marks")
    expect(page.locator(".over-tools")).to_be_hidden()
    page.locator("#lay [name=photo]").select_option(index=1)
    page.get_by_role("button", name="Lay it under").click()
    tap_two(page)
    page.get_by_role("button", name="Lay it under").click()
    laid = page.locator("svg.of-marks [data-later]")
    expect(laid).to_have_count(1)
    page.locator("#share").focus()
    page.keyboard.press("Home")
    expect(laid).to_have_attribute("opacity", "0")
    page.get_by_role("button", name="Blink").click()
    expect(laid).to_have_attribute("opacity", "1")
    wrong = list(look_closely(window, "marks with a photograph under them"))
    assert not wrong, "\n".join(wrong)


def test_the_copy_at_hand_is_held_on_a_phone_without_scripts_and_taken_away(
    told: Server, windows: Windows, tmp_path: Path
) -> None:
    window = windows(told, width=PHONE, script=False)
    page = window.go(f"{a_marked_book(window)}/marks")
    file = tmp_path / "hand.png"
    file.write_bytes(a_picture("olive", (60, 90)))
    page.locator("[name=file]").set_input_files(file)
    page.get_by_role("button", name="Hold it against the marks").click()
    for name, value in (("p1x", "0"), ("p1y", "0"), ("p2x", "100"), ("p2y", "100")):
        page.locator(f"[name={name}]").fill(value)
    page.get_by_role("button", name="Lay it under").click()
    expect(page.locator("svg.of-marks image")).to_have_count(1)
    wrong = list(look_closely(window, "marks with the copy at hand", frozenset()))
    page.get_by_role("button", name="Take it away now").click()
    expect(page.locator("svg.of-marks image")).to_have_count(0)
    assert not wrong, "\n".join(wrong)
