"""A guided look before a browser: with a phone in one hand, from the keyboard alone, put down and taken up again."""

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
PHONE = 390
REACH = 120
"""Presses of Tab within which everything on a step is met."""


def a_book_with_a_front(window: Window) -> str:
    """A raw book of which there is a photograph of the front."""
    page = window.go("/collection?holding=raw&status=here")
    for link in page.locator(".rows .issue a").all():
        href = link.get_attribute("href") or ""
        text = window.context.request.get(window.server.at(f"{href}/look")).text()
        if 'id="fit"' in text and "data-placed-row" in text:
            return href
    raise AssertionError("no raw book has a photograph of its front")


def at_the_front(window: Window, book: str) -> Page:
    """A look that was begun by another test is begun anew."""
    page = window.go(f"{book}/look")
    anew = page.get_by_role("button", name="Begin this look anew")
    if anew.count():
        anew.click()
        page.wait_for_url(re.compile(r"/look(\?step=front)?$"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Front, 1 of 7")
    return page


def tap(page: Page, across: float, down: float) -> None:
    """The finger on the face that is drawn. Units: shares of its width and height."""
    face = page.locator(".placing [data-face]")
    page.locator(".placing").evaluate("each => each.scrollIntoView({ block: 'start' })")
    box = face.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] * across, box["y"] + box["height"] * down)


def place(page: Page, row: int) -> dict[str, float | None]:
    """The millimetres in a row of new defects."""
    sides = ("x", "y", "width", "height", "to_x", "to_y")
    values = {side: page.locator(f"[name='defects.{row}.region.{side}_mm']").input_value() for side in sides}
    return {side: float(value) if value else None for side, value in values.items()}


def size_of(page: Page) -> tuple[float, float]:
    """How wide and high the face is in fact. Units: mm."""
    face = page.locator(".placing [data-face]")
    wide, high = (face.get_attribute(f"data-{each}") for each in ("wide", "high"))
    return float(wide or 0), float(high or 0)


def on_to(page: Page, button: str, step: str) -> None:
    page.get_by_role("button", name=button, exact=True).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(step)


def written(window: Window) -> dict[str, Any]:
    """The body of the entry that was just told."""
    told = window.page.locator(".told").inner_text()
    number = re.search(r"Written as entry ([\d,]+)", told)
    assert number is not None, told
    answer = window.context.request.get(window.server.at(f"/ledger/{number[1].replace(',', '')}/bytes"))
    body = json.loads(answer.text())["body"]
    assert isinstance(body, dict)
    return body


def with_a_photograph_under_it(page: Page) -> None:
    page.locator("#fit > summary").click()
    page.locator("[name='ground.front.photo']").select_option(index=1)
    page.get_by_role("button", name="Lay it under").click()
    expect(page.locator(".placing figcaption")).to_contain_text("fitted by its own edges")


def a_tapped_line(page: Page) -> dict[str, float | None]:
    """From the middle of the left half up to the right one, as a tear."""
    wide, high = size_of(page)
    page.get_by_role("button", name="Line", exact=True).click()
    tap(page, 0.25, 0.5)
    expect(page.locator(".placing output")).to_contain_text("Tap where it ends")
    tap(page, 0.75, 0.25)
    assert place(page, 0) == {
        "x": near(wide / 4), "y": near(high / 2), "width": None, "height": None,
        "to_x": near(wide * 3 / 4), "to_y": near(high / 4),
    }  # fmt: skip
    page.locator("[name='defects.0.type']").select_option("tear")
    page.locator("[name='defects.0.size_mm']").fill("90")
    page.locator("[name='defects.0.breaks_colour'][value=yes]").check()
    return place(page, 0)


