"""A store with two collections, on each engine in turn."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.store.engine import Store
from ledger.store.log import make_collection
from tests.conftest import COLLECTION
from tests.store.homes import HOMES, OTHER, open_home
from tests.store.writing import WHEN


@pytest.fixture(params=HOMES)
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    with HOMES[request.param](tmp_path) as address:
        opened = open_home(address)
        for collection in (COLLECTION, OTHER):
            make_collection(opened, collection, WHEN)
        yield opened
        opened.close()
