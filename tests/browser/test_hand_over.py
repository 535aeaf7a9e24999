"""A record from one collector to the next, whole: made in the demo, read with the network off, one byte altered, received."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import come_in
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long


def a_worked_book(window: Window) -> str:
    """The first book of the list that was worked on."""
    page = window.go("/collection")
    links = [each.get_attribute("href") for each in page.locator(".rows .issue a").all()]
    for each in links:
        page = window.go(f"{each}/record")
        if page.locator("[name=shot]:checked").count() > 1:
            return str(each).removeprefix("/books/")
    raise AssertionError("no book of the demo has two photographs")


def made(window: Window, folder: Path) -> tuple[Path, str]:
    """The page of a record as a file, and the key that signed it, as the collector reads it aloud."""
    book = a_worked_book(window)
    page = window.go(f"/books/{book}/record")
    assert page.locator("[name=open][value$='.price']:checked").count() == 0
    assert list(look_closely(window, "record")) == []
    page.get_by_role("button", name="See what the reader sees").click()
    assert list(look_closely(window, "record seen")) == []
    page.get_by_role("button", name="Make the record").click()
    expect(page.locator(".told")).to_contain_text("The record was made and signed")
    with page.expect_download() as download:
        page.get_by_role("link", name="One page that opens in any browser").first.click()
    download.value.save_as(folder / "record.html")
    page = window.go("/settings/key")
    key = re.search(
        r"slipsheet\.invalid/\S+\+[0-9a-f]{8}\+\S+|\S+\+[0-9a-f]{8}\+[A-Za-z0-9+/=]{44}", page.inner_text("main")
    )
    assert key
    return folder / "record.html", key[0]


def verdict(page: Page, state: str) -> str:
    page.locator(f"#verdict[data-state='{state}']").wait_for()
    return page.locator("#verdict").inner_text()


def altered(browser: Browser, file: Path, key: str, folder: Path) -> Path:
    """The record with one byte altered, after both were read with the network off, and told apart."""
    offline = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = offline.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert "Who signed them is not known" in verdict(page, "consistent")
    page.locator("#key").fill(key)
    page.get_by_role("button", name="Check again").click()
    assert "Nothing was changed or left out" in verdict(page, "good")

    data = file.read_bytes()
    at = data.index(b'<p class="lead" data-s>') + 24
    other = folder / "altered.html"
    other.write_bytes(data[:at] + (b"X" if data[at : at + 1] != b"X" else b"Y") + data[at + 1 :])
    page.goto(other.as_uri())
    assert "Do not rely on this record" in verdict(page, "bad")
    expect(page.locator("#found li")).to_have_count(1)
    assert all(each.startswith(("file:", "data:")) for each in asked)
    offline.close()
    return other


def test_a_record_goes_from_the_demo_to_a_second_collection(
    browser: Browser, told: Server, first_start: Server, windows: Callable[..., Window], tmp_path: Path
) -> None:
    file, key = made(windows(told), tmp_path)

    other = altered(browser, file, key, tmp_path)
    come_in(browser, first_start)
    theirs = windows(first_start)
    page = theirs.go("/receive")
    page.locator("#file").set_input_files(file)
    page.locator("#keys").fill(key)
    page.get_by_role("button", name="Check it").click()
    expect(page.locator("main")).to_contain_text("nothing was changed or left out, and the signer is known")
    page.get_by_role("button", name="Take it over").click()
    expect(page.locator(".told")).to_contain_text("The record was received")
    expect(page.locator("#owners")).to_contain_text("What owners before wrote")
    page.get_by_role("link", name="Read their record").click()
    expect(page.locator("main")).to_contain_text("As it was received")
    assert list(look_closely(theirs, "received")) == []

    page = theirs.go("/receive")
    page.locator("#file").set_input_files(other)
    page.get_by_role("button", name="Check it").click()
    expect(page.locator("main")).to_contain_text("Broken or changed: do not rely on it")
