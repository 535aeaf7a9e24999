"""Many threads write at once: numbers without gaps, one entry for one key, equal shares, one flush for many."""

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier, Event
from time import sleep

import pytest
from sqlalchemy import Connection, event

from ledger.errors import KeyReusedError, StaleError
from ledger.store.codec import EventCodec
from ledger.store.engine import SqliteStore, open_store
from ledger.store.log import SqlLog, make_collection, open_log
from ledger.usecases.record import Draft, Request, record
from ledger.views import BookQuery
from tests.check import check_ledger
from tests.conftest import COLLECTION, Kept
from tests.store.writing import OWNER, WHEN, Scribe, a_note

LONG_ENOUGH = 60.0
"""Until all threads have begun, however busy the machine is. Units: s."""
WRITTEN = 80
"""Notes of all writers together, of whom each may write half or twice its share."""


def _collections(store: SqliteStore, count: int) -> list[SqlLog]:
    logs = []
    for letter in "abcdefghijklmnop"[:count]:
        make_collection(store, letter * 26, WHEN)
        logs.append(open_log(letter * 26, store, EventCodec()))
    return logs


@pytest.mark.long
def test_many_writers_on_many_collections_leave_no_gap_and_the_same_as_one_after_another(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    logs = _collections(store, 8)
    writers, each = 32, 10
    start = Barrier(writers)

    def work(number: int) -> list[int]:
        scribe = Scribe(logs[number % len(logs)], f"writer {number}")
        start.wait(LONG_ENOUGH)
        book = scribe.buy(book=f"b{number}").seq
        return [book, *(scribe.add(f"b{number}", a_note(f"{number} {count}")).seq for count in range(each - 1))]

    with ThreadPoolExecutor(writers) as threads:
        numbers = list(threads.map(work, range(writers)))
    for place, log in enumerate(logs):
        own = [numbers[writer] for writer in range(writers) if writer % len(logs) == place]
        assert sorted(seq for seqs in own for seq in seqs) == list(range(1, each * len(own) + 1))
        # What one writer wrote one after another stands one after another.
        assert all(seqs == sorted(seqs) for seqs in own)
        with log.read() as reader:
            for writer in range(place, writers, len(logs)):
                entries = reader.of_book(f"b{writer}")
                assert [entry.seq for entry in entries] == numbers[writer]
                words = [entry.event.sealed_fields()["words"].value for entry in entries[1:]]
                assert words == [f"{writer} {count}" for count in range(each - 1)]
        assert check_ledger(log) == each * len(own)
    store.close()


@pytest.mark.long
def test_readers_see_whole_states_while_others_write(store: Kept) -> None:
    done = Event()

    def look() -> int:
        looks = 0
        while not done.is_set():
            with store.log.read() as reader:
                head = reader.head()
                assert len(reader.stored(1, 1000)) == head.size
                rows = reader.books(BookQuery(limit=500)).rows
                assert sum(row.entries for row in rows) == head.size
                assert len(rows) == head.books == len(reader.book_heads())
            looks += 1
        return looks

    with ThreadPoolExecutor(3) as threads:
        looking = [threads.submit(look) for _ in range(2)]
        scribe = Scribe(store.log)
        for number in range(20):
            scribe.buy(book=f"b{number}")
            scribe.add(f"b{number}", a_note())
        done.set()
        assert all(each.result() > 0 for each in looking)


def test_one_key_sent_by_many_at_once_makes_one_entry(store: Kept) -> None:
    start = Barrier(8)

    def send(number: int) -> tuple[int, bool]:
        scribe = Scribe(store.log, f"sender {number}")
        start.wait(LONG_ENOUGH)
        found = scribe.write(Draft(event=a_note(), book=None), key="one", body=b"same")
        return found.entries[0].seq, found.replayed

    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(send, range(8)))
    assert Counter(answers) == {(1, True): 7, (1, False): 1}
    with pytest.raises(KeyReusedError):
        Scribe(store.log).write(Draft(event=a_note(), book=None), key="one", body=b"other")


def test_of_two_who_read_the_same_state_one_is_told_that_it_has_moved_on(store: Kept) -> None:
    Scribe(store.log).buy(book="b")
    start = Barrier(2)

    def write(number: int) -> str:
        scribe = Scribe(store.log, f"reader {number}")
        start.wait(LONG_ENOUGH)
        try:
            record(scribe.ledger, OWNER, [Draft(event=a_note(), book="b")], Request(tags={"b": 1}))
        except StaleError as error:
            return f"{error.expected} {error.found}"
        return "written"

    with ThreadPoolExecutor(2) as threads:
        assert sorted(threads.map(write, range(2))) == ["1 2", "written"]


def test_works_that_wait_share_one_commit_and_one_that_raises_takes_back_only_itself(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    writer = store._writer
    assert writer is not None
    commits: list[Connection] = []
    event.listen(writer._connection.engine, "commit", commits.append)
    reached, waiting = Event(), Event()

    def hold(_connection: Connection) -> None:
        reached.set()
        assert waiting.wait(LONG_ENOUGH)

    def buy(number: int) -> int:
        scribe = Scribe(log, f"buyer {number}")
        return scribe.add("nowhere", a_note()).seq if number == 5 else scribe.buy(key=f"k{number}").seq

    with ThreadPoolExecutor(11) as threads:
        first = threads.submit(store.write, COLLECTION, hold)
        assert reached.wait(LONG_ENOUGH)
        others = [threads.submit(buy, number) for number in range(10)]
        while writer._queue.qsize() < len(others):
            sleep(0.001)
        waiting.set()
        first.result()
        failures = [each.exception() for each in others]
    assert [number for number, failure in enumerate(failures) if failure] == [5]
    assert len(commits) == 2
    assert sorted(each.result() for each in others if not each.exception()) == list(range(1, 10))
    assert check_ledger(log) == 9
    store.close()


@pytest.mark.long
def test_no_writer_is_left_behind(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    (log,) = _collections(store, 1)
    start, shares = Barrier(8), Counter(dict.fromkeys(range(8), 0))

    def work(number: int) -> None:
        scribe = Scribe(log, f"writer {number}")
        start.wait(LONG_ENOUGH)
        while shares.total() < WRITTEN:
            scribe.add(None, a_note())
            shares[number] += 1

    # A note of the collection costs more the longer it is; so few are written that it does not matter.
    with ThreadPoolExecutor(8) as threads:
        for each in [threads.submit(work, number) for number in range(8)]:
            each.result()
    mean = shares.total() / 8
    assert min(shares.values()) * 2 >= mean
    assert max(shares.values()) <= mean * 2
    store.close()