def a_tapped_area(page: Page) -> dict[str, float | None]:
    """A fifth of the face each way, tapped from its lower right corner on, as a stain; a row is added for it."""
    wide, high = size_of(page)
    page.get_by_role("button", name="Area", exact=True).click()
    tap(page, 0.6, 0.8)
    tap(page, 0.4, 0.6)
    expect(page.locator("[name='defects.1.region.x_mm']")).not_to_have_value("")
    assert place(page, 1) == {
        "x": near(wide * 0.4), "y": near(high * 0.6), "width": near(wide * 0.2), "height": near(high * 0.2),
        "to_x": None, "to_y": None,
    }  # fmt: skip
    page.locator("[name='defects.1.type']").select_option("stain")
    page.locator("[name='defects.1.size_mm']").fill("40")
    return place(page, 1)


def test_on_a_phone_a_line_and_an_area_are_tapped_on_a_photograph_and_a_face_is_left_out(
    told: Server, windows: Windows
) -> None:
    window = windows(told, width=PHONE, touch=True)
    page = at_the_front(window, a_book_with_a_front(window))
    with_a_photograph_under_it(page)
    line, area = a_tapped_line(page), a_tapped_area(page)
    on_to(page, "Next", "Spine")
    on_to(page, "Skip", "Back")
    on_to(page, "Next", "Edges")
    for step in ("Inside", "Staples", "The whole book"):
        on_to(page, "Skip", step)
    page.get_by_role("button", name="Write into the ledger").first.click()
    body = written(window)
    assert body["faces_looked_at"] == ["front", "back"]
    tear, stain = body["defects"]
    assert (tear["type"], tear["face"], tear["breaks_colour"], tear["size_mm"]) == ("tear", "front", "yes", "90")
    assert {side: tear["region"][f"{side}_mm"] for side in line} == as_written(line)
    assert (stain["type"], stain["face"], stain["breaks_colour"], stain["size_mm"]) == (
        "stain",
        "front",
        "unsure",
        "40",
    )
    assert {side: stain["region"][f"{side}_mm"] for side in area} == as_written(area)


