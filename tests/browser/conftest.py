"""Fixtures: one browser, the told collection, a collection on its first start, and windows before them.

Every window is looked at when its test ends: a page that failed, said something on the console or asked another server
for something fails the test.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect, sync_playwright

from tests.browser import server
from tests.browser.server import HOUSE, Server
from tests.browser.window import Window, open_window

CHROMIUM = "SLIPSHEET_CHROMIUM"
WAIT_MS = 20_000
"""How long a page may take on a machine that is busy with other tests; nothing is timed here."""
QUIET = (
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
)
ALONE = f"--host-resolver-rules=MAP {HOUSE} 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
"""Nothing that a page asks of another machine leaves this one. It costs less than looking into every request. One name
leads here, for what is to be found under the name of a house."""


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """The browser of this machine; one for all tests of a process."""
    path = os.environ.get(CHROMIUM) or shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.skip(f"no chromium: install it, or name one in {CHROMIUM}")
    expect.set_options(timeout=WAIT_MS)
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=path, args=[*QUIET, ALONE])
        yield launched
        launched.close()


@pytest.fixture(scope="package")
def told(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The told collection; somebody came in by its link."""
    with server.demo(tmp_path_factory.mktemp("told")) as running:
        come_in(browser, running)
        yield running


@pytest.fixture
def first_start(tmp_path: Path) -> Iterator[Server]:
    """An empty collection, its link not used yet."""
    with server.serve(tmp_path / "first") as running:
        yield running


@pytest.fixture
def windows(browser: Browser) -> Iterator[Callable[..., Window]]:
    """Opens windows before a server; closes them in the end, and says what was wrong in any of them."""
    opened: list[Window] = []

    def open_one(before: Server, **like: Any) -> Window:
        opened.append(open_window(browser, before, **like))
        return opened[-1]

    yield open_one
    for each in opened:
        each.context.close()
    wrong = [fault for each in opened for fault in each.faults()]
    assert not wrong, "\n".join(wrong)


def come_in(browser: Browser, running: Server) -> None:
    """Opens the one-time link and presses its button; windows opened later are signed in."""
    window = open_window(browser, running, signed_in=False)
    window.page.goto(running.sign_in)
    window.page.get_by_role("button", name="Sign in here").click()
    window.page.wait_for_url(running.at("/**"))
    running.cookies = list(window.context.cookies())
    window.context.close()
