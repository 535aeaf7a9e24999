"""A group picture in the window: frames dragged and moved by keys, plain numbers without a script, one part on a page."""

import io
import re
from collections.abc import Callable
from pathlib import Path

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
BOOKS = 2
SIDE = ("x_percent", "y_percent", "width_percent", "height_percent")


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """A red book at the left and a blue one at the right, on a wooden table."""
    picture = Image.new("RGB", (1200, 800), "tan")
    picture.paste("red", (120, 160, 480, 640))
    picture.paste("blue", (720, 160, 1080, 640))
    picture.save(tmp_path / "table.jpg", "JPEG")
    return tmp_path / "table.jpg"


def choose_books(who: Collector) -> None:
    """The first of the list, and the form for a picture of them together."""
    page = who.window.go("/collection")
    for number in range(BOOKS):
        page.locator("#list input[name=book]").nth(number).check()
    page.locator(".picked").get_by_role("button", name="New entry").click()
    page.locator(".kind-list").get_by_role("link", name=re.compile("^Photograph")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Group picture")


def numbers(page: Page, book: int) -> list[int]:
    """What stands in the number fields of a book."""
    return [int(page.locator(f"[name='of.{book}.region.{side}']").input_value()) for side in SIDE]


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """The pointer from one place of the picture to another. Units: per cent."""
    ground = page.locator(".ground > canvas")
    ground.scroll_into_view_if_needed()
    box = ground.bounding_box()
    assert box is not None
    (x1, y1), (x2, y2) = (
        (box["x"] + box["width"] * x / 100, box["y"] + box["height"] * y / 100) for x, y in (start, end)
    )
    page.mouse.move(x1, y1)
    page.mouse.down()
    page.mouse.move((x1 + x2) / 2, (y1 + y2) / 2)
    page.mouse.move(x2, y2)
    page.mouse.up()


def colour_of(who: Collector, image: Locator) -> tuple[int, int, int]:
    """The colour in the middle of a picture of the page."""
    answer = who.window.context.request.get(who.window.server.at(image.get_attribute("src") or ""))
    picture = Image.open(io.BytesIO(answer.body())).convert("RGB")
    colour = picture.getpixel((picture.width // 2, picture.height // 2))
    assert isinstance(colour, tuple)
    return colour[0], colour[1], colour[2]


def shown_on_their_pages(who: Collector, seq: int) -> None:
    """The page of each entry shows the book's own part: a red one, a blue one."""
    for number, strongest in enumerate((0, 2)):
        page = who.window.go(f"/ledger/{seq + number}")
        colour = colour_of(who, page.locator(".entry-picture img"))
        assert colour.index(max(colour)) == strongest
        assert min(colour) < 30, "a plain colour, and not the table"


def test_frames_are_dragged_and_moved_by_keys_and_the_numbers_follow(
    told: Server, windows: Windows, table: Path
) -> None:
    who = Collector(windows(told))
    choose_books(who)
    page = who.page
    expect(page.locator(".on-picture")).to_be_hidden()
    page.locator("#file").set_input_files(table)
    expect(page.locator(".ground > button")).to_have_count(BOOKS)
    # The frames are there from the start; where they lie is known once the picture is drawn.
    expect(page.locator("[name='of.1.region.height_percent']")).to_have_value("100")
    assert [numbers(page, book) for book in range(BOOKS)] == [[0, 0, 50, 100], [50, 0, 50, 100]]
    wrong = list(look_closely(who.window, "group picture", EVERYWHERE))
    who.window.resize(1440)
    drag(page, (0.4, 50), (10, 50))
    drag(page, (30, 99.5), (30, 80))
    assert numbers(page, 0) == [10, 0, 40, 80]
    drag(page, (30, 40), (30, 60))
    assert numbers(page, 0) == [10, 20, 40, 80]
    frame = page.locator(".ground > button").first
    expect(frame).to_be_focused()
    for _ in range(20):
        page.keyboard.press("Shift+ArrowUp")
    for _ in range(10):
        page.keyboard.press("Shift+ArrowLeft")
    assert numbers(page, 0) == [10, 20, 30, 60]
    expect(frame).to_have_attribute("aria-label", re.compile("10 per cent from the left, 20 from the top, 30 wide, 60"))
    for side in SIDE:
        page.locator(f"[name='of.1.region.{side}']").fill("")
    expect(page.locator(".ground > button").nth(1)).to_be_hidden()
    drag(page, (60, 20), (90, 80))
    assert numbers(page, 1) == [60, 20, 30, 60]
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    assert numbers(page, 1) == [60, 20, 30, 60]
    page.locator("[name='of.1.region.y_percent']").fill("19")
    expect(page.locator(".ground > button").nth(1)).to_have_attribute("aria-label", re.compile("19 from the top"))
    page.locator("main .acts button.next").click()
    shown_on_their_pages(who, who.entry_told())
    assert not wrong, "\n".join(wrong)


def test_without_a_script_the_numbers_are_typed(told: Server, windows: Windows, table: Path) -> None:
    who = Collector(windows(told, width=390, script=False))
    choose_books(who)
    expect(who.page.locator(".on-picture")).to_be_hidden()
    typed = {
        **dict(zip((f"of.0.region.{side}" for side in SIDE), ("10", "20", "30", "60"), strict=True)),
        **dict(zip((f"of.1.region.{side}" for side in SIDE), ("60", "20", "30", "90"), strict=True)),
    }
    with who.window.refused(422):
        who.fill({"file": table, **typed})
        who.page.locator("main .acts button.next").click()
        expect(who.page.locator(".faults")).to_contain_text("The part reaches over the edge of the picture.")
    assert numbers(who.page, 1) == [60, 20, 30, 90]
    seq = who.write({"file": table, "of.1.region.height_percent": "60"})
    shown_on_their_pages(who, seq)
    book = who.page.locator("main a[href^='/books/']").first.get_attribute("href")
    page = who.window.go(book or "")
    mine = page.locator(f".lane-prints a[href='/ledger/{seq + 1}'] img")
    assert colour_of(who, mine)[2] > 200


def test_a_file_that_this_browser_cannot_show_is_said_to_be_one(told: Server, windows: Windows, tmp_path: Path) -> None:
    who = Collector(windows(told))
    choose_books(who)
    Image.new("RGB", (40, 30), "tan").save(tmp_path / "table.tif", "TIFF")
    who.page.locator("#file").set_input_files(tmp_path / "table.tif")
    expect(who.page.locator(".on-picture")).to_contain_text("This browser cannot show this file.")
    expect(who.page.locator(".ground")).to_be_hidden()
    assert who.page.locator("[name='of.0.region.x_percent']").input_value() == ""
