"""What axe-core is asked: in a second palette only the rules of colour, and these are all there are."""

from collections.abc import Callable

import pytest

from tests.browser.axe import OF_COLOUR, _source, violations
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
RAN = """() => axe.run(document).then(all => [all.violations, all.passes, all.incomplete, all.inapplicable].flat()
  .filter(each => each.tags.includes("cat.color")).map(each => each.id))"""


def test_the_rules_of_colour_are_all_that_axe_core_runs_of_them(told: Server, windows: Windows) -> None:
    page = windows(told).go("/wall")
    assert violations(page) == []
    assert sorted(page.evaluate(RAN)) == sorted(OF_COLOUR)


def test_words_too_faint_to_read_are_found_when_only_colours_are_asked_for(told: Server, windows: Windows) -> None:
    page = windows(told).go("/settings")
    assert violations(page, of_colour=True) == []
    page.evaluate("() => { document.documentElement.style.setProperty('--ink', '#d8d8d4'); }")
    faint = violations(page, of_colour=True)
    assert {each.partition(" ")[0] for each in faint} == {"color-contrast"}
    page.evaluate("() => { document.documentElement.style.removeProperty('--ink'); document.title = ''; }")
    assert violations(page, of_colour=True) == []
    assert [each.partition(" ")[0] for each in violations(page)] == ["document-title"]


def test_what_axe_core_remembers_of_colours_changes_nothing_that_it_finds(told: Server, windows: Windows) -> None:
    """Passed or not, each with the colours it was judged by."""
    all_found = "() => axe.run(document).then(all => [all.violations, all.passes, all.incomplete])"
    page = windows(told).go("/wall")
    assert violations(page) == []
    remembered = page.evaluate(all_found)
    page.reload()
    page.evaluate(_source())
    assert page.evaluate(all_found) == remembered
