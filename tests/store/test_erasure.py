"""What was erased is nowhere in the folder any more: not in the database, its free pages, or the write-ahead log."""

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from time import monotonic, sleep

import pytest

from ledger.events.erasure import Erasure
from ledger.handing import KeptRecord
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.store.engine import SqliteStore, open_store
from ledger.store.handing import SqlHanding
from ledger.store.log import SqlLog, make_collection, open_log
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.counts import count
from tests.store.writing import WHEN, Scribe, a_note

CANARY = "Wilhelmina Canary"
LONG_ENOUGH = 20.0
"""Seconds after which even a busy machine has scrubbed the log."""


def found(folder: Path, needle: bytes = CANARY.encode()) -> list[str]:
    """The files of a folder in which the canary can be read."""
    return sorted(path.name for path in folder.iterdir() if needle in path.read_bytes())


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


def _within(seconds: float, folder: Path, needle: bytes = CANARY.encode()) -> bool:
    """The canary is gone within that time."""
    end = monotonic() + seconds
    while found(folder, needle) and monotonic() < end:
        sleep(0.01)
    return not found(folder, needle)


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


def test_a_record_that_was_taken_out_is_gone_from_every_file_at_once(
    opened: tuple[SqliteStore, SqlLog], tmp_path: Path
) -> None:
    handing = SqlHanding(COLLECTION, opened[0])
    # Longer than a page, so that it lies on pages of its own; three letters to a group of four, so that it can be told.
    data = CANARY.encode().ljust(18, b".") * 2000
    needle = b64encode(data)[:240]
    kept = KeptRecord(sha256="a" * 64, book="b", received=False, seq=1, made=WHEN, data=data)
    handing.write(lambda writer: writer.put_record(kept))
    handing.write(lambda writer: writer.put_record(replace(kept, sha256="b" * 64)))
    assert found(tmp_path, needle) != []
    handing.write(lambda writer: writer.take_record("a" * 64))
    handing.write(lambda writer: writer.take_record("b" * 64))
    assert _within(LONG_ENOUGH, tmp_path, needle)
