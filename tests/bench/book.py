"""The page of a book with 60 entries against a bare page of as many bytes: seen again, and made anew after this or that."""

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from fastapi.testclient import TestClient
from jinja2 import Environment

from ledger.bootstrap import open_ledger
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.store.log import SqlLog
from ledger.store.read_before import ReadBefore
from tests.bench.measuring import Ratio, compared
from tests.builders import a_purchase
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.web.browser import Home
from tests.web.conftest import QUICK
from tests.web.stories import Shelf, a_long_story
from web.pages.book import BOOKS, KEPT

ROWS: Final = 60
TIMES: Final = 60
BOOKS_WRITTEN: Final = 16
"""Books that get one entry more, each its own, so that none of them grows."""
GOAL: Final = 2.0
"""The same whether a page is kept or made anew."""


def ratios() -> Iterator[Ratio]:
    """One row for each state in which the page may be asked for."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(folder=str(Path(folder) / "collection"), keys=str(Path(folder) / "keys"))
        clock = FakeClock()
        with open_ledger(settings, clock=clock, chance=FakeChance(), collection=COLLECTION) as ledger:
            yield from _ratios(ledger, clock)


def _ratios(ledger: Ledger, clock: FakeClock) -> Iterator[Ratio]:
    assert ledger.accounts is not None
    home = Home.of(replace(ledger, accounts=replace(ledger.accounts, passwords=QUICK)), clock)
    shelf = Shelf(ledger)
    book, other, written = a_long_story(shelf, clock), shelf.takes(a_purchase()), _Written(shelf, clock)
    home.set_password()
    browser = home.browser().sign_in()
    bare = TestClient(bare_page(len(browser.get(f"/books/{book}").content)))

    def seen(which: str) -> None:
        browser.get(f"/books/{which}")

    def against(what: str, ours: Callable[[], object], times: int, before: Callable[[], object] | None = None) -> Ratio:
        mine, theirs = compared(ours, lambda: bare.get("/"), times=times, before=before)
        reference = "a bare page of the same bytes"
        return Ratio(what=what, ours=mine, reference=reference, theirs=theirs, unit="ms", goal=GOAL)

    yield against("a book with 60 entries, seen again", lambda: seen(book), TIMES)
    yield against("made anew after an entry of another book", lambda: seen(book), TIMES, lambda: _note(shelf, other))
    yield against(
        "made anew after an entry of its own", lambda: seen(written.book), BOOKS_WRITTEN - 1, lambda: written.next(seen)
    )
    yield against("made for the first time since the start", lambda: seen(book), TIMES, lambda: _forget(ledger))


class _Written:
    """Books with 60 entries, of which each is seen and then gets one more."""

    def __init__(self, shelf: Shelf, clock: FakeClock) -> None:
        self._shelf = shelf
        self._left = [a_long_story(shelf, clock) for _ in range(BOOKS_WRITTEN)]
        self.book = ""

    def next(self, seen: Callable[[str], None]) -> None:
        """The next one is seen and written to."""
        self.book = self._left.pop()
        seen(self.book)
        _note(self._shelf, self.book)


def _note(shelf: Shelf, book: str) -> None:
    shelf.then(book, Note(words=Sealed.of("Looked in on it.")))


def _forget(ledger: Ledger) -> None:
    """Nothing is kept that was read or drawn before."""
    KEPT.forget()
    BOOKS.forget()
    assert isinstance(ledger.log, SqlLog)
    ledger.log._before = ReadBefore()


def bare_page(size: int) -> FastAPI:
    """FastAPI and Jinja2 with nothing else: a page of this many bytes."""
    template = Environment(autoescape=True).from_string(
        "<!doctype html><title>{{ title }}</title><table>{% for row in rows %}<tr><td>{{ row }}</td></tr>{% endfor %}</table>"
    )
    rows = ["x" * (size // ROWS - len("<tr><td></td></tr>"))] * ROWS
    app = FastAPI()

    @app.get("/")
    def page() -> HTMLResponse:
        return HTMLResponse(template.render(title="Bare", rows=rows))

    return app
