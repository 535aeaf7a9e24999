"""A step of work written down with one hand: an answer for each defect, kept with its defect if the page is left."""

import json
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
OUTCOME = "[name='worked_defects.{}.outcome'][value='{}']"


def a_seen_book(window: Window) -> str:
    """A book that is here, raw, and has two defects."""
    page = window.go("/collection?holding=raw&status=here")
    hrefs = page.locator(".rows .issue a").evaluate_all("all => all.map(each => each.getAttribute('href'))")
    for href in hrefs:
        book = str(href).removeprefix("/books/")
        if window.go(f"/entry/new?kind=intervention&book={book}").locator("#worked_defects .one").count() > 1:
            return book
    raise AssertionError("no raw book of the told collection has two defects")


@pytest.mark.parametrize("script", [True, False], ids=["with scripts", "without"])
def test_what_was_seen_of_each_defect_is_told_with_a_thumb(told: Server, windows: Windows, *, script: bool) -> None:
    window = windows(told, width=PHONE, script=script)
    book = a_seen_book(window)
    page = window.go(f"/entry/new?kind=intervention&book={book}&technique=cold-press")
    wrong = list(look_closely(window, "a step")) if script else []
    page.locator(OUTCOME.format(0, "lessened")).check()
    page.locator(OUTCOME.format(1, "meant")).check()
    for row in page.locator("#worked_defects .one .tick").all():
        box = row.bounding_box()
        assert box is not None
        assert box["height"] >= 44, "a thumb needs 44 px"
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("said right after: 1 lessened")
    wrong += look_closely(window, "a step told") if script else []
    assert not wrong, "\n".join(wrong)


def test_an_answer_that_was_kept_comes_back_to_its_own_defect_and_to_no_other(told: Server, windows: Windows) -> None:
    window = windows(told)
    book = a_seen_book(window)
    address = f"/entry/new?kind=intervention&book={book}&technique=cold-press"
    page = window.go(address)
    page.locator(OUTCOME.format(0, "worse")).check()
    expect(page.locator("[data-draft-line]")).to_contain_text("Kept in this browser")
    page = window.go(address)
    expect(page.locator(OUTCOME.format(0, "worse"))).to_be_checked()
    name = f"slipsheet.draft.intervention:{book}"
    kept = json.loads(page.evaluate("name => localStorage.getItem(name)", name))
    kept["values"] = [
        ["worked_defects.0.id", "d99"] if each[0] == "worked_defects.0.id" else each for each in kept["values"]
    ]
    page.evaluate("([name, kept]) => localStorage.setItem(name, JSON.stringify(kept))", [name, kept])
    own = page.locator("[name='worked_defects.0.id']").get_attribute("value")
    page = window.go(address)
    expect(page.locator(OUTCOME.format(0, ""))).to_be_checked()
    expect(page.locator("[name='worked_defects.0.id']")).to_have_value(own or "")
    page.evaluate("name => localStorage.removeItem(name)", name)


def test_a_page_left_before_its_script_ran_brings_back_no_draft_that_was_written(
    told: Server, windows: Windows
) -> None:
    window = windows(told)
    address = f"/entry/new?kind=note&book={a_seen_book(window)}"
    drafts = "**/enhance/drafts*.js*"
    page = window.go(address)
    page.locator("[name=words]").fill("The first.")
    expect(page.locator("[data-draft-line]")).to_contain_text("Kept in this browser")
    page.route(drafts, lambda route: route.fulfill(body="", content_type="text/javascript"))
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("Written as entry")
    page.unroute(drafts)
    page = window.go(address)
    expect(page.locator("[name=words]")).to_have_value("")
    page.locator("[name=words]").fill("The second.")
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("Written as entry")
    assert not [each for each in window.context.cookies() if each["name"].startswith("slipsheet_ended")]


def test_rows_that_were_added_come_back_with_what_was_typed_in_them(told: Server, windows: Windows) -> None:
    window = windows(told)
    address = f"/entry/new?kind=examination&book={a_seen_book(window)}"
    page = window.go(address)
    more = page.locator("button[value='add:defects']")
    if not more.is_visible():
        page.locator("details:has(button[value='add:defects']) > summary").click()
    first = page.locator("#defects .row").count()
    for number in (first, first + 1):
        page.locator("button[value='add:defects']").click()
        page.locator(f"[name='defects.{number}.note']").fill(f"Row {number}.")
        page.locator(f"[name='defects.{number}.breaks_colour'][value='yes']").check()
    expect(page.locator("[data-draft-line]")).to_contain_text("Kept in this browser")
    page = window.go(address)
    for number in (first, first + 1):
        expect(page.locator(f"[name='defects.{number}.note']")).to_have_value(f"Row {number}.")
        expect(page.locator(f"[name='defects.{number}.breaks_colour'][value='yes']")).to_be_checked()
    expect(page.locator("#defects .row")).to_have_count(first + 2)
    page.locator("[data-draft-clear]").click()


def test_what_is_typed_in_the_last_moment_before_a_page_is_left_is_kept(told: Server, windows: Windows) -> None:
    window = windows(told)
    address = f"/entry/new?kind=note&book={a_seen_book(window)}"
    page = window.go(address)
    page.evaluate("""() => {
      const field = document.querySelector("[name=words]");
      field.value = "In the last moment.";
      field.dispatchEvent(new Event("input", { bubbles: true }));
      location.reload();
    }""")
    expect(page.locator("[name=words]")).to_have_value("In the last moment.")
    page.locator("[data-draft-clear]").click()


def test_nothing_typed_before_signing_out_is_kept(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go(f"/entry/new?kind=note&book={a_seen_book(window)}")
    kept = page.evaluate("""() => {
      const field = document.querySelector("[name=words]");
      field.value = "Not for the next one.";
      field.dispatchEvent(new Event("input", { bubbles: true }));
      const out = document.querySelector("form[data-drafts-end]");
      out.addEventListener("submit", (event) => event.preventDefault());
      out.requestSubmit();
      window.dispatchEvent(new Event("pagehide"));
      return Object.keys(localStorage).filter((each) => each.startsWith("slipsheet.draft."));
    }""")
    assert kept == []
