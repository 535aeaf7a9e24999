"""Pages where nothing is yet, pages of errors, paper, large letters and calm motion."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser import shots
from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
ELSEWHERE = "https://elsewhere.example"


def test_an_empty_collection_says_one_sentence_and_the_first_step(first_start: Server, windows: Windows) -> None:
    window = windows(first_start, signed_in=False)
    page = window.page
    page.goto(first_start.sign_in)
    wrong = list(look_closely(window, "the one-time link"))
    Collector(window).come_in(first_start.sign_in)
    for path, words in (("/wall", "Nothing hangs yet"), ("/collection", "Nothing is here yet")):
        window.go(path)
        expect(page.locator("main")).to_contain_text(words)
        wrong += look_closely(window, f"empty {path}")
        page.locator("main a.next").click()
        page.wait_for_url("**/purchase")
    for path in ("/ledger", "/check", "/entry/new", "/settings", "/purchase", "/rules"):
        window.go(path)
        wrong += look_closely(window, f"empty {path}")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    wrong += look_closely(window, "sign in")
    assert not wrong, "\n".join(wrong)


def test_a_page_that_is_not_there_says_so_and_leads_back(told: Server, windows: Windows) -> None:
    window = windows(told)
    wrong: list[str] = []
    for path in ("/nothing/here", "/books/aaaaaaaaaaaaaaaaaaaaaaaaaa", "/ledger/999999", "/rules/none"):
        with window.refused(404):
            page = window.go(path)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        wrong += look_closely(window, f"not found {path}")
        page.get_by_role("link", name="Go back to the collection").click()
        page.wait_for_url("**/collection")
    assert not wrong, "\n".join(wrong)


def test_a_form_on_a_page_of_another_site_is_refused_in_the_window(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.page
    page.set_content(f"<form method=post action='{told.at('/purchase')}'><input name=issue.title value=X><button>Go")
    with window.refused(403):
        page.get_by_role("button", name="Go").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("This may not be done from here")
    expect(page.locator(".mend")).to_contain_text("Nothing was written. Open the page again")
    page.get_by_role("link", name="Go back to the collection").click()
    page.wait_for_url("**/collection")


def test_a_form_sent_to_a_page_that_takes_none_is_told_so_in_the_window(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go("/keys")
    with window.refused(405):
        page.evaluate(
            "() => { const form = document.createElement('form'); form.method = 'post'; form.action = '/wall';"
            " document.body.append(form); form.submit(); }"
        )
        expect(page.get_by_role("heading", level=1)).to_have_text("This address does not take what was sent")
    expect(page.locator(".mend")).to_contain_text("Nothing was written. Open the page again")
    page.get_by_role("link", name="Go back to the collection").click()
    page.wait_for_url("**/collection")


@pytest.mark.parametrize(
    ("method", "headers", "status", "words"),
    [
        ("POST", {"Origin": ELSEWHERE, "Sec-Fetch-Site": "cross-site"}, 403, "This may not be done from here"),
        ("DELETE", {"Sec-Fetch-Site": "same-origin"}, 405, "This address does not take what was sent"),
    ],
    ids=["from another site", "by a method that is not taken"],
)
def test_a_refusal_is_a_page_that_says_the_mend(
    told: Server, windows: Windows, method: str, headers: dict[str, str], status: int, words: str
) -> None:
    window = windows(told)
    answer = window.context.request.fetch(told.at("/purchase"), method=method, headers=headers)
    assert answer.status == status
    window.page.goto(told.at("/keys"))
    window.page.set_content(answer.text())
    expect(window.page.get_by_role("heading", level=1)).to_have_text(words)
    expect(window.page.locator(".mend")).to_contain_text("Nothing was written.")
    wrong = list(look_closely(window, f"refusal {status}"))
    assert not wrong, "\n".join(wrong)


def test_a_book_and_the_list_are_printed_without_what_is_pressed(told: Server, windows: Windows) -> None:
    window = windows(told)
    window.go("/collection")
    book = window.page.locator("#list tbody th a").first.get_attribute("href")
    for path in (book or "", "/collection", "/wall?as=list", "/ledger"):
        page = window.go(path)
        page.emulate_media(media="print")
        for chrome in (".head", ".foot", ".filters", ".acts", ".find-box"):
            for each in page.locator(chrome).all():
                expect(each).to_be_hidden()
        for pressed in page.get_by_role("button").all():
            expect(pressed).to_be_hidden()
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        assert style(page, "body", "backgroundColor") in {"rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"}
        page.set_viewport_size({"width": 720, "height": 1020})
        shots.keep(page, f"print {path}")
        page.emulate_media(media="screen")
        window.resize(1440)


def test_a_dark_page_is_printed_on_white(told: Server, windows: Windows) -> None:
    page = windows(told, theme="dark").go("/collection")
    assert style(page, "h1", "color") != "rgb(0, 0, 0)"
    page.emulate_media(media="print")
    assert style(page, "h1", "color") == "rgb(0, 0, 0)"


def test_motion_is_still_where_the_system_asks_for_it(told: Server, windows: Windows) -> None:
    page = windows(told).go("/purchase")
    assert style(page, "a", "transitionDuration") == "0s"
    page.emulate_media(reduced_motion="no-preference")
    assert style(page, "a", "transitionDuration") != "0s"


@pytest.mark.parametrize("path", ["/wall", "/collection", "/purchase", "/ledger", "/check", "/rules/headings"])
def test_a_page_twice_as_large_still_fits(told: Server, windows: Windows, path: str) -> None:
    """A window of 1280 by 1024 at 200 % shows a page as one of 640 by 512 does. Source: WCAG 2.2, 1.4.4 and 1.4.10."""
    page = windows(told).go(path)
    page.set_viewport_size({"width": 640, "height": 512})
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 640
    page.set_viewport_size({"width": 320, "height": 512})
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 320
    shots.keep(page, f"zoomed {path}")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_sharp_screen_at_twice_the_size_scrolls_only_downwards(told: Server, windows: Windows, theme: str) -> None:
    """A window of 1440 by 960 at 200 %: 720 by 480, two dots a pixel. Source: WCAG 2.2, 1.4.4."""
    window = windows(told, theme=theme, zoom=2)
    page = window.page
    window.go("/collection")
    book = page.locator("#list tbody th a").first.get_attribute("href") or ""
    form = f"/entry/new?kind=examination&book={book.removeprefix('/books/')}"
    wide = []
    for path in ("/wall", "/collection", "/purchase", "/ledger", "/ledger/54", "/check", book, form):
        window.go(path)
        assert page.evaluate("() => [innerWidth, devicePixelRatio]") == [720, 2]
        if more := page.evaluate("() => document.documentElement.scrollWidth - document.documentElement.clientWidth"):
            wide.append(f"{path} scrolls sideways by {more} px")
    assert not wide, "\n".join(wide)


def style(page: Page, selector: str, name: str) -> str:
    """What the browser made of a property."""
    found = page.locator(selector).first.evaluate(f"each => getComputedStyle(each).{name}")
    assert isinstance(found, str)
    return found
