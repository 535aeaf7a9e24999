"""Fixtures of the API's tests: a founded ledger behind a door that may do everything.

Most tests run on the log in memory, which fails them when an invariant breaks; what races or travels far runs on SQLite.
"""

from collections.abc import Iterator

import pytest

from ledger.actor import Permission
from ledger.ports import Ledger
from ledger.store.codec import EventCodec
from ledger.usecases.found import found
from tests.api.door import OWNER, Door, door_to
from tests.check import check_ledger
from tests.conftest import COLLECTION, ledger_on
from tests.fakes import FakeLog


@pytest.fixture
def door() -> Iterator[Door]:
    """A client with every permission; afterwards the whole ledger is reread."""
    with_log = ledger_on(FakeLog(COLLECTION, EventCodec()))
    found(with_log, OWNER)
    yield door_to(with_log, set(Permission))
    check_ledger(with_log)


@pytest.fixture
def real_door(ledger: Ledger) -> Iterator[Door]:
    """The same on SQLite."""
    found(ledger, OWNER)
    yield door_to(ledger, set(Permission))
    check_ledger(ledger)
