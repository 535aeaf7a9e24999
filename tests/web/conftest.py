"""Fixtures of the pages' tests: a real ledger in a folder, its pages, and browsers before them.

`visitor` is a browser nobody signed in with; `signed_in` one that came in by the password just now.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from argon2 import PasswordHasher

from ledger.adapters.passwords import Argon2Passwords
from ledger.bootstrap import open_ledger
from ledger.ports import Ledger
from ledger.settings import Settings
from tests.conftest import COLLECTION
from tests.fakes import FakeChance, FakeClock
from tests.web.browser import Browser, Home
from tests.web.stories import Shelf

QUICK = Argon2Passwords(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
"""Hashes as the program's own, but with the smallest settings there are."""


@contextmanager
def a_home(folder: Path) -> Iterator[Home]:
    """The pages of a collection of its own, whose owner has a password; for tests that share one."""
    clock = FakeClock()
    settings = Settings(folder=str(folder / "collection"), keys=str(folder / "keys"))
    with open_ledger(settings, clock=clock, chance=FakeChance(), collection=COLLECTION) as ledger:
        assert ledger.accounts is not None
        home = Home.of(replace(ledger, accounts=replace(ledger.accounts, passwords=QUICK)), clock)
        home.set_password()
        yield home


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(folder=str(tmp_path / "collection"), keys=str(tmp_path / "keys"))


@pytest.fixture
def ledger(settings: Settings, clock: FakeClock, chance: FakeChance) -> Iterator[Ledger]:
    """A founded ledger on SQLite, with accounts."""
    with open_ledger(settings, clock=clock, chance=chance, collection=COLLECTION) as opened:
        assert opened.accounts is not None
        yield replace(opened, accounts=replace(opened.accounts, passwords=QUICK))


@pytest.fixture
def home(ledger: Ledger, clock: FakeClock) -> Iterator[Home]:
    """The pages, on a first start: no password is set. Long work ends before the ledger is closed."""
    home = Home.of(ledger, clock)
    yield home
    home.app.state.works.stop()


@pytest.fixture
def visitor(home: Home) -> Browser:
    """A browser before pages whose owner has a password; nobody is signed in."""
    home.set_password()
    return home.browser()


@pytest.fixture
def signed_in(visitor: Browser) -> Browser:
    """A browser whose owner came in by the password just now."""
    return visitor.sign_in()


@pytest.fixture
def shelf(ledger: Ledger) -> Shelf:
    """Writes books and what happens to them into that ledger."""
    return Shelf(ledger)
