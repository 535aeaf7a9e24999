"""Thirty-two writers on sixty-four collections: numbers without gaps, as if one had written after another, equal shares."""

from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier, Event

import pytest
from sqlalchemy import event

from ledger.entry import Entry
from ledger.events.purchase import Purchase
from ledger.proof.checkpoint import origin_of
from ledger.store.codec import EventCodec
from ledger.store.engine import Store
from ledger.store.log import SqlLog, make_collection, open_log
from ledger.store.postgres import PostgresStore
from tests.check import check_ledger, stored_entries
from tests.counts import count
from tests.fakes import FakeLog
from tests.store.homes import HOMES, open_home
from tests.store.writing import WHEN, Scribe, a_note

WRITERS, COLLECTIONS = 32, 64
EVENTS = count(5_000, 100_000)
ONE_CHAIN = count(640, 6_400)
LETTERS = "abcdefgh"


def collection(number: int) -> str:
    """The id of a collection."""
    return (LETTERS[number // 8] + LETTERS[number % 8]) * 13


@pytest.fixture(params=HOMES)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    with HOMES[request.param](tmp_path) as home:
        opened = open_home(home)
        yield opened
        opened.close()


def write(scribe: Scribe, book: str, number: int) -> int:
    """The number that was given."""
    entry = scribe.buy(book=book) if number == 0 else scribe.add(book, a_note(f"{book} {number}"))
    return entry.seq


@pytest.mark.long
def test_many_writers_on_many_collections_leave_what_one_would_have_left(store: Store) -> None:
    logs = []
    for number in range(COLLECTIONS):
        make_collection(store, collection(number), WHEN)
        logs.append(open_log(collection(number), store, EventCodec()))
    start, each = Barrier(WRITERS), EVENTS // WRITERS

    def work(writer: int) -> list[tuple[int, int]]:
        """The collection and the number of each of a writer's entries: his books lie in every second collection."""
        scribes = {number: Scribe(logs[number], f"{writer} {number}") for number in range(writer % 2, COLLECTIONS, 2)}
        written: Counter[int] = Counter()
        given = []
        start.wait(30)
        for line in range(each):
            number = (writer + 2 * line) % COLLECTIONS
            given.append((number, write(scribes[number], f"b{writer}", written[number])))
            written[number] += 1
        return given

    with ThreadPoolExecutor(WRITERS) as threads:
        given = list(threads.map(work, range(WRITERS)))
    numbers: dict[int, list[int]] = {number: [] for number in range(COLLECTIONS)}
    for own in given:
        for number, seq in own:
            numbers[number].append(seq)
    for number, log in enumerate(logs):
        assert sorted(numbers[number]) == list(range(1, len(numbers[number]) + 1))
        assert check_ledger(log) == len(numbers[number])
        _as_one_after_another(log)


def _as_one_after_another(log: SqlLog) -> None:
    """The same events, written one after another into a log in memory, make the same chain of books and the same lists."""
    with log.read() as reader:
        entries = [reader.entry(stored.seq) for stored in stored_entries(reader)]
        lists, heads = list(reader.listings()), [(head.book, head.no, head.seq) for head in reader.book_heads()]
        name = reader.collection
    model = FakeLog(name, EventCodec())
    scribe = Scribe(model)
    for entry in entries:
        _again(scribe, entry)
    with model.read() as reader:
        assert list(reader.listings()) == lists
        assert [(head.book, head.no, head.seq) for head in reader.book_heads()] == heads


def _again(scribe: Scribe, entry: Entry) -> None:
    if isinstance(entry.event, Purchase):
        assert scribe.buy(book=entry.book).seq == entry.seq
    else:
        assert scribe.add(entry.book, entry.event).seq == entry.seq


@pytest.mark.long
def test_one_chain_with_many_writers_has_no_gap_and_equal_shares_and_nothing_is_tried_twice(store: Store) -> None:
    name = collection(0)
    assert origin_of(name)
    make_collection(store, name, WHEN)
    log = open_log(name, store, EventCodec())
    begun = _transactions(store)
    done, start, shares = Event(), Barrier(WRITERS), Counter[int]()
    before = len(begun)

    def work(writer: int) -> list[int]:
        scribe, own = Scribe(log, f"{writer}"), list[int]()
        start.wait(30)
        while not done.is_set():
            own.append(write(scribe, f"b{writer}", len(own)))
            shares[writer] += 1
            if shares.total() >= ONE_CHAIN:
                done.set()
        return own

    with ThreadPoolExecutor(WRITERS) as threads:
        given = list(threads.map(work, range(WRITERS)))
    written = sorted(seq for own in given for seq in own)
    assert written == list(range(1, len(written) + 1))
    if isinstance(store, PostgresStore):
        assert len(begun) - before == len(written)
    mean = len(written) / WRITERS
    assert len(shares) == WRITERS
    assert max(shares.values()) <= 2 * mean
    assert min(shares.values()) * 2 >= mean
    assert check_ledger(log) == len(written)


def _transactions(store: Store) -> list[object]:
    """Grows by one with every transaction that writes on a server."""
    begun: list[object] = []
    if isinstance(store, PostgresStore):
        event.listen(store._writing, "begin", begun.append)
    return begun
