"""A phone comes to the bench by what its camera reads from the owner's screen, works there, and is ended; tags are printed."""

import io
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PageObject, PdfReader

from tests.browser import server
from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window
from tests.scanning import scanned_in

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
LEAST = 44
"""Targets for busy fingers. Units: CSS px. Source: WCAG 2.2, success criterion 2.5.5 (enhanced)."""
MM = 96 / 25.4
"""Units: CSS px in one mm. Source: CSS Values and Units Level 3 section 6.2."""
TITLES = ("The Copper Lantern", "A Very Long Title of a Serial About Nothing but Weather and Its Consequences", "Ö")


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Server]:
    """A collection on its first start, found under the name of a house."""
    with server.serve_the_house(tmp_path / "house") as running:
        yield running


def an_owner(windows: Windows, house: Server) -> Collector:
    """Signed in, with a few books."""
    owner = Collector(windows(house, signed_in=False))
    owner.come_in(house.sign_in)
    for number, title in enumerate(TITLES, 1):
        owner.window.go("/purchase")
        owner.write(
            {"issue.title": title, "issue.number": str(number), "holding": "raw", "price": "12.50 EUR", "on": "1998"}
        )
    owner.window.go("/collection")
    links = [each.get_attribute("href") or "" for each in owner.page.locator(".rows .issue a").all()]
    owner.book = links[0].removeprefix("/books/")
    return owner


def places(sheet: PageObject) -> tuple[list[float], list[float]]:
    """Where on a sheet the words of tags begin, across and down. Units: mm, a point being 1/72 inch."""
    found: set[tuple[float, float]] = set()

    def seen(text: str, sheet: list[float], words: list[float], _font: object, _size: float) -> None:
        if re.match(r"copy \d", text.strip()):
            # Source: ISO 32000-1 section 8.3.4, a place in the words' own coordinates on the sheet.
            across = words[4] * sheet[0] + words[5] * sheet[2] + sheet[4]
            down = words[4] * sheet[1] + words[5] * sheet[3] + sheet[5]
            found.add((across * 25.4 / 72, -down * 25.4 / 72))

    sheet.extract_text(visitor_text=seen)
    return sorted({round(across, 1) for across, _ in found}), sorted({round(down, 1) for _, down in found})


def code_shown(page: Page, name: str) -> str:
    """What a camera reads from the owner's screen."""
    page.locator("[name=name]").fill(name)
    page.get_by_role("button", name="Show the code").click()
    expect(page.locator("main")).to_contain_text(f"The code for {name}")
    return scanned_in(page.locator("svg.code").screenshot())


def work_at_the_bench(phone: Window, book: str) -> None:
    """The load comes out and is told, and a choice is written."""
    phone.page.get_by_role("button", name="It is out").click()
    phone.page.wait_for_url("**/entry/new?*")
    phone.page.locator("main .acts button.next").click()
    expect(phone.page.locator(".told")).to_contain_text("Written as entry")
    phone.go(f"/entry/new?kind=choice&book={book}")
    phone.page.locator("[name=next][value=stop]").check()
    phone.page.locator("main .acts button.next").click()
    expect(phone.page.locator(".told")).to_contain_text("Written as entry")


def be_refused(phone: Window) -> None:
    """What is no bench work is done at the computer."""
    for path in ("/settings", "/settings/key", "/settings/phone", "/purchase"):
        with phone.refused(403):
            phone.go(path)
        expect(phone.page.get_by_role("heading", level=1)).to_have_text("This is done at the computer")


