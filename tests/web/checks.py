"""A check of the ledger begun from its page, waited for and read: what the tests of that page share."""

from typing import Final

from httpx2 import Response

from ledger.ports import Ledger
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import read_page
from tests.web.stories import OWNER
from web.long_work import LongWork

__all__ = ["SOON", "buy", "checked", "lists", "works_of"]

SOON: Final = 20.0
"""Seconds after which a work that has not ended never will."""


def works_of(home: Home) -> LongWork:
    """What goes on behind these pages."""
    works = home.app.state.works
    assert isinstance(works, LongWork)
    return works


def buy(ledger: Ledger, count: int = 1) -> None:
    """So many new books, each by an entry of its own."""
    for _ in range(count):
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])


def checked(browser: Browser, home: Home, **fields: str) -> Response:
    """The page after a check that was begun here has ended."""
    answer = browser.post("/check", fields)
    assert answer.status_code == 303, text_of(answer)
    assert works_of(home).wait(SOON)
    return browser.follow(answer)


def lists(page: Response) -> dict[str, list[str]]:
    """The three lists of a page, by their heads."""
    sections = read_page(page.text).one("div", class_="three-lists").all("section")
    return {each.one("h2").attrs["id"]: [item.text for item in each.all("li")] for each in sections}
