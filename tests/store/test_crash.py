"""Whatever fails at whatever moment: what was acknowledged is kept, what was not is whole or absent, and keys tell."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from threading import Event
from time import sleep

import pytest
from sqlalchemy import Connection
from sqlalchemy.exc import OperationalError

from ledger.errors import ClosedError, StoreError
from ledger.events.erasure import Erasure
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, SqliteStore, open_store
from ledger.store.log import SqlLog, make_collection, open_log
from ledger.store.single_writer import SingleWriter, driver
from ledger.usecases.record import Draft
from tests.builders import a_purchase, a_slab
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.counts import count
from tests.store.faults import WAYS, Faults, Way
from tests.store.writing import WHEN, Scribe, a_note

Request = Callable[[Scribe], object]
REQUESTS: dict[str, tuple[Request, int]] = {
    "a note on a book": (lambda scribe: scribe.add("b1", a_note(), key="again"), 1),
    "a lot of two books": (
        lambda scribe: scribe.write(
            Draft(event=a_purchase(), new_book=True), Draft(event=a_slab(), new_book=True), key="again"
        ),
        2,
    ),
    "an erasure": (lambda scribe: scribe.add("b1", Erasure(entry=1, names=("seller",)), key="again"), 1),
}
"""Requests under one key, and how many entries each makes."""


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with three entries, closed."""
    folder = tmp_path_factory.mktemp("before")
    store = open_store(folder)
    make_collection(store, COLLECTION, WHEN)
    scribe = Scribe(open_log(COLLECTION, store, EventCodec()))
    scribe.buy(book="b1", key="k1", seller=Sealed.of("Nana Ölberg"))
    scribe.buy(book="b2", key="k2")
    scribe.add("b1", a_note(), key="k3")
    store.close()
    return folder


@pytest.fixture
def folder(before: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(before, tmp_path / "folder"))


def _opened(folder: Path) -> tuple[SqliteStore, SqlLog]:
    store = open_store(folder)
    return store, open_log(COLLECTION, store, EventCodec())


def _calls(folder: Path, request: Request) -> int:
    """How many calls to the database a request makes."""
    store, log = _opened(folder)
    faults = Faults(store)
    request(Scribe(log, "count"))
    store.close()
    return faults.count


def _fail(folder: Path, request: Request, at: int, way: Way) -> str:
    """Fail at one call; the store is closed by it. Gives the name of the call."""
    store, log = _opened(folder)
    faults = Faults(store, at, way)
    with pytest.raises(StoreError) as failed:
        request(Scribe(log, "first"))
    assert failed.value.problem == "disk I/O error"
    assert not isinstance(failed.value, ClosedError)
    with pytest.raises(ClosedError):
        Scribe(log, "later").buy()
    with pytest.raises(ClosedError), log.read():
        pass
    store.close()
    return faults.failed


@pytest.mark.long
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", REQUESTS)
def test_a_failure_at_any_call_leaves_all_or_nothing_and_the_same_key_makes_it_once(
    before: Path, tmp_path: Path, name: str, way: Way
) -> None:
    request, made = REQUESTS[name]
    count = _calls(Path(shutil.copytree(before, tmp_path / "count")), request)
    kept = {}
    for at in range(1, count + 1):
        folder = Path(shutil.copytree(before, tmp_path / f"at {at}"))
        call = _fail(folder, request, at, way)
        store, log = _opened(folder)
        found = check_ledger(log)
        kept[at] = call, found
        request(Scribe(log, "second"))
        assert check_ledger(log) == 3 + made, f"call {at} of {count}, {call}"
        store.close()
        shutil.rmtree(folder)
    assert {found for _, found in kept.values()} <= {3, 3 + made}
    # Only one that was made and then reported as failed is there although nobody was told.
    there = [call for call, found in kept.values() if found == 3 + made]
    assert there == (["do_commit"] if way == WAYS[1] else [])
    assert [call for call, _ in kept.values()].count("do_commit") == 1


def test_a_failure_takes_along_all_that_waited_and_nothing_of_it_is_kept(folder: Path) -> None:
    store, log = _opened(folder)
    writer = store._writer
    assert writer is not None
    reached, waiting = Event(), Event()

    def failing(_connection: Connection) -> None:
        reached.set()
        assert waiting.wait(9)
        raise OperationalError("SELECT 1", None, sqlite3.OperationalError("disk I/O error"))

    with ThreadPoolExecutor(10) as threads:
        first: Future[object] = threads.submit(store.write, COLLECTION, failing)
        assert reached.wait(9)
        others: list[Future[object]] = [
            threads.submit(Scribe(log, f"s{each}").buy, key=f"w{each}") for each in range(9)
        ]
        while writer._queue.qsize() < len(others):
            sleep(0.001)
        waiting.set()
    failures = [each.exception() for each in (first, *others)]
    assert [type(each) for each in failures] == [StoreError] * 10
    store.close()
    store, log = _opened(folder)
    assert check_ledger(log) == 3
    assert Scribe(log, "again").buy(key="w5").seq == 4
    store.close()


