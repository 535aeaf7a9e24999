"""Entries that were read before are not read again, unless a byte or a value of them is another; erased ones are forgotten."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from ledger.entry import Entry
from ledger.errors import MalformedError
from ledger.events.erasure import Erasure
from ledger.sealed import Sealed, SealState
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, open_store
from ledger.store.guards import TRIGGERS
from ledger.store.log import SqlLog, make_collection, open_log
from ledger.store.read_before import ReadBefore
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note

SELLER = "A. Vendor"


@pytest.fixture
def log(tmp_path: Path) -> Iterator[SqlLog]:
    with closing(open_store(tmp_path)) as store:
        make_collection(store, COLLECTION, WHEN)
        yield open_log(COLLECTION, store, EventCodec())


@pytest.fixture
def book(log: SqlLog) -> str:
    """A book with two entries, of which the first seals a name."""
    scribe = Scribe(log)
    bought = scribe.buy(seller=Sealed.of(SELLER))
    assert bought.book is not None
    scribe.add(bought.book, a_note())
    return bought.book


def read(log: SqlLog, book: str) -> list[Entry]:
    with log.read() as reader:
        return reader.of_book(book)


def held(log: SqlLog) -> set[int]:
    """Numbers of the entries that are kept."""
    return set(log._before._of)


def behind_its_back(folder: Path, statement: str) -> None:
    with closing(sqlite3.connect(folder / DATABASE)) as db, db:
        for name in TRIGGERS:
            db.execute(f"DROP TRIGGER IF EXISTS {name}")
        db.execute(statement)


def test_an_entry_that_is_as_it_was_is_given_again_as_it_was_read(log: SqlLog, book: str) -> None:
    first = read(log, book)
    assert [one is two for one, two in zip(first, read(log, book), strict=True)] == [True, True]
    with log.read() as reader:
        assert reader.entry(1) is first[0]


def test_bytes_that_were_changed_are_read_as_they_lie_there_now(log: SqlLog, book: str, tmp_path: Path) -> None:
    read(log, book)
    behind_its_back(tmp_path, "UPDATE entry SET bytes = x'7b7d' WHERE seq = 1")
    with pytest.raises(MalformedError):
        read(log, book)


@pytest.mark.parametrize(
    ("statement", "state"),
    [
        ("UPDATE sealed_value SET value = '\"B. Vendor\"' WHERE seq = 1 AND name = 'seller'", SealState.OPEN),
        ("DELETE FROM sealed_value WHERE seq = 1 AND name = 'seller'", SealState.WITHHELD),
    ],
)
def test_a_value_that_is_another_or_gone_is_told_so(
    log: SqlLog, book: str, tmp_path: Path, statement: str, state: SealState
) -> None:
    assert read(log, book)[0].event.sealed_fields()["seller"] == Sealed.of(SELLER)
    behind_its_back(tmp_path, statement)
    seller = read(log, book)[0].event.sealed_fields()["seller"]
    assert (seller.state, seller.value) == (state, "B. Vendor" if state is SealState.OPEN else None)


def test_after_an_erasure_nothing_is_kept_that_was_read_before_it(log: SqlLog, book: str) -> None:
    read(log, book)
    assert held(log) == {1, 2}
    Scribe(log, "eraser").add(book, Erasure(entry=1, names=("seller",)))
    assert held(log) == set()
    assert read(log, book)[0].event.sealed_fields()["seller"].state is SealState.ERASED


def test_a_reader_from_before_an_erasure_keeps_nothing_beyond_it(log: SqlLog, book: str) -> None:
    with log.read() as reader:
        Scribe(log, "eraser").add(book, Erasure(entry=1, names=("seller",)))
        assert reader.entry(1).event.sealed_fields()["seller"].value == SELLER
    assert held(log) == set()


def test_an_erasure_that_was_refused_forgets_nothing(log: SqlLog, book: str) -> None:
    read(log, book)

    def work(writer: object) -> None:
        writer.erase_sealed(1, ["seller"])  # type: ignore[attr-defined]  # a writer of this store
        raise LookupError

    with pytest.raises(LookupError):
        log.write(work)
    assert held(log) == {1, 2}


def test_no_more_are_kept_than_there_is_room_for_and_the_last_ones_stay(log: SqlLog, book: str) -> None:
    scribe = Scribe(log, "more")
    for _ in range(3):
        scribe.add(book, a_note())
    log._before = ReadBefore(most=3)
    read(log, book)
    assert held(log) == {3, 4, 5}
    with log.read() as reader:
        reader.entry(3)
        reader.entry(1)
    assert held(log) == {1, 3, 5}
