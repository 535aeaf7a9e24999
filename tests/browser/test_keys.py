"""Everything by the keyboard, nothing written twice, and nothing typed that is lost with the connection."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Route, expect

from tests.browser.collector import Collector
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
TITLE = "issue.title"
UNFOLD = "each => { for (let at = each; at; at = at.parentElement) if ('open' in at) at.open = true; }"


def test_single_keys_lead_where_the_keys_page_says(told: Server, windows: Windows) -> None:
    page = windows(told).go("/settings")
    for key, address in (("w", "/wall"), ("c", "/collection"), ("b", "/bench"), ("n", "/purchase"), ("?", "/keys")):
        page.evaluate("() => document.activeElement.blur()")  # the first field of a form has the focus when it opens
        page.keyboard.press(key)
        page.wait_for_url(f"**{address}")
        page.wait_for_load_state()
    page.keyboard.press("w")
    page.wait_for_url("**/wall")
    page.wait_for_load_state()
    page.keyboard.press("v")
    page.wait_for_url("**/wall?as=list")
    page.wait_for_load_state()
    page.keyboard.press("v")
    page.wait_for_url("**/wall")


def test_the_search_key_goes_to_the_search_of_the_page(told: Server, windows: Windows) -> None:
    page = windows(told).go("/rules")
    page.keyboard.press("/")
    page.wait_for_url("**/find#search")
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("harbor n 14")
    expect(page.get_by_role("searchbox")).to_have_value("harbor n 14")
    assert "/find" in page.url
    page.keyboard.press("Escape")
    expect(page.get_by_role("searchbox")).not_to_be_focused()
    expect(page.get_by_role("searchbox")).to_have_value("harbor n 14")
    page.keyboard.press("/")
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.press("Escape")
    page.keyboard.press("n")
    page.wait_for_url("**/purchase")


def test_single_keys_are_letters_while_something_is_typed(told: Server, windows: Windows) -> None:
    page = windows(told).go("/purchase")
    letters = "/nwc?v"
    for name in (TITLE, "price", "seller", "reason"):
        field = page.locator(f"main form [name='{name}']")
        field.evaluate(UNFOLD)
        field.focus()
        page.keyboard.type(letters)
        expect(field).to_have_value(letters)
        page.keyboard.press("Escape")
        expect(field).not_to_be_focused()
        expect(field).to_have_value(letters)
        assert page.url.endswith("/purchase")
    choice = page.locator("main form select[name='means']")
    choice.evaluate(UNFOLD)
    choice.focus()
    expect(choice).to_be_focused()
    for letter in letters:
        page.keyboard.press(letter)
    assert page.url.endswith("/purchase")
    page.keyboard.press("Escape")
    page.keyboard.press("Control+c")
    assert page.url.endswith("/purchase")
    page.keyboard.press("c")
    page.wait_for_url("**/collection")


def test_single_keys_rest_where_they_were_turned_off(told: Server, windows: Windows) -> None:
    page = windows(told).go("/keys")
    page.get_by_role("button", name="Turn single keys off").click()
    page.keyboard.press("w")
    expect(page.get_by_role("button", name="Turn single keys on")).to_be_visible()
    assert page.url.endswith("/keys")
    page.get_by_role("button", name="Turn single keys on").click()
    page.keyboard.press("w")
    page.wait_for_url("**/wall")


def test_a_double_click_makes_one_entry(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go("/purchase")
    before = entries(window)
    for name, words in ((TITLE, "Twice Told Thunder"), ("issue.number", "2"), ("on", "1998"), ("price", "4 EUR")):
        page.locator(f"[name='{name}']").fill(words)
    page.get_by_role("button", name="Write into the ledger").last.dblclick()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Twice Told Thunder")
    window.go("/collection?q=Twice+Told")
    expect(page.locator("#list tbody tr")).to_have_count(1)
    assert entries(window) == before + 1


def test_what_was_typed_is_back_after_the_connection_was_lost(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go("/purchase")
    page.keyboard.type("The Lost Signalman")
    page.keyboard.press("Tab")
    page.keyboard.type("7")
    window.context.set_offline(offline=True)
    page.keyboard.press("Enter")
    expect(page.locator(".kept")).to_contain_text("The program does not answer.")
    assert page.url.endswith("/purchase")
    window.context.set_offline(offline=False)
    window.wrong.clear()  # the lost connection itself
    page.goto("about:blank")
    window.go("/purchase")
    expect(page.locator(f"[name='{TITLE}']")).to_have_value("The Lost Signalman")
    expect(page.locator(".kept")).to_contain_text("What you typed is back")
    page.locator("[name='on']").fill("April 1998")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("The Lost Signalman")
    page.wait_for_load_state()
    window.go("/purchase")
    expect(page.locator(f"[name='{TITLE}']")).to_have_value("")


def test_a_purchase_whose_answer_was_lost_is_not_written_twice(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go("/purchase")
    before = entries(window)

    def lose_the_answer(route: Route) -> None:
        if route.request.method != "POST":
            route.continue_()
            return
        statuses.append(route.fetch(max_redirects=0).status)
        route.abort("connectionreset")

    statuses: list[int] = []
    page.route("**/purchase", lose_the_answer)
    page.keyboard.type("The Unanswered Bell")
    page.keyboard.press("Tab")
    page.keyboard.type("9")
    page.locator("[name='on']").fill("1998")
    with page.expect_event("requestfailed", lambda request: request.method == "POST"):
        page.keyboard.press("Enter")
    assert statuses == [303]
    page.unroute("**/purchase")
    page.wait_for_url("chrome-error://**")
    window.wrong.clear()  # the lost answer itself
    window.context.clear_cookies(name=re.compile("slipsheet_(told|ended)"))  # they came with the lost answer
    window.go("/purchase")
    expect(page.locator(f"[name='{TITLE}']")).to_have_value("The Unanswered Bell")
    page.locator("main .acts button.next").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("The Unanswered Bell")
    window.go("/collection?q=Unanswered")
    expect(page.locator("#list tbody tr")).to_have_count(1)
    assert entries(window) == before + 1


def test_readings_stand_below_while_typing(told: Server, windows: Windows) -> None:
    page = windows(told).go("/purchase")
    page.locator("[name='on']").press_sequentially("3 Apr 98")
    expect(page.locator("output[for='on']")).to_contain_text("3 April 1998")
    page.locator("[name='price']").press_sequentially("GBP 1,250")
    expect(page.locator("output[for='price']")).to_contain_text("1,250.00")
    page.locator(f"[name='{TITLE}']").press_sequentially("Harbor Lamp")
    expect(page.locator(f"output[for='{TITLE}']")).to_contain_text("You own")


def test_an_ambiguous_date_comes_back_with_its_two_readings(told: Server, windows: Windows) -> None:
    window = windows(told, script=False)
    who = Collector(window)
    window.go("/purchase")
    who.fill({TITLE: "Moth Patrol", "issue.number": "1", "on": "3/4/98", "price": "12 GBP"})
    with window.refused(422):
        page = window.page
        page.keyboard.press("Enter")
        expect(page.locator(".faults")).to_contain_text("more than one way")
    page.get_by_label(re.compile("3 April 1998")).check()
    page.locator("main .acts button.next").click()
    assert who.entry_told()
    expect(page.locator("main")).to_contain_text("3 April 1998")


def entries(window: Window) -> int:
    """The number at the foot of a page."""
    window_text = window.page.locator(".foot").inner_text()
    found = re.search(r"([\d,]+) entries", window_text)
    assert found is not None
    return int(found[1].replace(",", ""))
