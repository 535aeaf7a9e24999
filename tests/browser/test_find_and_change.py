"""In a browser: a book is found by its misspelt title while it is typed, and five books are changed at once."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
NARROW = 390
FIVE = 5


@pytest.mark.parametrize("script", [True, False])
def test_a_book_is_found_by_a_misspelt_title(told: Server, windows: Callable[..., Window], *, script: bool) -> None:
    page = windows(told, width=NARROW, script=script).go("/collection?q=harbro+lmap")
    page.get_by_role("link", name="Look for it in all that is written of your books").click()
    expect(page.get_by_role("searchbox")).to_have_value("harbro lmap")
    expect(page.locator(".found-books li").first).to_contain_text("Harbor Lamp")
    expect(page.locator("#found")).to_contain_text("It is taken for")
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW


def test_the_list_follows_what_is_typed(told: Server, windows: Callable[..., Window]) -> None:
    page = windows(told).go("/find")
    page.get_by_role("searchbox").press_sequentially("unlit sta")
    expect(page.locator(".found-books li").first).to_contain_text("The Unlit Stair")
    expect(page.locator("mark").first).to_be_visible()
    page.wait_for_url("**/find?q=unlit+sta")
    page.get_by_role("searchbox").fill("unlti")
    expect(page.locator("#found")).to_contain_text("It is taken for")


@pytest.mark.parametrize("script", [True, False])
def test_five_books_are_changed_at_once(told: Server, windows: Callable[..., Window], *, script: bool) -> None:
    page = windows(told, script=script).go("/collection?holding=raw")
    for place in range(FIVE):
        page.locator("input[name=book]").nth(place).check()
    page.get_by_role("button", name="Change them").click()
    expect(page.locator(".lede").first).to_contain_text("5 books are chosen.")
    page.get_by_role("link", name="A note").click()
    page.locator("[name=words]").fill("Seen on the shelf.")
    page.locator("[name=reason]").fill("The yearly look.")
    page.get_by_role("button", name="Show what would be written").click()
    rows = page.locator("#fine tbody tr")
    expect(rows).to_have_count(FIVE)
    expect(rows.first).to_contain_text("The yearly look.")
    page.get_by_role("button", name="Change 5 books").click()
    page.wait_for_url("**/ledger*")
    expect(page.locator(".told")).to_contain_text("They are one act.")
