"""At the bench with a phone in one hand: a book goes in by a recipe, comes out, and what was done is written down."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
PHONE = 390
LEAST = 44
"""Targets for busy fingers. Units: CSS px. Source: WCAG 2.2, success criterion 2.5.5 (enhanced)."""


@pytest.mark.parametrize("scripts", [True, False])
def test_a_book_goes_in_by_a_recipe_comes_out_and_is_written_down(
    told: Server, windows: Callable[..., Window], *, scripts: bool
) -> None:
    window = windows(told, width=PHONE, script=scripts)
    page = window.go("/bench")
    before, busy = page.locator(".load").count(), [each.get_attribute("href") for each in page.locator(".load a").all()]
    page = window.go("/collection?holding=raw&status=here")
    links = [each.get_attribute("href") for each in page.locator(".rows .issue a").all()]
    window.go(next(each for each in links if each is not None and each not in busy))
    page.get_by_role("link", name="Put on the bench").click()
    wrong = list(look_closely(window, "put in")) if scripts else []
    page.get_by_label(re.compile("Let it rest")).check()
    page.get_by_role("button", name=re.compile("It goes in now")).click()
    page.wait_for_url("**/bench")
    expect(page.locator(".load")).to_have_count(before + 1)
    out = page.locator(".load").last.get_by_role("button", name="It is out")
    box = out.bounding_box()
    assert box is not None
    assert box["height"] >= LEAST
    wrong += look_closely(window, "bench") if scripts else []
    out.click()
    expect(page.locator("[name=technique]")).to_have_value("rest-under-weight")
    page.get_by_role("button", name=re.compile("Write")).first.click()
    expect(page.locator(".told")).to_contain_text("Rest under weight")
    window.go("/bench")
    expect(page.locator(".load")).to_have_count(before)
    assert not wrong, "\n".join(wrong)
