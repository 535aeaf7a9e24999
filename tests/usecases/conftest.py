"""Fixtures of the use cases' tests: a small ledger on disk to do damage to, and a founded one to write to."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.bench import Recipe
from ledger.bootstrap import open_ledger
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.bench import keep_recipe
from ledger.usecases.found import found
from ledger.usecases.verify import verify_ledger
from tests.check import check_ledger
from tests.fakes import FakeClock
from tests.usecases.houses import House, a_house
from tests.usecases.keyed import a_ledger
from tests.usecases.tampering import Bench, a_bench
from tests.usecases.telling import OWNER, Teller
from tests.usecases.working import CLEAN, COLD, PRESS, Worker


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """Made once; each test gets a copy."""
    return a_bench(tmp_path_factory.mktemp("bench") / "made")


@pytest.fixture
def bench(made: Bench, tmp_path: Path) -> Bench:
    """A ledger of seven entries with the key, in a folder of the test's own."""
    return made.copied(tmp_path / "copy")


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Where a ledger with its key in a file lies."""
    return Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))


@pytest.fixture
def keyed_ledger(settings: Settings) -> Iterator[Ledger]:
    """A ledger with one book, its key in a file; afterwards everything in it is read again."""
    with a_ledger(settings) as opened:
        yield opened
        check_ledger(opened)
        assert verify_ledger(opened, OWNER).findings == []


@pytest.fixture
def teller(ledger: Ledger) -> Iterator[Teller]:
    """Somebody who writes to a founded ledger on SQLite; afterwards everything in it is read again."""
    found(ledger, OWNER)
    yield Teller(ledger)
    check_ledger(ledger)


@pytest.fixture
def house(tmp_path: Path, clock: FakeClock) -> Iterator[House]:
    with a_house(tmp_path / "first", clock) as opened:
        yield opened


@pytest.fixture
def other(tmp_path: Path, clock: FakeClock) -> Iterator[House]:
    with a_house(tmp_path / "second", clock) as opened:
        yield opened


@pytest.fixture
def at(tmp_path: Path, clock: FakeClock) -> Iterator[Worker]:
    """Somebody at the bench of a ledger in a folder."""
    settings = Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))
    with open_ledger(settings, clock=clock) as ledger:
        yield Worker(ledger, clock)


@pytest.fixture
def flat(at: Worker) -> Recipe:
    return keep_recipe(at.ledger, OWNER, "Flat", [CLEAN, PRESS, COLD])


@pytest.fixture
def press(at: Worker) -> Recipe:
    return keep_recipe(at.ledger, OWNER, "Press", [PRESS])
