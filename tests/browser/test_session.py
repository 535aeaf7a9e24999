"""Coming in, going out, and a form that waits while somebody signs in again."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.collector import PASSWORD, Collector
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
TRIES = 12
"""More than a password may be given wrongly in a row."""


def a_collector(windows: Windows, server: Server, *, script: bool = True) -> Collector:
    """In a window of their own, not signed in."""
    return Collector(windows(server, script=script, signed_in=False))


def test_the_link_shows_a_button_and_is_used_up_by_it(first_start: Server, windows: Windows) -> None:
    looking, owner, late = (a_collector(windows, first_start) for _ in range(3))
    looking.page.goto(first_start.sign_in)
    expect(looking.page.get_by_role("button", name="Sign in here")).to_be_visible()
    owner.come_in(first_start.sign_in)
    with late.window.refused(410):
        late.page.goto(first_start.sign_in)
    expect(late.page.get_by_role("heading", level=1)).to_have_text("This link leads nowhere any more")
    with looking.window.refused(410):
        looking.press("Sign in here")
    expect(looking.page.get_by_role("heading", level=1)).to_have_text("This link leads nowhere any more")
    looking.window.go("/wall")
    expect(looking.page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_a_form_sent_after_the_session_ended_comes_back_filled_in(first_start: Server, windows: Windows) -> None:
    at_the_desk, elsewhere = a_collector(windows, first_start, script=False), a_collector(windows, first_start)
    at_the_desk.come_in(first_start.sign_in)
    at_the_desk.window.go("/purchase")
    words = {
        "issue.title": "Café «Ночной» 夜",
        "issue.number": "½",
        "price": "12,50 EUR",
        "seller": "Ms Ağaoğlu",
        "holding": "raw",
    }
    at_the_desk.fill(words)
    elsewhere.window.go("/wall")
    elsewhere.sign_in()
    expect(elsewhere.page.get_by_role("heading", level=1)).to_have_text("Wall")
    elsewhere.press("Sign out")
    expect(elsewhere.page.locator(".told")).to_contain_text("You are signed out, in every browser")
    page = at_the_desk.page
    page.locator("main .acts button.next").click()
    expect(page.locator("main")).to_contain_text("What you typed is held here for an hour")
    at_the_desk.sign_in()
    page.wait_for_url("**/purchase?waiting=*")
    for name, value in words.items():
        answer = f"[name='{name}']:checked" if name == "holding" else f"[name='{name}']"
        expect(page.locator(answer)).to_have_value(value)
    page.locator("main .acts button.next").click()
    assert at_the_desk.entry_told()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Café «Ночной» 夜")
    at_the_desk.window.go("/collection")
    expect(page.locator("#list tbody tr")).to_have_count(1)


@pytest.mark.parametrize("script", [False, True], ids=["without scripts", "with scripts"])
def test_a_form_sent_by_a_browser_that_lost_its_cookie_waits(
    first_start: Server, windows: Windows, *, script: bool
) -> None:
    who = a_collector(windows, first_start, script=script)
    who.come_in(first_start.sign_in)
    page = who.window.go("/purchase")
    before = {"issue.title": "The Cookie Thief", "issue.number": "3", "on": "May 1998", "seller": "Ms Ağaoğlu"}
    who.fill(before)
    who.window.context.clear_cookies()
    page.locator("main .acts button.next").click()
    expect(page.locator("main")).to_contain_text("What you typed is held here for an hour")
    page.get_by_label("Password").fill("not the one that was set")
    with who.window.refused(403):
        page.locator("main button.next").click()
        expect(page.locator("main")).to_contain_text("This is not the password.")
    who.sign_in()
    page.wait_for_url("**/purchase?waiting=*")
    for name, value in before.items():
        expect(page.locator(f"main form [name='{name}']")).to_have_value(value)
    page.locator("main .acts button.next").click()
    assert who.entry_told()
    expect(page.get_by_role("heading", level=1)).to_contain_text("The Cookie Thief")
    who.window.go("/collection")
    expect(page.locator("#list tbody tr")).to_have_count(1)


def test_the_first_password_is_asked_for_before_anything_else_and_kept(first_start: Server, windows: Windows) -> None:
    owner = a_collector(windows, first_start)
    page = owner.page
    page.goto(first_start.sign_in)
    owner.press("Sign in here")
    page.get_by_label("New password").fill("short")
    short = page.url
    owner.press("Set it")
    expect(page.get_by_label("New password")).to_be_visible()
    assert page.url == short
    page.get_by_label("New password").fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.locator(".told")).to_contain_text("Your password is set")
    owner.press("Sign out")
    owner.sign_in()
    page.wait_for_url("**/wall")
    expect(page.get_by_role("button", name="Sign out")).to_be_visible()


def test_signing_out_ends_the_session_of_every_browser(first_start: Server, windows: Windows) -> None:
    one, other = a_collector(windows, first_start), a_collector(windows, first_start)
    one.come_in(first_start.sign_in)
    other.window.go("/collection")
    other.sign_in()
    expect(other.page.get_by_role("heading", level=1)).to_have_text("Collection")
    one.press("Sign out")
    expect(one.page.get_by_role("heading", level=1)).to_have_text("Sign in")
    one.page.go_back()
    one.page.reload()
    expect(one.page.get_by_role("heading", level=1)).to_have_text("Sign in")
    other.page.reload()
    expect(other.page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_a_wrong_password_is_told_and_then_slowed_down(first_start: Server, windows: Windows) -> None:
    owner, guessing = a_collector(windows, first_start), a_collector(windows, first_start)
    owner.come_in(first_start.sign_in)
    page = guessing.window.go("/sign-in")
    statuses = []
    for _ in range(TRIES):
        page.get_by_label("Password").fill("eleven wrong guesses in a row")
        with page.expect_response("**/sign-in") as answer:
            page.get_by_role("button", name="Sign in").click()
        statuses.append(answer.value.status)
        page.wait_for_load_state()
        if statuses[-1] == 429:
            break
        expect(page.locator("main")).to_contain_text("This is not the password.")
    assert statuses[-1] == 429, statuses
    expect(page.locator("main")).to_contain_text("That was tried too often. Try again in 10 minutes.")
    guessing.window.refusals.clear()
    owner.window.go("/wall")
    expect(owner.page.get_by_role("heading", level=1)).to_have_text("Wall")


def test_the_palette_that_was_chosen_holds_in_every_browser(first_start: Server, windows: Windows) -> None:
    one, other = a_collector(windows, first_start), a_collector(windows, first_start)
    one.come_in(first_start.sign_in)
    one.window.go("/settings")
    one.page.get_by_label("dark", exact=True).check()
    one.press("Keep these choices")
    expect(one.page.locator("html")).to_have_attribute("data-theme", "dark")
    other.page.goto(first_start.at("/wall"))
    other.page.get_by_label("Password").fill(PASSWORD)
    other.page.keyboard.press("Enter")
    expect(other.page.locator("html")).to_have_attribute("data-theme", "dark")
