"""What is in the database is known by name: a table that is gone is named with its mend, and a stranger is too."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import DamagedError, UnfitStoreError
from ledger.ports import Reader
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, SqliteStore, open_read_only, open_store
from ledger.store.inventory import missing_tables, strangers
from ledger.store.log import SqlLog, make_collection, open_log
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note

KEPT = ("alembic_version", "checkpoint", "collection", "entry", "head", "person", "receipt", "sealed_value", "session")
ANEW = ("book_head", "node", "read_model")
LISTS = (
    "book_row",
    "picture_row",
    "cost_row",
    "word_row",
    "book_search",
    *(f"book_search_{part}" for part in ("config", "content", "data", "docsize", "idx")),
)
BACKUP = "Put back a backup that is whole."
REBUILD = "Stop the program and run rebuild, which makes anew what is missing."


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A ledger of two entries, closed."""
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    Scribe(open_log(COLLECTION, store, EventCodec())).buy(book="b")
    store.close()
    return tmp_path


def without(folder: Path, *names: str) -> None:
    with closing(sqlite3.connect(folder / DATABASE)) as db, db:
        db.execute("PRAGMA foreign_keys = OFF")
        for name in names:
            db.execute(f"DROP TABLE {name}")


def looked_at(folder: Path, look: Callable[[Any], Any]) -> Any:
    store = open_read_only(folder)
    try:
        with store.snapshot("") as connection:
            return look(connection)
    finally:
        store.close()


def test_of_a_new_database_nothing_is_missing_and_nothing_is_strange(folder: Path) -> None:
    assert looked_at(folder, missing_tables) == []
    assert looked_at(folder, strangers) == []


@pytest.mark.parametrize(("name", "mend"), [*((name, BACKUP) for name in KEPT), *((name, REBUILD) for name in ANEW)])
def test_a_database_without_a_table_is_not_opened_to_write_to(folder: Path, name: str, mend: str) -> None:
    without(folder, name)
    with pytest.raises(UnfitStoreError) as refused:
        open_store(folder)
    assert (refused.value.problem, refused.value.mend) == (f"its table {name} is missing", mend)
    assert str(refused.value) == f"{folder / DATABASE}: its table {name} is missing. {mend}"


def test_several_tables_are_named_together(folder: Path) -> None:
    without(folder, "node", "receipt", "token")
    with pytest.raises(UnfitStoreError) as refused:
        open_store(folder, mend=True)
    assert refused.value.problem == "its tables receipt and token are missing"


@pytest.mark.parametrize("name", [*ANEW, *LISTS])
def test_what_is_worked_out_from_the_entries_is_made_anew_with_its_table(folder: Path, name: str) -> None:
    without(folder, name)
    store = open_store(folder, mend=True)
    log = open_log(COLLECTION, store, EventCodec())
    assert log.rebuild() == 1
    assert check_ledger(log) == 1
    assert Scribe(log).add(None, a_note()).seq == 2
    store.close()
    assert looked_at(folder, missing_tables) == []


@pytest.mark.parametrize("name", LISTS)
def test_lists_are_made_anew_at_any_start(folder: Path, name: str) -> None:
    without(folder, name)
    store = open_store(folder)
    assert check_ledger(open_log(COLLECTION, store, EventCodec())) == 1
    store.close()


def look_at_all(reader: Reader) -> None:
    """A read of each table that is taken away below."""
    reader.receipt("k")
    reader.head()
    reader.node_count("entries")
    reader.book("b")


def opened(folder: Path) -> tuple[SqliteStore, SqlLog]:
    store = open_store(folder)
    return store, open_log(COLLECTION, store, EventCodec())


@pytest.mark.parametrize(
    ("name", "mend"), [("receipt", BACKUP), ("head", BACKUP), ("node", REBUILD), ("book_row", REBUILD)]
)
def test_a_table_that_goes_while_the_program_runs_is_named_to_readers_and_writers(
    folder: Path, name: str, mend: str
) -> None:
    store, log = opened(folder)
    without(folder, name)
    with pytest.raises(DamagedError) as refused, log.read() as reader:
        look_at_all(reader)
    assert str(refused.value) == f"The database: its table {name} is missing. {mend}"
    with pytest.raises(DamagedError) as refused:
        log.write(look_at_all)
    assert refused.value.problem == f"its table {name} is missing"
    store.close()


def test_a_rebuild_that_a_missing_table_keeps_from_its_end_says_so_and_the_store_goes_on(folder: Path) -> None:
    store, log = opened(folder)
    without(folder, "head")
    with pytest.raises(DamagedError) as refused:
        log.rebuild()
    assert refused.value.problem == "its table head is missing"
    with log.read() as reader:
        assert reader.book("b").entries == 1
    store.close()


def test_a_column_that_is_gone_is_named_too(folder: Path) -> None:
    with closing(sqlite3.connect(folder / DATABASE)) as db, db:
        db.execute("ALTER TABLE node RENAME COLUMN hash TO other")
    store, log = opened(folder)
    with pytest.raises(DamagedError) as refused:
        log.rebuild()
    assert refused.value.problem == "table node has no column named hash"
    with pytest.raises(DamagedError) as refused, log.read() as reader:
        reader.nodes("entries", [(0, 0)])
    assert str(refused.value) == f"The database: no such column: node.hash. {BACKUP}"
    store.close()
