"""Asks axe-core what keeps somebody from using a page."""

from functools import cache
from importlib.resources import files

from playwright.sync_api import Page

__all__ = ["violations"]

RUN = "() => axe.run(document, {resultTypes: ['violations']})"


def violations(page: Page) -> list[str]:
    """Every rule of axe-core that the page breaks as it stands now, each with where.

    Keeps: the script comes in through the browser's own door, so the page's policy stays as strict as it is.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(_source())
    found = page.evaluate(RUN)["violations"]
    return [
        f"{each['id']} ({each['help']}): {' '.join(map(str, node['target']))}: {node['failureSummary']}"
        for each in found
        for node in each["nodes"]
    ]


@cache
def _source() -> str:
    """The script itself, as the package of the tests brings it."""
    return (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")
