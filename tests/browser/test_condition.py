"""The condition page before a browser: whole at every width, stepped through from the keyboard, and the same on paper."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.looking import look
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
INSIDE = """() => {
  const map = document.querySelector("svg.flat").getBoundingClientRect();
  return [...document.querySelectorAll("svg.flat g :is(circle, rect, path)")]
    .map((each) => each.getBoundingClientRect())
    .filter((each) => each.left < map.left - 1 || each.right > map.right + 1 || each.top < map.top - 1
      || each.bottom > map.bottom + 1 || each.width < 1 || each.right > innerWidth).length;
}"""


def most_looked_at(window: Window) -> str:
    """The address of the condition with the most looks of which the map draws something."""
    window.go("/collection")
    books = [each.get_attribute("href") or "" for each in window.page.locator("#list tbody th a").all()]
    texts = {book: window.context.request.get(window.server.at(f"{book}/condition")).text() for book in books}
    drawn = [book for book in books if '<g class="' in texts[book]]
    return max(drawn, key=lambda book: texts[book].count("?look=")) + "/condition"


def test_the_condition_is_whole_at_every_width_in_both_palettes(told: Server, windows: Windows) -> None:
    window = windows(told)
    wrong = look(window, most_looked_at(window), "condition")
    assert not wrong, "\n".join(wrong)


def test_on_a_phone_every_defect_is_drawn_inside_the_map(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go(most_looked_at(window))
    window.resize(PHONE)
    assert page.locator("svg.flat g").count() > 1
    assert page.evaluate(INSIDE) == 0
    expect(page.locator("svg.flat")).to_have_attribute("role", "img")


def test_the_looks_are_stepped_through_from_the_keyboard_and_without_scripts(told: Server, windows: Windows) -> None:
    window = windows(told, script=False)
    page = window.go(most_looked_at(window))
    current = page.locator(".looks a[aria-current=page]")
    last = current.get_attribute("href") or ""  # two looks of one day have the same words
    assert last
    before = page.get_by_role("link", name="The look before")
    before.focus()
    before.press("Enter")
    page.wait_for_url("**/condition?look=*")
    assert current.get_attribute("href") != last
    after = page.get_by_role("link", name="The next look")
    after.focus()
    after.press("Enter")
    expect(current).to_have_attribute("href", last)


def test_the_condition_is_printed_with_its_map_and_without_what_is_pressed(told: Server, windows: Windows) -> None:
    window = windows(told, theme="dark")
    page = window.go(most_looked_at(window))
    page.emulate_media(media="print")
    expect(page.locator("svg.flat")).to_be_visible()
    expect(page.get_by_role("link", name="The look before")).to_be_hidden()
    expect(page.get_by_role("link", name="Look again")).to_be_hidden()
    background = page.evaluate("() => getComputedStyle(document.querySelector('svg.flat')).backgroundColor")
    assert background in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"), background