@pytest.mark.parametrize("scripts", [True, False])
def test_a_phone_scans_the_code_works_at_the_bench_and_is_ended(
    house: Server, windows: Windows, *, scripts: bool
) -> None:
    owner = an_owner(windows, house)
    owner.window.go(f"/bench/start?book={owner.book}")
    owner.page.locator("[name=technique]").select_option("cold-press")
    owner.press("It goes in now")
    page = owner.window.go("/settings/phone")
    wrong = list(look_closely(owner.window, "phone settings"))
    address = code_shown(page, "Grey phone")
    assert address.startswith(house.at("/join/"))
    wrong += look_closely(owner.window, "phone code")

    phone = windows(house, width=PHONE, touch=True, signed_in=False, script=scripts)
    phone.page.goto(address)
    wrong += look_closely(phone, "join") if scripts else []
    button = phone.page.get_by_role("button", name="Join from here")
    box = button.bounding_box()
    assert box is not None
    assert box["height"] >= LEAST
    button.click()
    phone.page.wait_for_url("**/bench")
    expect(phone.page.locator(".told")).to_contain_text("Grey phone is at the bench.")
    wrong += look_closely(phone, "phone bench") if scripts else []

    work_at_the_bench(phone, owner.book)
    be_refused(phone)
    wrong += look_closely(phone, "phone refused") if scripts else []

    owner.window.go("/settings/phone")
    expect(owner.page.locator("#list tbody tr")).to_have_count(1)
    wrong += look_closely(owner.window, "phone list")
    owner.press("End it")
    expect(owner.page.locator(".told")).to_contain_text("Grey phone is out.")
    phone.go("/bench")
    expect(phone.page.get_by_role("heading", level=1)).to_have_text("Sign in")
    assert not wrong, "\n".join(wrong)


def test_tags_have_the_size_they_say_and_each_opens_its_book(house: Server, windows: Windows) -> None:
    owner = an_owner(windows, house)
    page = owner.window.go("/collection")
    for tick in page.locator(".rows [name=book]").all():
        tick.check()
    page.get_by_role("button", name="Print tags").click()
    page.wait_for_url("**/tags?*")
    wrong = list(look_closely(owner.window, "tags"))
    tags = page.locator(".tag")
    expect(tags).to_have_count(len(TITLES))
    for number in range(len(TITLES)):
        box = tags.nth(number).bounding_box()
        assert box is not None
        assert (box["width"], box["height"]) == pytest.approx((60 * MM, 25 * MM), abs=0.5)
    house.cookies = list(owner.window.context.cookies())
    near = windows(house, zoom=4)
    for number in range(len(TITLES)):
        near.page.goto(page.url)
        tag = near.page.locator(".tag").nth(number)
        title, read = tag.locator(".tag-title").inner_text(), scanned_in(tag.screenshot())
        assert read.startswith(house.at("/books/"))
        near.page.goto(read)
        expect(near.page.get_by_role("heading", level=1)).to_contain_text(title)
    assert not wrong, "\n".join(wrong)


def test_on_paper_thirty_three_tags_stand_on_a_sheet_in_the_size_they_say(house: Server, windows: Windows) -> None:
    owner = an_owner(windows, house)
    page = owner.window.go(f"/books/{owner.book}/tag")
    # One tag many times: the server gives each book one, so the sheet is filled in the page itself.
    page.evaluate(
        "() => { const all = document.querySelector('.tags'), one = all.firstElementChild;"
        " for (let more = 0; more < 33; more += 1) all.append(one.cloneNode(true)); }"
    )
    page.emulate_media(media="print")
    edges = page.locator(".tag").evaluate_all("all => all.map(each => each.getBoundingClientRect().toJSON())")
    assert {(round(each["width"] / MM, 1), round(each["height"] / MM, 1)) for each in edges} == {(60.0, 25.0)}
    for paper, on_the_first in (("A4", 33), ("Letter", 30)):
        sheets = PdfReader(io.BytesIO(page.pdf(format=paper, prefer_css_page_size=False))).pages
        across, down = places(sheets[0])
        # The browser sets words on whole dots, 0.26 mm apart.
        assert [each - across[0] for each in across] == pytest.approx([0, 60, 120], abs=0.5)
        assert [each - down[0] for each in down] == pytest.approx(
            [25 * row for row in range(on_the_first // 3)], abs=0.5
        )
        codes = [len(re.findall(r"copy \d", each.extract_text())) for each in sheets]
        assert codes == [on_the_first, 34 - on_the_first], paper
