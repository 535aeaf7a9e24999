"""A book is hung, moved by keys, its light read and its rotation accepted; a swap is checked off and a shelf counted."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look, look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]


def choose_place(page: Page) -> str:
    """The first place with a name that the page offers, shown."""
    value = page.locator("select[name=place] option").nth(1).get_attribute("value")
    assert value
    page.locator("#place").select_option(value)
    page.get_by_role("button", name="Show").click()
    return value


def take_plans_away(window: Window) -> None:
    """All there are, so that another may be accepted."""
    page = window.go("/rotation")
    for _ in range(page.locator("tbody th a").count()):
        page.locator("tbody th a").first.click()
        page.get_by_role("button", name="Take the plan away").click()
        expect(page.locator(".told")).to_contain_text("The plan was taken away.")
    expect(page.locator("main")).to_contain_text("No rotation is planned.")


def only_spots(page: Page, *wanted: str) -> None:
    """Spots whose words have one of these are left ticked."""
    labels = page.locator("label.tick:has(input[name^=s][name$='.use'])")
    for place in range(labels.count()):
        words = labels.nth(place).inner_text()
        if not any(each in words for each in wanted):
            labels.nth(place).locator("input").uncheck()


def plan(page: Page, *spots: str) -> None:
    """Every book of the form at these spots, for three swaps; no light is typed, for the ledger knows it."""
    assert page.locator("input[name$='.light']").count() == 0
    only_spots(page, *spots)
    page.get_by_label("First swap on").fill("3 Jan 2027")
    page.get_by_label("Weeks between swaps").fill("8")
    page.get_by_label("Number of swaps").fill("3")
    page.get_by_role("button", name="Work the plan out").click()
    expect(page.locator(".told")).to_contain_text("This is the plan.")


def hang_by_keys(window: Window) -> tuple[str, str]:
    """A book comes to the landing, goes a centimetre to the right by keys, and is written: its id, and how far from the left."""
    page = window.go("/wall/landing/long/hang")
    page.get_by_label("Another book for this wall").select_option(index=1)
    page.get_by_role("button", name="Put it on the wall").click()
    expect(page.locator("#hang-form")).to_contain_text("comes to this wall")
    book = str(page.locator("input[name^='x.']").last.get_attribute("name")).removeprefix("x.")
    x = float(page.locator(f"[name='x.{book}']").input_value())
    page.locator(f"[data-hung='{book}']").focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowLeft", "ArrowUp"):
        page.keyboard.press(key)
    assert float(page.locator(f"[name='x.{book}']").input_value()) == x + 1
    page.get_by_role("button", name=re.compile("Write where they hang")).last.click()
    expect(page.locator(".told")).to_contain_text("Written as")
    return book, f"{x + 1:g}"


@pytest.mark.parametrize("path", ["/wall", "/wall?as=list", "/care", "/rotation", "/rotation/new", "a plan"])
def test_every_page_of_care_and_rotation_is_well_in_every_width_and_both_palettes(
    told: Server, windows: Windows, path: str
) -> None:
    window = windows(told)
    if path == "a plan":
        href = window.go("/rotation").locator("tbody th a").first.get_attribute("href")
        path = f"{href}?dim_to_percent=50&uv_filter=yes"
    wrong = look(window, path)
    assert not wrong, "\n".join(wrong)


def test_a_book_is_hung_moved_by_keys_its_light_is_read_and_its_rotation_accepted(
    told: Server, windows: Windows
) -> None:
    window = windows(told)
    book, at = hang_by_keys(window)
    page = window.go(f"/books/{book}/light")
    here = page.locator("#here, [aria-labelledby='here']").first
    expect(here).to_contain_text("In a day")
    expect(here).to_contain_text("lux hours")
    expect(here).to_contain_text("Days a year it allows")
    expect(page.locator("main")).to_contain_text("Not known, and not nothing")
    wrong = list(look_closely(window, "light of a book that was hung"))

    take_plans_away(window)
    page = window.go("/rotation/new")
    choose_place(page)
    wrong += list(look_closely(window, "rotation form"))
    plan(page, f"{at} cm from the left")
    expect(page.locator("svg.turns rect.turn").first).to_be_visible()
    page.get_by_label("Dimmed to (per cent)").fill("50")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator(".then-said")).to_contain_text("In that light")
    wrong += list(look_closely(window, "rotation in another light"))
    page.get_by_role("button", name="Accept this plan").click()
    expect(page.locator(".told")).to_contain_text("The plan counts from now on.")
    expect(page.locator("main")).to_contain_text("Check swap 1 off")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("scripts", [True, False])
def test_a_rotation_is_accepted_a_swap_checked_off_and_a_shelf_counted(
    told: Server, windows: Windows, *, scripts: bool
) -> None:
    window = windows(told, script=scripts)
    take_plans_away(window)
    page = window.go("/wall")
    page.get_by_role("link", name="Rotation").click()
    page.get_by_role("link", name="Plan a rotation").click()
    place = choose_place(page)
    plan(page, "118 cm from the left", "284 cm from the left")
    wrong = list(look_closely(window, "rotation proposed")) if scripts else []
    page.get_by_role("button", name="Accept this plan").click()
    expect(page.locator(".told")).to_contain_text("The plan counts from now on.")
    page.get_by_label("Name of that place").fill(place)
    page.get_by_role("button", name="It is done").click()
    expect(page.get_by_role("heading", name="Check swap 2 off")).to_be_visible()
    wrong += list(look_closely(window, "rotation accepted")) if scripts else []

    page = window.go("/care")
    choose_place(page)
    wrong += list(look_closely(window, "care of a place")) if scripts else []
    ticks = page.locator("#shelf input[type=checkbox]")
    assert ticks.count() >= 1
    for number in range(ticks.count()):
        ticks.nth(number).check()
    page.get_by_role("button", name="Write the count").click()
    expect(page.locator(".told")).to_contain_text(re.compile("written|Written|entr", re.IGNORECASE))
    take_plans_away(window)
    assert not wrong, "\n".join(wrong)
