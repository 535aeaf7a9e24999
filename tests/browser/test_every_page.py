"""Every page that links lead to: at three widths, in both palettes, with what axe-core finds and what the console says."""

from collections.abc import Callable

import pytest

from tests.browser.crawl import pages
from tests.browser.looking import look
from tests.browser.server import Server
from tests.browser.window import Window

pytestmark = pytest.mark.long


def test_every_page_is_whole_at_every_width_in_both_palettes(told: Server, windows: Callable[..., Window]) -> None:
    window = windows(told)
    found = pages(window)
    wrong = [
        fault
        for pattern, paths in found.items()
        for number, path in enumerate(paths)
        for fault in look(window, path, f"{pattern} {number}", closely=number == 0)
    ]
    assert not wrong, "\n".join(wrong)
