"""What was erased is nowhere in the folder any more: not in the database, its free pages, or the write-ahead log."""

from collections.abc import Iterator
from pathlib import Path
from time import monotonic, sleep

import pytest

from ledger.events.erasure import Erasure
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.store.engine import SqliteStore, open_store
from ledger.store.log import SqlLog, make_collection, open_log
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.counts import count
from tests.store.writing import WHEN, Scribe, a_note

CANARY = "Wilhelmina Canary"
LONG_ENOUGH = 20.0
"""Seconds after which even a busy machine has scrubbed the log."""


def found(folder: Path) -> list[str]:
    """The files of a folder in which the canary can be read."""
    return sorted(path.name for path in folder.iterdir() if CANARY.encode() in path.read_bytes())


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[SqliteStore, SqlLog]]:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    yield store, log
    assert found(tmp_path) == []
    check_ledger(log)
    store.close()
    assert found(tmp_path) == []


def _within(seconds: float, folder: Path) -> bool:
    """The canary is gone within that time."""
    end = monotonic() + seconds
    while found(folder) and monotonic() < end:
        sleep(0.01)
    return not found(folder)


@pytest.mark.parametrize("rounds", [1, count(20, 500)])
def test_an_erased_value_is_gone_from_every_file_at_once(
    opened: tuple[SqliteStore, SqlLog], tmp_path: Path, rounds: int
) -> None:
    scribe = Scribe(opened[1])
    for number in range(rounds):
        scribe.buy(book=f"b{number}", key=f"k{number}", seller=Sealed.of(f"{CANARY} {number}" * 40))
        scribe.add(f"b{number}", a_note())
    assert found(tmp_path) != []
    for number in range(rounds):
        scribe.add(f"b{number}", Erasure(entry=2 * number + 1, names=("seller",)))
    # The answer comes when the erasure is durable; the log behind it is scrubbed right after.
    assert _within(LONG_ENOUGH, tmp_path)


def test_with_a_reader_in_the_way_it_is_gone_soon_after_the_reader_is(
    opened: tuple[SqliteStore, SqlLog], tmp_path: Path
) -> None:
    _, log = opened
    scribe = Scribe(log)
    scribe.buy(book="b", seller=Sealed.of(CANARY))
    with log.read() as reader:
        assert reader.head().size == 1
        scribe.add("b", Erasure(entry=1, names=("seller",)))
        # Others need not wait for the reader.
        scribe.add("b", a_note())
        assert found(tmp_path) != []
    assert _within(LONG_ENOUGH, tmp_path)
