"""The condition report before a browser: whole at every width, on paper black on white and inside either paper."""

import io
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser import shots
from tests.browser.looking import look
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PAPERS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}
"""Units: pt. Source: ISO 216; ANSI/ASME Y14.1."""
OVER_THE_EDGE = """() => [...document.querySelectorAll(".report *")]
  .filter((each) => each.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .map((each) => each.tagName + " " + each.className)"""
INKS = """() => [...new Set([...document.querySelectorAll(".report *")].map((each) => getComputedStyle(each).color))]"""


def the_fullest(window: Window) -> str:
    """The address of the report with the most photographs among the first books of the list."""
    window.go("/collection")
    books = [each.get_attribute("href") or "" for each in window.page.locator("#list tbody th a").all()]
    texts = {book: window.context.request.get(window.server.at(f"{book}/report")).text() for book in books}
    return max(texts, key=lambda book: texts[book].count("<img")) + "/report"


def is_grey(colour: str) -> bool:
    red, green, blue = (float(each) for each in colour.removeprefix("rgb(").removesuffix(")").split(",")[:3])
    return red == green == blue


def test_a_report_is_whole_at_every_width_in_both_palettes(told: Server, windows: Windows) -> None:
    window = windows(told)
    wrong = look(window, the_fullest(window), "report")
    assert not wrong, "\n".join(wrong)


def test_a_report_is_printed_in_black_on_white_without_what_is_pressed(told: Server, windows: Windows) -> None:
    window = windows(told, theme="dark")
    page = window.go(the_fullest(window))
    page.emulate_media(media="print")
    for chrome in (".head", ".foot", ".board-note"):
        for each in page.locator(chrome).all():
            expect(each).to_be_hidden()
    for pressed in (*page.get_by_role("button").all(), *page.locator("main a").all()):
        expect(pressed).to_be_hidden()
    assert all(is_grey(each) for each in page.evaluate(INKS))
    expect(page.locator(".report-running")).to_be_visible()


@pytest.mark.parametrize("paper", PAPERS)
def test_a_report_stays_inside_the_paper(told: Server, windows: Windows, paper: str) -> None:
    window = windows(told)
    page = window.go(the_fullest(window))
    wide, high = PAPERS[paper]
    printed = PdfReader(io.BytesIO(page.pdf(format=paper)))
    assert 1 < len(printed.pages) <= 10
    for each in printed.pages:
        assert abs(float(each.mediabox.width) - wide) < 1.5
        assert abs(float(each.mediabox.height) - high) < 1.5
    page.emulate_media(media="print")
    # What is left between the margins, at 96 px an inch: CSS Values and Units, 6.2.
    page.set_viewport_size({"width": round(wide / 72 * 96 - 30 / 25.4 * 96), "height": 1000})
    assert page.evaluate(OVER_THE_EDGE) == []
    shots.keep(page, f"report on {paper}")


def test_a_report_is_whole_without_scripts_and_leads_to_its_pdf(told: Server, windows: Windows) -> None:
    window = windows(told, script=False)
    page: Page = window.go(the_fullest(window))
    with page.expect_download() as taken:
        page.get_by_role("link", name="Take it as a PDF").click()
    assert taken.value.suggested_filename.startswith("slipsheet-report-book-")
    assert PdfReader(taken.value.path()).metadata is not None
