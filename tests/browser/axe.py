"""Asks axe-core what keeps somebody from using a page."""

from functools import cache
from importlib.resources import files
from typing import Final

from playwright.sync_api import Page

__all__ = ["OF_COLOUR", "violations"]

OF_COLOUR: Final = ("color-contrast", "link-in-text-block")
"""The rules whose answer depends on colours. `test_axe.py` holds them against the ones that axe-core files under colour."""
RUN: Final = "rules => axe.run(document, {resultTypes: ['violations'], ...(rules ? {runOnly: rules} : {})})"
REMEMBER: Final = """() => {
  const colour = axe.commons.color.Color.prototype, read = colour.parseString, known = new Map();
  colour.parseString = function (text) {
    const was = known.get(text);
    if (was) return Object.assign(this, was);
    read.call(this, text);
    known.set(text, {r: this.r, g: this.g, b: this.b, alpha: this.alpha});
    return this;
  };
}"""
"""Axe-core reads the same few colours thousands of times on one page, which took a fifth of all its time."""


def violations(page: Page, *, of_colour: bool = False) -> list[str]:
    """Every rule of axe-core that the page breaks as it stands now, each with where; or only the rules of colour.

    Keeps: the script comes in through the browser's own door, so the page's policy stays as strict as it is.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(_source())
        page.evaluate(REMEMBER)
    found = page.evaluate(RUN, list(OF_COLOUR) if of_colour else None)["violations"]
    return [
        f"{each['id']} ({each['help']}): {' '.join(map(str, node['target']))}: {node['failureSummary']}"
        for each in found
        for node in each["nodes"]
    ]


@cache
def _source() -> str:
    """The script itself, as the package of the tests brings it."""
    return (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")
