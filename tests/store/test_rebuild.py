"""Whatever is worked out from the entries can be made anew from them, and comes out the same, always."""

import random
import shutil
import sqlite3
from contextlib import nullcontext, suppress
from pathlib import Path

import pytest

from ledger.errors import ClosedError, ConflictError, StoreError
from ledger.events import Event
from ledger.events.choice import Choice, Next
from ledger.events.identification import Identification
from ledger.events.withdrawal import Withdrawal
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, SqliteStore, open_store
from ledger.store.log import SqlLog, make_collection, open_log
from ledger.store.projector import state_hash
from tests.builders import a_purchase, a_slab, an_issue
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.faults import WAYS, Faults, Way
from tests.store.writing import WHEN, Scribe, a_note

HARM = (
    "UPDATE book_row SET title = 'x'",
    "UPDATE book_row SET title_key = 'x' WHERE no = 2",
    "DELETE FROM book_row WHERE no = 1",
    "INSERT INTO book_row SELECT collection_id, 'extra', 99, {rest}, 7 FROM book_row WHERE no = 1",
    "UPDATE book_search SET text = 'x'",
    "DELETE FROM book_search",
    "UPDATE node SET hash = x'00' WHERE tree = 'entries'",
    "DELETE FROM node WHERE place = (SELECT max(place) FROM node)",
    "INSERT INTO node SELECT collection_id, tree, place + 1000, hash FROM node",
    "UPDATE book_head SET seq = seq + 1",
    "DELETE FROM book_head",
    "UPDATE cost_row SET minor = minor + 1",
    "DELETE FROM cost_row",
    "DELETE FROM word_row",
    "UPDATE word_row SET word = word || 'x'",
    "UPDATE cost_row SET why = 'erased', currency = ''",
)
COPIED = (
    "status, title, number, start_year, publisher, cover_date, holding, holder_number, grade_as_written, grade_step,"
    " heading, spot, on_bench, cover, state, entries, since, title_key, number_key, grade_key, last_seq, kept,"
    " grade_low, opinion_of, stated_seq, stated_field, place_seq, place_field, placed_on, room, wall, x_cm, y_cm, height_mm,"
    " width_mm, written_on"
)


def _opened(folder: Path, *, new: bool = False) -> tuple[SqliteStore, SqlLog]:
    store = open_store(folder)
    if new:
        make_collection(store, COLLECTION, WHEN)
    return store, open_log(COLLECTION, store, EventCodec())


def _some_history(scribe: Scribe, seed: int) -> None:
    """A few books with entries that change what the lists say of them, some of them out of force again."""
    chance = random.Random(seed)
    books = [f"b{number}" for number in range(3)]
    for book in books:
        scribe.buy(book=book, issue=an_issue(title=chance.choice(["Night Owl", "Élan", "Zeta"]), number=str(seed)))
    for number in range(12):
        event: Event = chance.choice(
            [
                a_note(f"note {number}"),
                Choice(next=chance.choice(list(Next))),
                Identification(issue=an_issue(title=chance.choice(["Owl", "Ember"])), how="indicia"),
            ]
        )
        book = chance.choice(books)
        written = scribe.add(book, event)
        if chance.random() < 0.3:
            scribe.add(book, Withdrawal(entry=written.seq))
    scribe.add(None, a_note())


def _hash(store: SqliteStore) -> str:
    with store.snapshot(COLLECTION) as connection:
        return state_hash(connection, COLLECTION)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A folder with a history, closed, and the hash of its read models."""
    folder = tmp_path_factory.mktemp("kept")
    store, log = _opened(folder, new=True)
    _some_history(Scribe(log), 1)
    found = _hash(store)
    store.close()
    return folder, found


@pytest.mark.parametrize("seed", range(8))
def test_a_rebuild_gives_the_state_that_the_writes_had_left(tmp_path: Path, seed: int) -> None:
    store, log = _opened(tmp_path, new=True)
    _some_history(Scribe(log), seed)
    before = _hash(store)
    assert log.rebuild() == 3
    assert _hash(store) == before
    check_ledger(log)
    store.close()


@pytest.mark.parametrize("harm", HARM)
def test_a_rebuild_mends_what_was_changed_beside_the_entries(kept: tuple[Path, str], tmp_path: Path, harm: str) -> None:
    folder = Path(shutil.copytree(kept[0], tmp_path / "folder"))
    stranger = sqlite3.connect(folder / DATABASE)
    assert stranger.execute(harm.format(rest=COPIED)).rowcount != 0
    stranger.commit()
    stranger.close()
    store, log = _opened(folder)
    with pytest.raises(AssertionError):
        check_ledger(log)
    log.rebuild()
    assert _hash(store) == kept[1]
    check_ledger(log)
    store.close()


@pytest.mark.long
@pytest.mark.parametrize("way", WAYS)
def test_a_rebuild_that_fails_at_any_call_leaves_what_was_there(
    kept: tuple[Path, str], tmp_path: Path, way: Way
) -> None:
    at, failed = 0, True
    while failed:
        at += 1
        folder = Path(shutil.copytree(kept[0], tmp_path / f"at {at}"))
        store, log = _opened(folder)
        faults = Faults(store, at, way)
        with suppress(StoreError):
            log.rebuild()
        failed, faults.fail_at = bool(faults.failed), None
        with pytest.raises(ClosedError) if failed else nullcontext():
            log.write(lambda writer: writer.head())
        store.close()
        store, log = _opened(folder)
        assert _hash(store) == kept[1]
        check_ledger(log)
        store.close()
        shutil.rmtree(folder)
    assert at > 20


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        ("UPDATE entry SET bytes = x'7b7d' WHERE seq = 2", "Entry 2 was changed after it was written."),
        ("UPDATE entry SET leaf = zeroblob(32) WHERE seq = 1", "Entry 1 was changed after it was written."),
        ("DELETE FROM entry WHERE seq = 2", "Entry 3 is number 2 of book a_slab, where number 1 belongs. And 2 more."),
        ("DELETE FROM entry WHERE seq = 3", "The number of entries is 3 by the head and 2 here."),
        ("UPDATE head SET size = 4", "The number of entries is 4 by the head and 3 here."),
        ("UPDATE head SET books = 1", "The number of books is 1 by the head and 2 here."),
        (
            "UPDATE entry SET book_id = NULL WHERE seq = 3",
            "Book a_slab has 2 entries, and beside them stands that it has 1.",
        ),
    ],
)
def test_a_rebuild_over_damaged_entries_is_refused_and_changes_nothing(tmp_path: Path, damage: str, told: str) -> None:
    store, log = _opened(tmp_path, new=True)
    scribe = Scribe(log)
    for build in (a_purchase, a_slab):
        scribe.buy(book=build.__name__, issue=build().issue)
    scribe.add("a_slab", a_note())
    before = _hash(store)
    store.close()
    stranger = sqlite3.connect(tmp_path / DATABASE)
    for guard in ("entry_update", "entry_delete", "head_update"):
        stranger.execute(f"DROP TRIGGER {guard}")
    stranger.execute(damage)
    stranger.commit()
    stranger.close()
    store, log = _opened(tmp_path)
    with pytest.raises(ConflictError) as refused:
        log.rebuild()
    assert told in refused.value.sentence
    assert _hash(store) == before
    with log.read() as reader:
        assert (reader.guards_missing(), reader.node_count("entries")) == (
            ["entry_delete", "entry_update", "head_update"],
            4,
        )
    store.close()
