"""Books on a wall: hung, moved by keys and by the pointer, seen in the way, written, read in the list, and printed as a plan."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.looking import look, look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
HANG = "/wall/landing/long/hang"
PLAN = "/wall/landing/long/plan"


def drawn(page: Page, title: str) -> Locator:
    """The link of a book in the drawing."""
    return page.locator("[data-hung]", has_text=title).first


def place(page: Page, book: str) -> tuple[str, str]:
    """What stands in the inputs of a book."""
    x, y = (page.locator(f"[name='{axis}.{book}']").input_value() for axis in "xy")
    return x, y


def id_of(page: Page, title: str) -> str:
    book = drawn(page, title).get_attribute("data-hung")
    assert book is not None
    return book


def test_a_book_moves_by_keys_says_where_it_is_and_comes_back_by_undoing(told: Server, windows: Windows) -> None:
    page = windows(told).go(HANG)
    book = id_of(page, "Jukebox Hettie")
    before = place(page, book)
    drawn(page, "Jukebox Hettie").focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowDown", "Shift+ArrowUp"):
        page.keyboard.press(key)
    x, y = (float(each) for each in before)
    after = (f"{x + 2:g}", f"{y + 9:g}")
    assert place(page, book) == after
    expect(page.locator("[data-hang-told]")).to_contain_text(
        f"{after[0]} cm from the left end, {after[1]} cm from the floor"
    )
    expect(page.locator(".in-the-way-words")).to_contain_text("One book is moved")
    # The drawing came anew, and the same book still has the focus.
    expect(drawn(page, "Jukebox Hettie")).to_be_focused()
    for _ in range(4):
        page.get_by_role("button", name="Undo the last move").click()
    assert place(page, book) == before
    expect(page.locator(".in-the-way-words")).to_contain_text("Nothing is moved yet")


def test_what_is_in_the_way_is_seen_and_said_while_a_book_is_dragged(told: Server, windows: Windows) -> None:
    page = windows(told).go(HANG)
    book, other = id_of(page, "Bold Sextant"), drawn(page, "Dumpling")
    own, there = drawn(page, "Bold Sextant").locator(".shade"), other.locator(".shade")
    own.scroll_into_view_if_needed()
    start, end = own.bounding_box(), there.bounding_box()
    assert start is not None
    assert end is not None
    page.mouse.move(start["x"] + 8, start["y"] + 8)
    page.mouse.down()
    page.mouse.move(start["x"] + 20, start["y"] + 8)
    page.mouse.move(end["x"] + 8, start["y"] + 8)
    page.mouse.up()
    expect(page.locator(".in-the-way-words")).to_contain_text("Bold Sextant 33 lies over Dumpling & Tack 8")
    expect(page.locator("rect.in-the-way")).to_have_count(2)
    assert place(page, book)[0] != "296"
    page.get_by_role("link", name="Take all of this back").click()
    assert place(page, book) == ("296", "148")
    expect(page.locator("rect.in-the-way")).to_have_count(0)


@pytest.mark.parametrize("scripts", [True, False])
def test_books_are_hung_moved_and_written_read_in_the_list_and_printed(
    told: Server, windows: Windows, *, scripts: bool
) -> None:
    window = windows(told, script=scripts)
    page = window.go(HANG)
    book = id_of(page, "Jukebox Hettie")
    if scripts:
        drawn(page, "Jukebox Hettie").focus()
        page.keyboard.press("ArrowRight")
    else:
        page.locator(f"[name='x.{book}']").fill("470")
        page.get_by_role("button", name="Show it on the wall").click()
        expect(page.locator(".in-the-way-words")).to_contain_text("One book is moved")
    x, y = place(page, book)
    page.get_by_label("Another book for this wall").select_option(index=1)
    page.get_by_role("button", name="Put it on the wall").click()
    expect(page.locator("#hang-form")).to_contain_text("comes to this wall")
    assert place(page, book) == (x, y)
    wrong = list(look_closely(window, "hang")) if scripts else []
    page.get_by_role("button", name=re.compile("Write where they hang")).last.click()
    expect(page.locator(".told")).to_contain_text("Written as entries")
    page = window.go("/wall?as=list")
    expect(page.locator("main")).to_contain_text(f"{x} cm from the left, {y} cm up")
    page = window.go(PLAN)
    expect(page.locator(".plan-rows")).to_contain_text("Jukebox Hettie")
    href = page.get_by_role("link", name="As a PDF").get_attribute("href")
    assert href is not None
    pdf = window.context.request.get(told.at(href))
    assert (pdf.status, pdf.headers["content-type"]) == (200, "application/pdf")
    assert pdf.body().startswith(b"%PDF-")
    assert not wrong, "\n".join(wrong)


def test_a_room_is_drawn_as_it_is_typed(told: Server, windows: Windows) -> None:
    page = windows(told).go("/wall/new-room")
    for name, value in {
        "room": "hall",
        "walls.0.id": "w",
        "walls.0.width_cm": "240",
        "walls.0.height_cm": "250",
    }.items():
        page.locator(f"[name='{name}']").fill(value)
    expect(page.locator("#room-seen .elevation")).to_have_count(1)
    expect(page.locator("#room-seen")).to_contain_text("wall w")


@pytest.mark.parametrize("path", [HANG, PLAN, "/wall/rooms", "/wall/rooms/study", "/wall/new-room"])
def test_every_page_of_the_walls_is_well_in_every_width_and_both_palettes(
    told: Server, windows: Windows, path: str
) -> None:
    wrong = look(windows(told), path)
    assert not wrong, "\n".join(wrong)
