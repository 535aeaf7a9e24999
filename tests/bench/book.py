"""The page of a book with 60 entries against a bare page of as many bytes; seen again, and made anew after a write."""

import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from fastapi.testclient import TestClient
from jinja2 import Environment

from ledger.bootstrap import open_ledger
from ledger.settings import Settings
from tests.bench.measuring import Ratio, compared
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.web.browser import Home
from tests.web.conftest import QUICK
from tests.web.stories import Shelf, a_long_story
from web.pages.book import KEPT

ROWS: Final = 60
TIMES: Final = 60


def ratios() -> Iterator[Ratio]:
    """Two rows; what is made anew has a goal of our own, so that it is not forgotten behind what is kept."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(folder=str(Path(folder) / "collection"), keys=str(Path(folder) / "keys"))
        clock = FakeClock()
        with open_ledger(settings, clock=clock, chance=FakeChance(), collection=COLLECTION) as ledger:
            assert ledger.accounts is not None
            home = Home.of(replace(ledger, accounts=replace(ledger.accounts, passwords=QUICK)), clock)
            path = f"/books/{a_long_story(Shelf(ledger), clock)}"
            home.set_password()
            browser = home.browser().sign_in()
            bare = TestClient(bare_page(len(browser.get(path).content)))

            def anew() -> None:
                KEPT.forget()
                browser.get(path)

            for what, ours, goal in (
                ("a book with 60 entries", lambda: browser.get(path), 2.0),
                ("the same, made anew", anew, 30.0),
            ):
                mine, theirs = compared(ours, lambda: bare.get("/"), times=TIMES)
                yield Ratio(
                    what=what, ours=mine, reference="a bare page of the same bytes", theirs=theirs, unit="ms", goal=goal
                )


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