def test_every_step_is_whole_at_every_width_in_both_palettes(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = at_the_front(window, a_book_with_a_front(window))
    with_a_photograph_under_it(page)
    wrong = list(look_closely(window, "look at the front, on a photograph"))
    for step in ("Spine", "Back", "Edges", "Inside", "Staples", "The whole book"):
        on_to(page, "Skip", step)
        wrong += look_closely(window, f"look, {step}")
    page.get_by_role("button", name="Begin this look anew").click()
    assert not wrong, "\n".join(wrong)


def near(value: float) -> Any:
    """As near as a finger comes. Units: mm."""
    return pytest.approx(value, abs=3)


def as_written(place: dict[str, float | None]) -> dict[str, str | None]:
    return {side: None if value is None else f"{value:g}" for side, value in place.items()}


def focus(page: Page, target: Locator) -> None:
    """Tab until it has the focus."""
    for _ in range(REACH):
        if target.evaluate("each => each === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab never meets {target}")


def test_one_defect_is_written_from_the_keyboard_alone(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = at_the_front(window, a_book_with_a_front(window))
    placed = page.locator(".placing circle.placed").count()
    focus(page, page.locator("[name='defects.0.type']"))
    page.keyboard.type("Tear")
    page.keyboard.press("Tab")
    page.keyboard.type("12.5")
    focus(page, page.locator("[name='defects.0.breaks_colour']:checked"))
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    focus(page, page.locator("[id='defects.0'] > details > summary"))
    page.keyboard.press("Enter")
    for number in ("30", "40"):
        page.keyboard.press("Tab")
        page.keyboard.type(number)
    expect(page.locator(".placing circle.placed")).to_have_count(placed + 1)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Spine")
    focus(page, page.get_by_role("button", name="The whole book"))
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("The whole book")
    focus(page, page.locator("[name=rest_hours]"))
    page.keyboard.type("24")
    page.keyboard.press("Enter")
    page.wait_for_url("**/condition")
    body = written(window)
    (tear,) = body["defects"]
    assert (tear["type"], tear["size_mm"], tear["breaks_colour"]) == ("tear", "12.5", "yes")
    assert tear["region"] == {
        "x_mm": "30",
        "y_mm": "40",
        "width_mm": None,
        "height_mm": None,
        "to_x_mm": None,
        "to_y_mm": None,
    }
    assert (body["faces_looked_at"], body["rest_hours"]) == (["front"], 24)


def test_a_phone_that_was_put_down_goes_on_where_it_was(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    book = a_book_with_a_front(window)
    page = at_the_front(window, book)
    page.locator("[name='defects.0.type']").select_option("stain")
    page.locator("[name='defects.0.size_mm']").fill("7")
    on_to(page, "Next", "Spine")
    page.locator("[name='defects.1.size_mm']").fill("3")
    expect(page.locator("[data-draft-line]")).to_be_visible()
    page.reload()
    expect(page.locator("[name='defects.1.size_mm']")).to_have_value("3")
    other = windows(told, script=False)
    again = other.go(f"{book}/look")
    expect(again.get_by_role("heading", level=1)).to_contain_text("Spine")
    on_to(again, "Front", "Front")
    expect(again.locator("[name='defects.0.size_mm']")).to_have_value("7")


def test_begun_anew_nothing_comes_back_from_what_the_browser_kept(told: Server, windows: Windows) -> None:
    window = windows(told, width=PHONE, touch=True)
    page = at_the_front(window, a_book_with_a_front(window))
    page.locator("[name='defects.0.size_mm']").fill("7")
    with window.refused(422):
        on_to(page, "Next", "Front")
        expect(page.locator(".faults")).to_contain_text("Type")
    page.get_by_role("button", name="Begin this look anew").click()
    expect(page.locator(".told")).to_contain_text("begun anew")
    expect(page.locator("[name='defects.0.size_mm']")).to_have_value("")
    page.reload()
    expect(page.locator("[name='defects.0.size_mm']")).to_have_value("")


def test_the_last_place_is_taken_back_and_a_mouse_draws_a_line(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = at_the_front(window, a_book_with_a_front(window))
    page.get_by_role("button", name="Line", exact=True).click()
    page.locator(".placing").evaluate("each => each.scrollIntoView({ block: 'start' })")
    box = page.locator(".placing [data-face]").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + box["height"] * 0.5)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.25, box["y"] + box["height"] * 0.75)
    page.mouse.up()
    wide, high = size_of(page)
    assert place(page, 0) == {
        "x": pytest.approx(wide / 2, abs=2), "y": pytest.approx(high / 2, abs=2), "width": None, "height": None,
        "to_x": pytest.approx(wide / 4, abs=2), "to_y": pytest.approx(high * 3 / 4, abs=2),
    }  # fmt: skip
    page.get_by_role("button", name="Undo").click()
    assert set(place(page, 0).values()) == {None}


def test_the_corners_of_the_cover_are_tapped_on_the_photograph(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = at_the_front(window, a_book_with_a_front(window))
    page.locator("#fit > summary").click()
    page.locator("[name='ground.front.photo']").select_option(index=1)
    page.get_by_role("button", name="Lay it under").click()
    picture = page.locator("[data-points='ground.front.corners']")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    for across, down in ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)):
        page.mouse.click(box["x"] + box["width"] * across, box["y"] + box["height"] * down)
    page.get_by_role("button", name="Lay it under").click()
    expect(page.locator(".placing figcaption")).to_contain_text("four corners set by hand")
    typed = [
        float(page.locator(f"[name='ground.front.corners{each}']").input_value()) for each in ("1x", "1y", "3x", "3y")
    ]
    assert typed == pytest.approx([10, 10, 90, 90], abs=1)
    outline = (page.locator(".placing [data-face]").get_attribute("points") or "").split()
    left, right = (float(outline[corner].split(",")[0]) for corner in (0, 2))
    assert (left, right) == pytest.approx((18, 162), abs=2), "the picture is drawn 180 wide"
    page.get_by_role("button", name="Begin this look anew").click()
