"""On PostgreSQL whatever is lost below, a back end or the whole server, loses nothing that was acknowledged."""

import random
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from threading import Event, Lock
from time import monotonic, sleep

import psycopg
import pytest

from ledger.errors import ConflictError, StoreError, UnansweredError
from ledger.ports import Writer
from ledger.store.codec import EventCodec
from ledger.store.log import SqlLog, make_collection, open_log
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.counts import count
from tests.postgres import Database, OwnServer, empty_database, prepared_on
from tests.store.writing import WHEN, Scribe, a_note

WRITERS = 4
ENDED, STOPPED, KILLED = count(20, 500), count(3, 50), count(3, 50)
PATIENCE = 60.0
"""Seconds in which a server comes back, even on a busy machine."""


@dataclass
class Traffic:
    """Writers that send every request until it is answered, under one key, and note what they were told."""

    log: SqlLog
    done: Event = field(default_factory=Event)
    acknowledged: dict[str, int] = field(default_factory=dict)
    unanswered: int = 0
    lock: Lock = field(default_factory=Lock)

    def write(self, number: int) -> int:
        """How many requests one writer had answered."""
        scribe, sent = Scribe(self.log, f"writer {number}"), 0
        while not self.done.is_set():
            self._until_answered(scribe, f"{number}.{sent}", number, first=sent == 0)
            sent += 1
        return sent

    def _until_answered(self, scribe: Scribe, key: str, number: int, *, first: bool) -> None:
        end = monotonic() + PATIENCE
        while True:
            book = f"book.{number}"
            try:
                entry = scribe.buy(key=key, book=book) if first else scribe.add(book, a_note(key), key=key)
            except UnansweredError:
                assert monotonic() < end, "the server did not come back"
                with self.lock:
                    self.unanswered += 1
                sleep(0.02)
            else:
                with self.lock:
                    self.acknowledged[key] = entry.seq
                return


def tried(log: SqlLog, harm: Callable[[], None], times: int, pause: float) -> Traffic:
    """Harm done so many times while several write; everything acknowledged is there once, and nothing else is."""
    traffic, chance = Traffic(log), random.Random(times)
    with ThreadPoolExecutor(WRITERS) as threads:
        writers = [threads.submit(traffic.write, number) for number in range(WRITERS)]
        try:
            for _ in range(times):
                sleep(chance.uniform(0.3, 1.0) * pause)
                harm()
            sleep(pause)
        finally:
            traffic.done.set()
        sent = [each.result() for each in writers]
    assert sum(sent) == len(traffic.acknowledged) > times
    with log.read() as reader:
        for key, seq in traffic.acknowledged.items():
            receipt = reader.receipt(key)
            assert receipt is not None, f"{key} was acknowledged and is lost"
            assert (receipt.first, receipt.count) == (seq, 1)
    assert sorted(traffic.acknowledged.values()) == list(range(1, len(traffic.acknowledged) + 1))
    assert check_ledger(log) == len(traffic.acknowledged)
    return traffic


@pytest.fixture
def database() -> Iterator[Database]:
    with empty_database() as made:
        yield made


@pytest.fixture
def log(database: Database) -> Iterator[SqlLog]:
    yield from opened(database)


def opened(database: Database) -> Iterator[SqlLog]:
    store = database.open()
    make_collection(store, COLLECTION, WHEN)
    yield open_log(COLLECTION, store, EventCodec())
    store.close()


@pytest.mark.long
def test_a_back_end_that_is_ended_loses_nothing(database: Database, log: SqlLog) -> None:
    def end_one() -> None:
        ours = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database()"
        writing = " AND pid <> pg_backend_pid() AND state <> 'idle' ORDER BY random() LIMIT 1"
        with psycopg.connect(database.above, autocommit=True) as connection:
            connection.execute(ours + writing)

    assert tried(log, end_one, ENDED, 0.2).unanswered > 0


@pytest.fixture(scope="module")
def own_server() -> Iterator[OwnServer]:
    with OwnServer.started() as server:
        yield server


@pytest.fixture
def own_log(own_server: OwnServer) -> Iterator[SqlLog]:
    with prepared_on(own_server.url) as made:
        yield from opened(made)


@pytest.mark.long
def test_a_server_that_is_stopped_at_once_loses_nothing(own_server: OwnServer, own_log: SqlLog) -> None:
    def stop_and_start() -> None:
        own_server.stop_at_once()
        sleep(0.1)
        own_server.start()

    assert tried(own_log, stop_and_start, STOPPED, 1.0).unanswered > 0


@pytest.mark.long
def test_a_back_end_that_is_killed_takes_the_server_down_and_loses_nothing(
    own_server: OwnServer, own_log: SqlLog
) -> None:
    def kill_one() -> None:
        # The server takes all other back ends down with it and recovers. Source: PostgreSQL, Server Shutdown.
        own_server.kill_a_back_end()

    assert tried(own_log, kill_one, KILLED, 1.0).unanswered > 0


def test_a_lost_connection_says_that_the_same_key_tells(database: Database, log: SqlLog) -> None:
    def end_itself(writer: Writer) -> None:
        with psycopg.connect(database.above, autocommit=True) as connection:
            others = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database()"
            connection.execute(others + " AND pid <> pg_backend_pid()")
        writer.head()
        writer.receipt("k")

    with pytest.raises(UnansweredError, match="Send it again under the same key") as lost:
        log.write(end_itself)
    assert "closed" not in str(lost.value)
    # The next one finds a connection of its own.
    assert Scribe(log).buy(key="k").seq == 1


def test_a_server_that_is_not_there_is_told_without_the_password(database: Database) -> None:
    nowhere = Database(above="", owner="", application=database.application.replace("?host=", "?host=/nowhere"))
    with pytest.raises(StoreError) as refused:
        nowhere.open()
    assert isinstance(refused.value, UnansweredError)
    assert "100" not in str(refused.value)


def test_what_a_guard_refuses_is_a_conflict_and_the_store_goes_on(log: SqlLog) -> None:
    scribe = Scribe(log)
    scribe.buy(book="b")
    with log.read() as reader:
        stored = reader.stored(1, 1)[0]
    with pytest.raises(ConflictError):
        log.write(lambda writer: writer.put_entry(stored))
    assert scribe.add("b", a_note()).seq == 2
