"""Looks at one page as a person would, in every width and both palettes, and says what is wrong with it."""

from collections.abc import Iterator
from typing import Final

from playwright.sync_api import Page

from tests.browser import shots
from tests.browser.axe import violations
from tests.browser.window import WIDTHS, Window

__all__ = ["look", "look_closely"]

THEMES: Final = ("light", "dark")
EVERYWHERE: Final = frozenset({(1440, "light"), (1440, "dark"), (390, "light"), (390, "dark")})
CORNERS: Final = frozenset({(1440, "light"), (390, "dark")})
"""Where axe-core looks at a page of each pattern, and at one that differs only in its words."""
TOO_WIDE: Final = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
FOCUSED: Final = """() => {
  const at = document.activeElement, box = at.getBoundingClientRect(), style = getComputedStyle(at);
  const inside = box.width > 0 && box.left >= 0 && box.top >= 0 && box.right <= innerWidth && box.bottom <= innerHeight;
  return at !== document.body && inside && style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
}"""


def look(window: Window, path: str, name: str = "", *, closely: bool = True) -> list[str]:
    """What is wrong with the page at a path: head, focus, width; and looked at closely, what axe-core finds."""
    page = window.go(path)
    asked = EVERYWHERE if closely else frozenset[tuple[int, str]]()
    return [f"{path}: {wrong}" for wrong in (*_head(page), *look_closely(window, name or path, asked))]


def look_closely(window: Window, name: str, asked: frozenset[tuple[int, str]] = CORNERS) -> Iterator[str]:
    """The page as it stands, in every width and both palettes; axe-core is asked where that is said.

    In the second palette at a width it is asked only what depends on colour: `tests/web/test_palette.py` holds the
    palettes to differ in nothing else.
    """
    page = window.page
    for width in WIDTHS:
        window.resize(width)
        looked_at = False
        for theme in THEMES:
            page.emulate_media(color_scheme=theme)
            if more := page.evaluate(TOO_WIDE):
                yield f"at {width} it scrolls sideways by {more} px"
            if (width, theme) in asked:
                yield from (f"at {width}, {theme}: {each}" for each in violations(page, of_colour=looked_at))
                looked_at = True
            shots.keep(page, f"{name} {width} {theme}")


def _head(page: Page) -> Iterator[str]:
    """One heading, a title, and a focus that can be seen from the first Tab on."""
    headings = page.locator("h1").count()
    if headings != 1:
        yield f"{headings} main headings"
    if not page.title().strip().endswith(", Slipsheet"):
        yield f"its title is {page.title()!r}"
    page.evaluate("() => document.activeElement.blur()")
    page.keyboard.press("Tab")
    if not page.evaluate(FOCUSED):
        yield "nothing is seen to have the focus after the first Tab"
    page.evaluate("() => document.activeElement.blur()")
