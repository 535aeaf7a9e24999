"""Fixture: the demo's collection, told once for all tests that only read it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.ports import Ledger
from ledger.settings import Settings
from seeds.demo import open_told


@pytest.fixture(scope="session")
def told_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the told collection."""
    return tmp_path_factory.mktemp("told")


@pytest.fixture(scope="session")
def told(told_folder: Path) -> Iterator[Ledger]:
    """The told collection, open; tests read it and change nothing."""
    with open_told(Settings(folder=str(told_folder))) as ledger:
        yield ledger