def test_folding_the_log_may_fail_without_loss(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store, log = _opened(folder)
    assert store._writer is not None
    scribe = Scribe(log, "fold")

    def failing(self: SingleWriter, how: str) -> bool:
        raise sqlite3.OperationalError("disk I/O error")

    with monkeypatch.context() as broken:
        broken.setattr("ledger.store.single_writer.FOLD_EVERY", 1)
        broken.setattr(SingleWriter, "_fold", failing)
        acknowledged = scribe.add("b1", a_note(), key="kept").seq
        # The one that was acknowledged last closed the store behind it, now or a moment from now.
        store._writer._thread.join()
        with pytest.raises(ClosedError):
            scribe.add("b1", a_note())
        store.close()
    store, log = _opened(folder)
    assert Scribe(log, "again").add("b1", a_note(), key="kept").seq == acknowledged
    assert check_ledger(log) >= acknowledged
    store.close()


def _narrow(connection: Connection) -> None:
    """No more pages than the file has: the disk is full."""
    below = driver(connection)
    below.set_authorizer(None)
    below.execute(f"PRAGMA max_page_count = {below.execute('PRAGMA page_count').fetchone()[0]}")


def _lock(connection: Connection) -> None:
    """The file may no longer be written to."""
    below = driver(connection)
    below.set_authorizer(None)
    below.execute("PRAGMA query_only = ON")


@pytest.mark.parametrize(("harm", "problem"), [(_narrow, "full"), (_lock, "readonly")])
def test_a_full_or_read_only_disk_closes_the_store_and_loses_nothing(
    folder: Path, harm: Callable[[Connection], None], problem: str
) -> None:
    store, log = _opened(folder)
    scribe = Scribe(log, "harm")
    acknowledged = [scribe.add("b1", a_note(), key="harm").seq]
    store.write(COLLECTION, harm)
    failed = ""
    while not failed:
        try:
            acknowledged.append(scribe.add("b1", a_note("x" * 3000)).seq)
        except StoreError as error:
            failed = error.problem
    assert problem in failed
    store.close()
    store, log = _opened(folder)
    assert check_ledger(log) == acknowledged[-1]
    assert Scribe(log, "again").add("b1", a_note(), key="harm").seq == acknowledged[0]
    store.close()


def test_a_work_that_spells_a_statement_wrongly_does_not_close_the_store(folder: Path) -> None:
    store, log = _opened(folder)
    with pytest.raises(Exception, match="no such table"):
        store.write(COLLECTION, lambda connection: connection.exec_driver_sql("SELECT * FROM nowhere"))
    assert Scribe(log, "later").buy().seq == 4
    store.close()


def _damaged(folder: Path) -> Iterator[tuple[str, bytes]]:
    """The write-ahead log of an open store, cut and garbled at many places."""
    wal = (folder / f"{DATABASE}-wal").read_bytes()
    step = max(1, len(wal) // count(50, 500))
    for cut in range(0, len(wal), step):
        yield f"cut at {cut}", wal[:cut]
    for at in range(7, len(wal), step):
        yield f"garbled at {at}", wal[:at] + bytes([wal[at] ^ 0x10]) + wal[at + 1 :]


@pytest.mark.long
def test_a_write_ahead_log_cut_or_garbled_anywhere_leaves_a_whole_ledger_that_is_shorter(
    folder: Path, tmp_path: Path
) -> None:
    store, log = _opened(folder)
    scribe = Scribe(log, "power")
    for number in range(20):
        scribe.add("b1", a_note(), key=f"p{number}")
    lengths = set()
    for name, wal in _damaged(folder):
        copy = tmp_path / "copy"
        copy.mkdir()
        shutil.copy(folder / DATABASE, copy)
        (copy / f"{DATABASE}-wal").write_bytes(wal)
        again, log_again = _opened(copy)
        with log_again.read() as reader:
            size = reader.head().size
        assert 3 <= size <= 23, name
        assert check_ledger(log_again) == size, name
        lengths.add(size)
        again.close()
        shutil.rmtree(copy)
    store.close()
    # Lost ends are not seen from within: only a checkpoint kept elsewhere shows them.
    assert len(lengths) > 10
