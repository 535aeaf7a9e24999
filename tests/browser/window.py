"""A window of the browser before one server: it writes down whatever a page does that it should not."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final, Literal

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, Response

from tests.browser.server import Server

__all__ = ["WIDTHS", "Theme", "Window", "open_window"]

Theme = Literal["light", "dark"]
WIDTHS: Final = {1440: 960, 820: 1180, 390: 844}
"""Widths in which every page is looked at, and how high a window of that width is."""
REFUSED: Final = 400
"""Statuses from here on are refusals. Source: RFC 9110 section 15.5."""
SAID_ANYWAY: Final = (
    "the server responded with a status of",
    "The Cross-Origin-Opener-Policy header has been ignored, because the URL's origin was untrustworthy",
)
"""What a browser says of every refusal, and of every page that comes over plain http under the name of a house."""


@dataclass
class Window:
    """One page of one browser, and what went wrong on it."""

    server: Server
    context: BrowserContext
    page: Page
    wrong: list[str] = field(default_factory=list)
    refusals: list[tuple[int, str]] = field(default_factory=list)
    """Status and path of every answer that refused."""

    def go(self, path: str) -> Page:
        """The page at a path of this server."""
        self.page.goto(self.server.at(path))
        return self.page

    def resize(self, width: int) -> None:
        """The window in one of the widths."""
        self.page.set_viewport_size({"width": width, "height": WIDTHS[width]})

    @property
    def path(self) -> str:
        """Path of the page it shows."""
        return self.page.url.removeprefix(self.server.url)

    @contextmanager
    def refused(self, *statuses: int) -> Iterator[None]:
        """The body is refused with these statuses, in this order, and with no other."""
        before = len(self.refusals)
        yield
        came = [status for status, _ in self.refusals[before:]]
        del self.refusals[before:]
        assert came == list(statuses), came

    def faults(self) -> list[str]:
        """Everything that was wrong and that nobody expected."""
        return [*self.wrong, *(f"{status} at {path}" for status, path in self.refusals)]


def open_window(
    browser: Browser,
    server: Server,
    *,
    width: int = 1440,
    theme: Theme = "light",
    script: bool = True,
    signed_in: bool = True,
    zoom: int = 1,
    touch: bool = False,
) -> Window:
    """A new window with cookies of its own; signed in as the browser that took the one-time link, or as nobody.

    Zoomed in, as many dots of the screen hold a page that is so many times narrower.
    """
    context = browser.new_context(
        viewport={"width": width // zoom, "height": WIDTHS[width] // zoom},
        device_scale_factor=zoom,
        color_scheme=theme,
        java_script_enabled=script,
        reduced_motion="reduce",
        locale="en-GB",
        timezone_id="UTC",
        accept_downloads=True,
        has_touch=touch,
    )
    context.set_default_timeout(15_000)
    if signed_in:
        context.add_cookies(server.cookies)
    window = Window(server=server, context=context, page=context.new_page())
    _watch(window)
    return window


def _watch(window: Window) -> None:
    """From now on the window writes down what is wrong."""
    here = window.server.url + "/"

    def asked(request: Request) -> None:
        if not request.url.startswith(here):
            window.wrong.append(f"a request to elsewhere: {request.url}")

    def said(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not any(each in message.text for each in SAID_ANYWAY):
            window.wrong.append(f"the console: {message.text} ({message.location['url']})")

    def failed(request: Request) -> None:
        # A request that the page itself gave up, such as a search overtaken by the next letter, has not failed.
        if request.failure != "net::ERR_ABORTED":
            window.wrong.append(f"a request failed: {request.url} {request.failure}")

    def answered(response: Response) -> None:
        if response.status >= REFUSED:
            window.refusals.append((response.status, response.url.removeprefix(window.server.url)))

    window.context.on("request", asked)
    window.context.on("console", said)
    window.context.on("weberror", lambda error: window.wrong.append(f"a script failed: {error.error}"))
    window.context.on("requestfailed", failed)
    window.context.on("response", answered)
