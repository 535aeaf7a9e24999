"""A day at the bench with a phone in one hand, whole: photograph, six defects, a recipe, a look again, what changed, paper."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.test_placing import TAPS, tap
from tests.browser.window import Window

pytestmark = pytest.mark.long
PHONE = 390


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A front, upright."""
    Image.new("RGB", (600, 870), "teal").save(tmp_path / "front.jpg", "JPEG")
    return tmp_path / "front.jpg"


def form(window: Window, kind: str, book: str) -> Page:
    return window.go(f"/entry/new?kind={kind}&book={book}")


def write(page: Page) -> None:
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("Written as entry")


def map_six_defects(page: Page) -> None:
    known = page.locator("[name='defects.0.type'] option").evaluate_all("all => all.map(each => each.value)")
    for row, (face, across, down, kind) in enumerate(TAPS):
        page.locator(".placing svg").scroll_into_view_if_needed()
        tap(page, face, across, down)
        expect(page.locator(f"[name='defects.{row}.face']")).to_have_value(face)
        page.locator(f"[name='defects.{row}.id']").fill(f"w{row}")
        page.locator(f"[name='defects.{row}.type']").select_option(kind if kind in known else known[1])
        page.locator(f"[name='defects.{row}.size_mm']").fill("9")
        page.locator(f"[name='defects.{row}.count']").fill("1")


def a_free_book(window: Window) -> str:
    """One that is here, raw, and in no load."""
    page = window.go("/bench")
    busy = [each.get_attribute("href") for each in page.locator(".load a").all()]
    page = window.go("/collection?holding=raw&status=here")
    links = [each.get_attribute("href") for each in page.locator(".rows .issue a").all()]
    return next(each for each in reversed(links) if each is not None and each not in busy).removeprefix("/books/")


def print_report(window: Window, book: str) -> list[str]:
    """What is wrong with the page of the report, which is printed on A4."""
    page = window.go(f"/books/{book}/report")
    expect(page.locator("main")).to_contain_text("w5")
    wrong = list(look_closely(window, "report"))
    assert page.pdf(format="A4").startswith(b"%PDF")
    return wrong


def test_a_day_at_the_bench_from_the_photograph_to_the_printed_report(
    told: Server, windows: Callable[..., Window], picture: Path
) -> None:
    window = windows(told, width=PHONE, touch=True)
    book = a_free_book(window)

    page = form(window, "photograph", book)
    page.locator("[name='shots.0.file']").set_input_files(picture)
    write(page)

    page = form(window, "examination", book)
    map_six_defects(page)
    write(page)

    page = window.go(f"/bench/start?book={book}")
    page.get_by_label(re.compile("Clean, warm, cold, step 2")).check()
    page.get_by_role("button", name=re.compile("It goes in now")).click()
    page.wait_for_url("**/bench")
    load = page.locator(".load", has=page.locator(f"a[href='/books/{book}']"))
    load.get_by_role("button", name="It is out").click()
    expect(page.locator("[name=technique]")).to_have_value("hot-press-dry")
    write(page)

    page = form(window, "examination", book)
    page.locator("[name='defects.0.id']").fill("w2")
    page.locator("[name='defects.0.size_mm']").fill("4")
    write(page)

    page = window.go(f"/books/{book}/condition")
    expect(page.locator(".condition")).to_contain_text("One has lessened.")
    drawn = page.locator(".flat .defect").count()
    assert drawn >= len(TAPS)
    wrong = list(look_closely(window, "what changed"))
    page.get_by_role("link", name="The look before").click()
    expect(page.locator(".flat .defect")).to_have_count(drawn)

    wrong += print_report(window, book)
    assert not wrong, "\n".join(wrong)
