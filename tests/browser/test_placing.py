"""Defects placed by taps on the book opened flat, with a phone in one hand, and by numbers alone without a script."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.test_look import a_book_with_a_front, at_the_front
from tests.browser.test_look import tap as tap_the_face
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
TAPS = [
    ("front", 0.9, 0.9, "corner-blunting"),
    ("front", 0.1, 0.1, "crease"),
    ("front", 0.5, 0.5, "bend"),
    ("spine", 0.5, 0.3, "spine-tick"),
    ("back", 0.2, 0.8, "bend"),
    ("back", 0.5, 0.5, "bend"),
]
NUMBER = "defects.{}.region.{}_mm"


def a_raw_book(window: Window) -> str:
    page = window.go("/collection?holding=raw&status=here")
    href = page.locator(".rows .issue a").first.get_attribute("href")
    assert href is not None
    return href.removeprefix("/books/")


def tap(page: Page, face: str, across: float, down: float) -> None:
    """The finger on a face of the ground. Units: shares of its width and height."""
    box = page.locator(f".placing [data-face={face}]").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] * across, box["y"] + box["height"] * down)


def number(page: Page, row: int, side: str) -> float:
    return float(page.locator(f"[name='{NUMBER.format(row, side)}']").input_value())


def test_six_defects_are_placed_by_taps_on_a_phone_and_written(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    book = a_raw_book(window)
    page = window.go(f"/entry/new?kind=examination&book={book}")
    expect(page.locator(".placing")).to_be_visible()
    wrong = list(look_closely(window, "placing"))
    known = page.locator("[name='defects.0.type'] option").evaluate_all("all => all.map(each => each.value)")
    for row, (face, across, down, kind) in enumerate(TAPS):
        page.locator(".placing svg").scroll_into_view_if_needed()
        tap(page, face, across, down)
        expect(page.locator(f"[name='defects.{row}.face']")).to_have_value(face)
        page.locator(f"[name='defects.{row}.type']").select_option(kind if kind in known else known[1])
        page.locator(f"[name='defects.{row}.size_mm']").fill("4")
        page.locator(f"[name='defects.{row}.count']").fill("1")
    wide = page.locator(".placing [data-face=front]").evaluate("each => each.width.baseVal.value")
    assert number(page, 0, "x") == pytest.approx(wide * 0.9, abs=1.5)
    assert number(page, 3, "x") <= 3
    expect(page.locator(".placing .placed")).to_have_count(len(TAPS))
    wrong += look_closely(window, "six placed")
    page.get_by_role("button", name="Write into the ledger").click()
    expect(page.locator(".told")).to_contain_text("Examination: 6 defects")
    assert not wrong, "\n".join(wrong)


def test_a_mouse_draws_how_far_it_reaches(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = window.go(f"/entry/new?kind=examination&book={a_raw_book(window)}")
    page.locator(".placing svg").scroll_into_view_if_needed()
    box = page.locator(".placing [data-face=front]").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.25, box["y"] + box["height"] * 0.25)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.75, box["y"] + box["height"] * 0.5)
    page.mouse.up()
    shape = page.locator(".placing [data-face=front]")
    wide, high = (shape.evaluate(f"each => each.{side}.baseVal.value") for side in ("width", "height"))
    for side, expected in (("x", wide / 4), ("y", high / 4), ("width", wide / 2), ("height", high / 4)):
        assert number(page, 0, side) == pytest.approx(expected, abs=2)


def test_without_a_script_the_numbers_alone_place_it(told: Server, windows: Windows) -> None:
    window = windows(told, script=False)
    page = window.go(f"/entry/new?kind=examination&book={a_raw_book(window)}")
    expect(page.locator(".placing")).to_be_hidden()
    assert page.locator(f"[name='{NUMBER.format(0, 'x')}']").count() == 1


def a_known_defect_without_a_place(page: Page) -> str:
    """The first of those seen before, its place taken out of its row."""
    known = page.locator("fieldset[data-placed-row]").first
    name = known.get_attribute("id") or ""
    known.locator("summary").click()
    for side in ("x", "y"):
        page.locator(f"[name='{name}.region.{side}_mm']").fill("")
    return name


def test_a_defect_that_is_answered_takes_no_tap_until_its_place_is_gone_into(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    page = at_the_front(window, a_book_with_a_front(window))
    name = a_known_defect_without_a_place(page)
    page.locator(f"[name='{name}.is']").nth(1).check()
    tap_the_face(page, 0.3, 0.3)
    expect(page.locator(".placing output")).to_contain_text("Row 1:")
    expect(page.locator(f"[name='{name}.region.x_mm']")).to_have_value("")
    page.locator(f"[name='{name}.region.x_mm']").focus()
    tap_the_face(page, 0.6, 0.6)
    expect(page.locator(".placing output")).to_contain_text(f"Row {name.removeprefix('known.')}:")
    expect(page.locator(f"[name='{name}.region.x_mm']")).not_to_have_value("")


def test_a_place_for_which_a_row_was_added_is_told_and_can_be_taken_back(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    page = at_the_front(window, a_book_with_a_front(window))
    tap_the_face(page, 0.3, 0.3)
    tap_the_face(page, 0.6, 0.6)
    expect(page.locator("[name='defects.1.region.x_mm']")).not_to_have_value("")
    expect(page.locator(".placing output")).to_contain_text("Row 2:")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("[name='defects.1.region.x_mm']")).to_have_value("")


def place_it(page: Page, name: str) -> None:
    page.locator(f"[id='{name}'] summary").click()
    for side in ("x", "y"):
        page.locator(f"[name='{name}.region.{side}_mm']").fill("40")


def test_what_had_gone_is_on_the_map_only_once_it_has_come_back(told: Server, windows: Windows) -> None:
    window = windows(told)
    book = a_book_with_a_front(window)
    page = at_the_front(window, book)
    name = page.locator("fieldset[data-placed-seen=there]").first.get_attribute("id") or ""
    place_it(page, name)
    drawn = page.locator(".placing .placed-id").get_by_text(name.removeprefix("known."), exact=True)
    expect(drawn).to_have_count(1)
    page.locator(f"[name='{name}.is'][value=gone]").check()
    page.get_by_role("button", name="Next").last.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Spine")
    page.get_by_role("button", name="The whole book").click()
    page.get_by_role("button", name="Write into the ledger").last.click()
    expect(page.locator(".told")).to_contain_text("1 gone")
    page = window.go(f"{book}/look?step=front")
    expect(page.locator(f"[id='{name}']")).to_have_attribute("data-placed-seen", "gone")
    place_it(page, name)
    expect(drawn).to_have_count(0)
    page.locator(f"[name='{name}.is'][value=back]").check()
    expect(drawn).to_have_count(1)
