"""Fixtures: a clock, chance, the codec, a log in each kind of store, and a whole ledger on the real one."""

import gc
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import hypothesis
import pytest

from ledger.actor import Actor
from ledger.adapters.align import OpenCvAligner
from ledger.adapters.bars import ZxingBars
from ledger.adapters.key_case import LockedCase
from ledger.adapters.key_ring import KeyRing
from ledger.adapters.keys import signer_of
from ledger.adapters.makings import FileMakings
from ledger.adapters.returns import XirrReturns
from ledger.adapters.timestamps import Rfc3161Stamps
from ledger.adapters.workbooks import XlsxWorkbooks
from ledger.ports import Ledger, Log
from ledger.store.codec import EventCodec
from ledger.store.engine import open_store
from ledger.store.log import make_collection, open_log
from tests.check import check_ledger
from tests.fake_care import FakeCare
from tests.fake_carrier import FakeCarrier
from tests.fake_handing import FakeHanding
from tests.fake_market import FakeMarket
from tests.fake_tables import FakeTables
from tests.fakes import FakeBench, FakeChance, FakeClock, FakeLog, FakePictures
from tests.longest_first import pytest_collection_modifyitems
from tests.one_loop import one_loop
from tests.postgres import postgres_store
from tests.prepared import new_folders_sooner

__all__ = ["new_folders_sooner", "one_loop", "pytest_collection_modifyitems"]

COLLECTION = "slipsheetslipsheetslipshee"
"""Id of the collection that tests write to."""

hypothesis.settings.register_profile("untimed", deadline=None)
hypothesis.settings.load_profile("untimed")


def pytest_collection_finish() -> None:
    """A million objects of the collected tests live to the end; the collector need not go through them again and again."""
    gc.collect()
    gc.freeze()


@dataclass
class Kept:
    """A log in one kind of store; a test that breaks it on purpose sets `whole` to False."""

    kind: str
    log: Log
    folder: Path
    whole: bool = True


@contextmanager
def fake_store(folder: Path) -> Iterator[Log]:
    log = FakeLog(COLLECTION, EventCodec())
    yield log
    log.close()


@contextmanager
def sqlite_store(folder: Path) -> Iterator[Log]:
    store = open_store(folder)
    try:
        make_collection(store, COLLECTION, FakeClock().now())
        yield open_log(COLLECTION, store, EventCodec())
    finally:
        store.close()


@contextmanager
def server_store(folder: Path) -> Iterator[Log]:
    with postgres_store() as store:
        make_collection(store, COLLECTION, FakeClock().now())
        yield open_log(COLLECTION, store, EventCodec())


STORES: dict[str, Callable[[Path], AbstractContextManager[Log]]] = {
    "fake": fake_store,
    "sqlite": sqlite_store,
    "postgresql": server_store,
}
"""Every kind of store: how a log with an empty collection is opened in a folder."""


@pytest.fixture
def clock() -> FakeClock:
    return FakeClock()


@pytest.fixture
def chance() -> FakeChance:
    return FakeChance()


@pytest.fixture
def codec() -> EventCodec:
    return EventCodec()


@pytest.fixture
def owner() -> Actor:
    return Actor(id="owner")


@pytest.fixture(params=STORES)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Kept]:
    """A log in each kind of store; afterwards everything in it is read again."""
    with STORES[request.param](tmp_path / "folder") as log:
        kept = Kept(request.param, log, tmp_path / "folder")
        yield kept
        if kept.whole:
            check_ledger(kept.log)


def ledger_on(log: Log, **parts: Any) -> Ledger:
    """A whole ledger over a log; every part can be put in another's place."""
    signer = KeyRing(COLLECTION, signer_of(COLLECTION, b"\x07" * 32))
    given = {
        "pictures": FakePictures(),
        "clock": FakeClock(),
        "chance": FakeChance(),
        "signer": signer,
        "bench": FakeBench(),
        "handing": FakeHanding(),
        "market": FakeMarket(),
        "care": FakeCare(),
        "carrier": FakeCarrier(log),
        "key_case": LockedCase(),
        "workbooks": XlsxWorkbooks(),
        "exports": FileMakings(Path(mkdtemp()) / "exports", FakeClock(), "archive"),
        "catalogues": FileMakings(Path(mkdtemp()) / "catalogues", FakeClock(), "catalogue"),
        "tables": FakeTables(),
        "aligner": OpenCvAligner(),
        "bars": ZxingBars(),
        "timestamps": Rfc3161Stamps(),
        "returns": XirrReturns(),
    }
    return Ledger(**{"collection": COLLECTION, "log": log, "codec": EventCodec(), **given, **parts})


@pytest.fixture
def ledger(tmp_path: Path, clock: FakeClock, chance: FakeChance) -> Iterator[Ledger]:
    """A ledger on SQLite, as the program opens it, with clock, chance, key and pictures of the tests."""
    with sqlite_store(tmp_path / "folder") as log:
        yield ledger_on(log, clock=clock, chance=chance)
