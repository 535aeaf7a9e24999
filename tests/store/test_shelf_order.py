"""Keys of the search: along the list by title, whatever comes in between, and however little room there is."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select

from ledger.events.identification import Identification
from ledger.store import shelf_order
from ledger.store.codec import EventCodec
from ledger.store.engine import SqliteStore, open_store
from ledger.store.log import make_collection, open_log
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH
from ledger.store.shelf_order import first_key
from ledger.views import ShelfQuery
from tests.builders import an_issue
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    opened = open_store(tmp_path)
    make_collection(opened, COLLECTION, WHEN)
    yield opened
    check_ledger(open_log(COLLECTION, opened, EventCodec()))
    opened.close()


def keys(store: SqliteStore) -> list[int]:
    """The keys along the list by title; each has its text, and there are no other texts."""
    with store.snapshot(COLLECTION) as connection:
        along = select(BOOK_ROW.c.search_key).order_by(BOOK_ROW.c.title_key, BOOK_ROW.c.no)
        found = list(connection.scalars(along))
        assert sorted(connection.scalars(select(BOOK_SEARCH.c.rowid))) == sorted(found)
    return found


def grows(found: list[int]) -> bool:
    return (
        found == sorted(set(found))
        and first_key(COLLECTION) < found[0]
        and found[-1] < first_key(COLLECTION) + (1 << shelf_order.SPACE_BITS)
    )


NUMBERS = {
    "upwards": list(range(1, 41)),
    "downwards": list(range(40, 0, -1)),
    "inwards": [each for pair in zip(range(1, 21), range(40, 20, -1), strict=True) for each in pair],
    "all alike": [7] * 40,
    "as it comes": random.Random(5).sample(range(1, 1000), 40),
}


@pytest.mark.parametrize("room", [12, 43])
@pytest.mark.parametrize("order", NUMBERS)
def test_keys_grow_along_the_list_in_whatever_order_books_come(
    store: SqliteStore, order: str, room: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf_order, "SPACE_BITS", room)
    scribe = Scribe(open_log(COLLECTION, store, EventCodec()))
    for number in NUMBERS[order]:
        scribe.buy(issue=an_issue(number=str(number)))
        assert grows(keys(store))


def test_a_book_under_another_title_moves_to_its_place_and_is_found_there(
    store: SqliteStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf_order, "SPACE_BITS", 10)
    chance = random.Random(3)
    scribe = Scribe(open_log(COLLECTION, store, EventCodec()))
    books = [scribe.buy(issue=an_issue(title=f"Series {number}")).book for number in range(12)]
    for _ in range(60):
        issue = an_issue(title=f"Series {chance.choice('abcdefgh')}", number=str(chance.randrange(4)))
        scribe.add(chance.choice(books), Identification(issue=issue, how="indicia"))
        assert grows(keys(store))
    with scribe.log.read() as reader:
        found = [row.no for row in reader.shelf(ShelfQuery(text="series")).rows]
        assert found == [row.no for row in reader.shelf(ShelfQuery()).rows]


def test_collections_do_not_share_keys() -> None:
    # 20 bits tell them apart: 63 that a key has, less those of its place in the list.
    names = [f"collection-{number}" for number in range(40)]
    firsts = {first_key(name) for name in names}
    assert len(firsts) == len(names)
    assert all(0 <= first < 2**63 and first % 2**43 == 0 for first in firsts)
