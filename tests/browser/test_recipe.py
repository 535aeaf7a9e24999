"""A recipe on a phone, whole: made from starter steps, adjusted, started, told, looked at after a week, and what it did."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
PHONE = 390
LEAST = 44
"""Targets for busy fingers. Units: CSS px. Source: WCAG 2.2, success criterion 2.5.5 (enhanced)."""


def tap(page: Page, name: str) -> None:
    """A button, after a look at how large it is."""
    button = page.get_by_role("button", name=name, exact=True)
    box = button.bounding_box()
    assert box is not None
    assert box["height"] >= LEAST, name
    button.click()


def make(page: Page, name: str) -> None:
    """A recipe of two starter steps."""
    page.get_by_role("link", name="Make a recipe").click()
    page.get_by_label("Name", exact=True).fill(name)
    tap(page, "Dry cleaning")
    expect(page.locator("[name='steps.0.technique']")).to_have_value("dry-cleaning")
    tap(page, "A longer press, 12 hours in all")
    expect(page.locator("[name='steps.1.settings.total_minutes']")).to_have_value("720")
    expect(page.locator(".tapped")).to_contain_text("The worse side lies to the heat")
    page.locator("[name='steps.1.settings.set_celsius']").fill("60")
    page.get_by_role("button", name=re.compile("^Keep it")).last.click()
    expect(page.locator(".told")).to_contain_text(f"The recipe {name} is kept.")


def adjust(page: Page) -> None:
    """The press alone, ten minutes hot."""
    page.get_by_role("link", name="Adjust it").click()
    page.get_by_role("button", name=re.compile("^Take out")).first.click()
    expect(page.locator("[name='steps.0.technique']")).to_have_value("hot-press-dry")
    page.locator(".fold > summary").filter(has_text="Hot press, dry").click()
    page.locator("[name='steps.0.settings.hold_minutes']").fill("10")
    page.get_by_role("button", name=re.compile("^Keep it")).last.click()
    expect(page.locator(".told")).to_contain_text("is kept as state 2.")


def a_free_book(window: Window) -> str:
    """One that is here, raw, and in no load."""
    page = window.go("/bench")
    busy = [each.get_attribute("href") for each in page.locator(".load a").all()]
    page = window.go("/collection?holding=raw&status=here")
    links = [each.get_attribute("href") for each in page.locator(".rows .issue a").all()]
    return next(each for each in reversed(links) if each is not None and each not in busy).removeprefix("/books/")


def look(window: Window, book: str, **fields: str) -> None:
    """An examination of one bend."""
    page = window.go(f"/entry/new?kind=examination&book={book}")
    page.locator("[name='defects.0.id']").fill("bend-of-recipe")
    for name, value in fields.items():
        field = page.locator(f"[name='{name.replace('__', '.0.')}']")
        kind = field.first.get_attribute("type")
        if kind in ("radio", "checkbox"):
            page.locator(f"[name='{name.replace('__', '.0.')}'][value='{value}']").check()
        elif field.evaluate("each => each.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    page.get_by_role("button", name=re.compile("^Write into the ledger")).click()
    expect(page.locator(".told")).to_contain_text("Written as entry")
    # What was kept of the form is let go of by the page that follows, once it is there whole.
    page.wait_for_load_state()


@pytest.mark.parametrize("scripts", [True, False])
def test_a_recipe_from_its_first_step_to_what_it_did(
    told: Server, windows: Callable[..., Window], *, scripts: bool
) -> None:
    window = windows(told, width=PHONE, touch=True, script=scripts)
    name = "Warm, my way" if scripts else "Warm, without a script"
    book = a_free_book(window)
    look(window, book, defects__type="bend", defects__face="front", defects__size_mm="30", defects__breaks_colour="no")

    make(window.go("/bench"), name)
    wrong = list(look_closely(window, "a recipe, new")) if scripts else []
    adjust(window.page)
    recipe = window.path.partition("?")[0]

    page = window.go(f"{recipe}?book={book}")
    page.locator(f"#start [name=book][value='{book}']").set_checked(True)
    tap(page, "Start")
    page.wait_for_url("**/bench")
    load = page.locator(".load", has=page.locator(f"a[href='/books/{book}']"))
    expect(load).to_contain_text(f"{name}, step 1 of 1.")
    load.get_by_role("button", name="It is out").click()
    expect(page.locator("[name='settings.set_celsius']")).to_have_value("60")
    expect(page.locator("[name=remark]")).to_have_value("Worse side to the heat.")
    row = page.locator("#worked_defects .one").filter(has=page.locator("input[value='bend-of-recipe']"))
    row.locator("[value=meant]").check()
    page.get_by_role("button", name=re.compile("^Write into the ledger")).click()
    expect(page.locator(".told")).to_contain_text("Written as entry")

    page = window.go(recipe)
    expect(page.locator("#did")).to_contain_text("The look after a week of rest is still to come once.")
    look(window, book, defects__size_mm="12", rest_hours="170")
    page = window.go(recipe)
    expect(page.locator("#did .statement")).to_contain_text("Worked once on one book.")
    expect(page.locator("#did .statement")).to_contain_text("seen again after a week of rest: one lessened.")
    expect(page.locator("#each")).to_contain_text("bend-of-recipe: lessened")
    expect(page.locator("#each")).to_contain_text("came out before its time")
    wrong += look_closely(window, "what a recipe did") if scripts else []
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("scripts", [True, False])
def test_a_starter_step_fills_the_form_of_an_entry_and_what_was_typed_stays(
    told: Server, windows: Callable[..., Window], *, scripts: bool
) -> None:
    window = windows(told, width=PHONE, touch=True, script=scripts)
    where = f"/entry/new?kind=intervention&book={a_free_book(window)}"
    page = window.go(where)
    page.locator("[name=tool]").fill("Small press")
    for name, technique, minutes in (
        ("A longer press, 24 hours in all", "hot-press-dry", "1440"),
        ("A cold press, about 12 hours", "cold-press", "720"),
    ):
        tap(page, name)
        expect(page.locator(".tapped")).to_contain_text(name)
        expect(page.locator("[name=technique]")).to_have_value(technique)
        expect(page.locator("[name='settings.total_minutes']")).to_have_value(minutes)
        expect(page.locator("[name=tool]")).to_have_value("Small press")
    expect(page.locator("[name=remark]")).to_have_value("")
    if scripts:
        page = window.go(where)
        expect(page.locator("[name=technique]")).to_have_value("cold-press")
        expect(page.locator("[name=tool]")).to_have_value("Small press")
