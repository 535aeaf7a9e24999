"""Before and after in the window: points tapped and stepped by keys, slider and blink, and all of it without a script."""

import re
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
EVERYWHERE = frozenset({(1440, "light"), (1440, "dark"), (390, "light"), (390, "dark")})
PLACES = {"b": ((20, 20), (80, 80)), "a": ((30, 30), (70, 70))}


@pytest.fixture
def pictures(tmp_path: Path, request: pytest.FixtureRequest) -> list[Path]:
    """A frame on paper, and the same frame seen from farther away; of a colour of its own in each test."""
    paths, colour = [], (crc32(request.node.name.encode()) % 200, 40, 90)
    for number, edge in enumerate((20, 30)):
        picture = Image.new("RGB", (400, 600), "beige")
        picture.paste(colour, (4 * edge, 6 * edge, 400 - 4 * edge, 600 - 6 * edge))
        paths.append(tmp_path / f"{number}.png")
        picture.save(paths[-1])
    return paths


def compare(who: Collector, pictures: list[Path]) -> Page:
    """A book with both photographs, and the page on which they are compared."""
    page = who.window.go("/collection")
    book = page.locator("#list a[href^='/books/']").first.get_attribute("href") or ""
    seqs = []
    for path in pictures:
        who.window.go(f"/entry/new?kind=photograph&book={book.removeprefix('/books/')}")
        seqs.append(who.write({"shots.0.file": path}))
    who.window.go(book)
    expect(page.locator(f"a[href='{book}/compare']")).to_be_visible()
    return who.window.go(f"{book}/compare?before={seqs[0]}&after={seqs[1]}")


def tap(page: Page, side: str, place: tuple[int, int]) -> None:
    """A place in a picture. Units: per cent."""
    picture = page.locator(f"svg[data-points={side}]")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] * place[0] / 100, box["y"] + box["height"] * place[1] / 100)


def type_points(page: Page) -> None:
    """All eight numbers."""
    for side, places in PLACES.items():
        for number, place in enumerate(places, 1):
            for axis, value in zip("xy", place, strict=True):
                page.locator(f"#{side}{number}{axis}").fill(str(value))


def opacity(later: Locator) -> float:
    return float(later.get_attribute("opacity") or "nan")


def test_points_are_tapped_and_the_later_one_is_seen_more_and_less(
    told: Server, windows: Windows, pictures: list[Path]
) -> None:
    who = Collector(windows(told))
    who.page.emulate_media(reduced_motion="no-preference")
    page = compare(who, pictures)
    for side, places in PLACES.items():
        for place in places:
            tap(page, side, place)
    for side, places in PLACES.items():
        for number, place in enumerate(places, 1):
            for axis, wished in zip("xy", place, strict=True):
                assert float(page.locator(f"#{side}{number}{axis}").input_value()) == pytest.approx(wished, abs=0.5)
    page.locator("#b1x").focus()
    page.keyboard.press("ArrowUp")
    stepped = page.locator("#b1x").input_value()
    expect(page.locator("svg[data-points=b] [data-point='1']")).to_have_attribute("x", f"{float(stepped):g}%")
    page.keyboard.press("Enter")
    expect(page.locator("#over")).to_contain_text("Aligned by two points set by hand")
    matrix = page.locator("[data-later] image").get_attribute("transform") or ""
    assert float(matrix[7:].split()[0]) == pytest.approx(1.5, abs=0.02)
    later, slider = page.locator("[data-later]"), page.locator("#share")
    slider.focus()
    page.keyboard.press("End")
    assert opacity(later) == 1
    page.keyboard.press("Home")
    assert opacity(later) == 0
    blink = page.locator("[data-blink]")
    blink.press("Enter")
    expect(blink).to_have_attribute("aria-pressed", "true")
    assert opacity(later) == 1
    expect(later).to_have_attribute("opacity", "0")
    blink.press("Enter")
    expect(blink).to_have_attribute("aria-pressed", "false")
    # A colour that is still passing over into the other palette is none of either.
    page.emulate_media(reduced_motion="reduce")
    wrong = list(look_closely(who.window, "before and after", EVERYWHERE))
    assert not wrong, "\n".join(wrong)


def test_where_less_motion_is_asked_for_each_press_changes_once(
    told: Server, windows: Windows, pictures: list[Path]
) -> None:
    who = Collector(windows(told, width=390))
    who.page.emulate_media(reduced_motion="reduce")
    page = compare(who, pictures)
    type_points(page)
    page.locator("#points .acts button").click()
    later, blink = page.locator("[data-later]"), page.locator("[data-blink]")
    for expected in (1, 0, 1):
        blink.click()
        assert opacity(later) == expected
        expect(blink).to_have_attribute("aria-pressed", "false")
    page.wait_for_timeout(1300)
    assert opacity(later) == 1


def test_without_a_script_the_numbers_are_typed_and_both_are_half_seen(
    told: Server, windows: Windows, pictures: list[Path]
) -> None:
    who = Collector(windows(told, width=390, script=False))
    page = compare(who, pictures)
    type_points(page)
    page.locator("#points .acts button").click()
    expect(page.locator("#over")).to_contain_text(re.compile("Aligned by two points set by hand.*1.500 times"))
    assert opacity(page.locator("[data-later]")) == 0.5
    expect(page.locator(".over-tools")).to_be_hidden()
