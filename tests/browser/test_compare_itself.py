"""Before and after lined up without points, in the window: by keys, with slider and blink, and without a script."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from seeds.draw import draw
from tests.browser.collector import Collector
from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.test_compare import EVERYWHERE, compare, opacity
from tests.browser.window import Window
from tests.photographed import TABLE, photographed, similarity

pytestmark = pytest.mark.long
Windows = Callable[..., Window]


@pytest.fixture
def turned(tmp_path: Path, request: pytest.FixtureRequest) -> list[Path]:
    """One cover, photographed straight and then turned and from farther away; with noise of its own in each test."""
    paths, cover = [], draw("harbor-lamp-31")
    for number, (degrees, scale) in enumerate(((0, 1.0), (6, 0.9))):
        way = similarity(cover.size, degrees, scale, (TABLE[0] / 2, TABLE[1] / 2))
        taken = photographed(cover, way, random.Random(f"{request.node.name} {number}"))
        paths.append(tmp_path / f"{number}.jpg")
        paths[-1].write_bytes(taken.data)
    return paths


def test_a_press_lines_them_up_and_slider_and_blink_work_over_it(
    told: Server, windows: Windows, turned: list[Path]
) -> None:
    who = Collector(windows(told))
    who.page.emulate_media(reduced_motion="reduce")
    page = compare(who, turned)
    expect(page.locator("#over")).to_have_count(0)
    page.locator("#itself button").press("Enter")
    expect(page.locator("#over")).to_contain_text("Aligned without points, from ")
    expect(page.locator("#over")).to_contain_text("turned anticlockwise by 6.0 degrees and shown 1.111 times as large")
    later, slider = page.locator("[data-later]"), page.locator("#share")
    slider.focus()
    page.keyboard.press("Home")
    assert opacity(later) == 0
    page.locator("[data-blink]").press("Enter")
    assert opacity(later) == 1
    wrong = list(look_closely(who.window, "before and after, lined up", EVERYWHERE))
    assert not wrong, "\n".join(wrong)


def test_without_a_script_they_are_lined_up_too(told: Server, windows: Windows, turned: list[Path]) -> None:
    who = Collector(windows(told, width=390, script=False))
    page = compare(who, turned)
    page.locator("#itself button").click()
    expect(page.locator("#over")).to_contain_text("Aligned without points, from ")
    assert opacity(page.locator("[data-later]")) == 0.5


def test_where_nothing_agrees_the_window_shows_why_and_leads_to_the_points(
    told: Server, windows: Windows, turned: list[Path], tmp_path: Path
) -> None:
    who = Collector(windows(told, width=390))
    other = tmp_path / "other.jpg"
    cover = draw("unlit-stair-4")
    way = similarity(cover.size, 0, 1, (TABLE[0] / 2, TABLE[1] / 2))
    other.write_bytes(photographed(cover, way, random.Random(8)).data)
    page = compare(who, [turned[0], other])
    page.locator("#itself button").click()
    expect(page.locator("#itself .fault")).to_contain_text("Not aligned: ")
    expect(page.locator("#itself .fault")).to_be_in_viewport()
    expect(page.locator("#over")).to_have_count(0)
    wrong = list(look_closely(who.window, "before and after, not aligned", EVERYWHERE))
    assert not wrong, "\n".join(wrong)
    page.locator("#itself .fault a").click()
    expect(page.locator("#points")).to_be_in_viewport()
