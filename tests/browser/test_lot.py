"""A lot in a browser as narrow as a phone: typed, its parts shown, written; and the same without a script."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
NARROW = 390


@pytest.mark.parametrize("script", [True, False])
def test_a_lot_is_bought_on_a_narrow_screen(told: Server, windows: Callable[..., Window], *, script: bool) -> None:
    """By hand, largest remainder: 100.00 in three is 33.34, 33.33, 33.33."""
    page = windows(told, width=NARROW, script=script).go("/purchase/lot")
    for place in range(3):
        page.locator(f"[name='books.{place}.issue.title']").fill("The Paper Harbour")
        page.locator(f"[name='books.{place}.issue.number']").fill(str(place + 1))
    page.locator("[name='price']").fill("100 EUR")
    page.get_by_role("button", name="Show the parts").click()
    lines = page.locator("table tbody tr")
    for place, part in enumerate(("33.34", "33.33", "33.33", "100.00")):
        expect(lines.nth(place)).to_contain_text(part)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW
    page.get_by_role("button", name="Write 3 purchases").click()
    expect(page.locator(".told")).to_contain_text("one for each book")
