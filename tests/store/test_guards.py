"""No statement changes what was written: each attack through the program's own connection is refused, alone."""

import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from ledger.errors import StoreError
from ledger.ports import Receipt, StoredCheckpoint, StoredToken
from ledger.store.codec import EventCodec
from ledger.store.engine import DATABASE, SqliteStore, open_store
from ledger.store.guards import TRIGGERS, missing_guards
from ledger.store.inventory import strangers
from ledger.store.log import make_collection, open_log
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.test_inventory import looked_at
from tests.store.writing import WHEN, Scribe

COPY = "SELECT collection_id, {seq}, bytes, leaf, {book}, book_no, {book_seq}, act, kind, actor, recorded FROM entry"
FIRST = COPY.format(seq="{seq}", book="book_id", book_seq="book_seq") + " WHERE seq = 1"
STRAY = COPY.format(seq="{seq}", book="NULL", book_seq="NULL") + " WHERE seq = 1"
DOUBLE = COPY.format(seq=4, book="book_id", book_seq="book_seq") + " WHERE seq = 1"

REFUSED_BY_THE_LEDGER = {
    "an entry is changed": "UPDATE entry SET bytes = x'00' WHERE seq = 1",
    "an entry's number is changed": "UPDATE entry SET seq = 9 WHERE seq = 1",
    "an entry is taken out": "DELETE FROM entry WHERE seq = 3",
    "all entries are taken out": "DELETE FROM entry",
    "an entry is replaced": f"INSERT OR REPLACE INTO entry {FIRST.format(seq=1)}",
    "an entry is replaced by the next number with a used place": f"INSERT OR REPLACE INTO entry {DOUBLE}",
    "REPLACE": f"REPLACE INTO entry {FIRST.format(seq=1)}",
    "an entry is changed by an upsert": (
        f"INSERT INTO entry {FIRST.format(seq=1)} ON CONFLICT DO UPDATE SET bytes = x'00'"
    ),
    "a gap is left": f"INSERT INTO entry {STRAY.format(seq=5)}",
    "a used number is given": f"INSERT INTO entry {STRAY.format(seq=2)}",
    "a lower number is given": f"INSERT INTO entry {STRAY.format(seq=0)}",
    "no number is given": f"INSERT INTO entry {STRAY.format(seq='NULL')}",
    "a place within a book is given twice": f"INSERT INTO entry {DOUBLE}",
    "an entry is put into another collection": f"INSERT INTO entry {STRAY.format(seq=1)}".replace(
        "SELECT collection_id", "SELECT 'other'"
    ),
    "the head goes back": "UPDATE head SET size = 2",
    "the head goes on without an entry": "UPDATE head SET size = 4",
    "the head is taken out": "DELETE FROM head",
    "the head is replaced": f"REPLACE INTO head VALUES ('{COLLECTION}', 0, 0)",
    "a head begins in the middle": "INSERT INTO head VALUES ('other', 5, 1)",
    "the collection is renamed": "UPDATE collection SET origin = 'x'",
    "the collection is taken out": "DELETE FROM collection",
    "a sealed value is changed": "UPDATE sealed_value SET value = '1' WHERE seq = 1",
    "a salt is changed": "UPDATE sealed_value SET salt = x'00', value = 'null' WHERE seq = 1",
    "only a value is erased": "UPDATE sealed_value SET value = NULL WHERE seq = 1",
    "a sealed value's row is taken out": "DELETE FROM sealed_value",
    "a sealed value is replaced": "REPLACE INTO sealed_value SELECT collection_id, seq, name, salt, '1' FROM sealed_value",
    "a checkpoint is changed": "UPDATE checkpoint SET note = 'x'",
    "a checkpoint is taken out": "DELETE FROM checkpoint",
    "a checkpoint is replaced": f"REPLACE INTO checkpoint VALUES ('{COLLECTION}', 1, 3, 'x', 'y')",
    "a checkpoint covers less": f"INSERT INTO checkpoint VALUES ('{COLLECTION}', 2, 2, 'x', 'y')",
    "a checkpoint covers more than there is": f"INSERT INTO checkpoint VALUES ('{COLLECTION}', 2, 9, 'x', 'y')",
    "a checkpoint is slipped in before": f"INSERT INTO checkpoint VALUES ('{COLLECTION}', 0, 3, 'x', 'y')",
    "a receipt is pointed elsewhere": "UPDATE receipt SET first = 2",
    "a receipt's request is changed": "UPDATE receipt SET request = x'01'",
    "a receipt is taken out": "DELETE FROM receipt",
    "a token's scopes grow": "UPDATE token SET scopes = '[\"erase\"]'",
    "a token is taken out": "DELETE FROM token",
    "a trigger is dropped": "DROP TRIGGER entry_update",
    "the table is dropped": "DROP TABLE entry",
    "the table is renamed": "ALTER TABLE entry RENAME TO old",
    "a column is dropped": "ALTER TABLE entry DROP COLUMN act",
    "a column is added": "ALTER TABLE entry ADD COLUMN more TEXT",
    "an index is dropped": "DROP INDEX entry_act",
    "a table is made": "CREATE TABLE more (id INTEGER)",
    "a table is made for the time being": "CREATE TEMP TABLE more (id INTEGER)",
    "a trigger is made": "CREATE TRIGGER t AFTER INSERT ON entry BEGIN SELECT 1; END",
    "a trigger is made for the time being": "CREATE TEMP TRIGGER t AFTER INSERT ON entry BEGIN SELECT 1; END",
    "a view is made": "CREATE VIEW v AS SELECT 1",
    "a virtual table is made": "CREATE VIRTUAL TABLE v USING fts5(t)",
    "the search is dropped": "DROP TABLE book_search",
    "the schema is written to": "UPDATE sqlite_master SET sql = '' WHERE name = 'entry_update'",
    "the schema is written to by its other name": "DELETE FROM sqlite_schema WHERE name = 'entry_update'",
    "the schema is opened": "PRAGMA writable_schema = ON",
    "recursive triggers are turned off": "PRAGMA recursive_triggers = OFF",
    "foreign keys are turned off": "PRAGMA foreign_keys = OFF",
    "checks are turned off": "PRAGMA ignore_check_constraints = ON",
    "flushing is turned off": "PRAGMA synchronous = OFF",
    "the journal is turned off": "PRAGMA journal_mode = OFF",
    "the version is changed": "PRAGMA user_version = 0",
    "another file is attached": "ATTACH ':memory:' AS other",
    "code is loaded": "SELECT load_extension('x')",
    "the file is written anew": "VACUUM",
}

WRONGLY = re.compile("syntax error|no such|has no column|values for|near|datatype")
NAMES = tuple(REFUSED_BY_THE_LEDGER)


@pytest.fixture(scope="module")
def attacked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    """A store with three entries, a receipt, a checkpoint and a token; when all attacks are over it is still whole."""
    store = open_store(tmp_path_factory.mktemp("attacked"))
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    scribe = Scribe(log)
    for key in ("k1", "k2", "k3"):
        scribe.buy(key=key)
    token = StoredToken(id="t", label="l", hashed=b"h", scopes=("read",), person="owner", created=WHEN, expires=WHEN)
    log.write(lambda writer: writer.put_token(token))
    log.write(lambda writer: writer.put_checkpoint(StoredCheckpoint(size=3, note="n", signed=WHEN)))
    yield store
    assert check_ledger(log) == 3
    assert scribe.buy().seq == 4
    store.close()


@pytest.fixture
def opened(attacked: SqliteStore) -> Iterator[SqliteStore]:
    """The store above; the attack has changed nothing in it."""
    before = _everything(attacked)
    yield attacked
    assert _everything(attacked) == before


def _everything(store: SqliteStore) -> list[tuple[object, ...]]:
    tables = ("collection", "entry", "head", "node", "sealed_value", "receipt", "checkpoint", "token", "sqlite_schema")
    with store.snapshot("") as connection:
        return [tuple(row) for table in tables for row in connection.exec_driver_sql(f"SELECT * FROM {table}")]


@pytest.mark.parametrize("name", NAMES)
def test_what_was_written_cannot_be_changed_even_by_the_program_itself(opened: SqliteStore, name: str) -> None:
    statement = REFUSED_BY_THE_LEDGER[name]
    with pytest.raises(DBAPIError) as refused:
        opened.write("", lambda connection: connection.exec_driver_sql(statement))
    # It is refused for what it does, and not because it is spelled wrongly.
    assert WRONGLY.search(str(refused.value.orig)) is None


@pytest.mark.parametrize("name", NAMES)
def test_a_reader_can_do_none_of_it_either(opened: SqliteStore, name: str) -> None:
    with pytest.raises(StoreError), opened.snapshot("") as connection:
        connection.exec_driver_sql(REFUSED_BY_THE_LEDGER[name])


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO book_row (collection_id) VALUES ('x')",
        "UPDATE book_row SET title = 'x'",
        "DELETE FROM book_row",
        "DELETE FROM node",
        "INSERT INTO collection VALUES ('x', 'y', 'z')",
        "PRAGMA query_only = OFF",
        "PRAGMA wal_checkpoint(TRUNCATE)",
    ],
)
def test_a_reader_writes_nothing_at_all(opened: SqliteStore, statement: str) -> None:
    with pytest.raises(StoreError), opened.snapshot("") as connection:
        connection.exec_driver_sql(statement)


def _bare(folder: Path) -> sqlite3.Connection:
    """Somebody else's connection, which no guard of the program holds."""
    return sqlite3.connect(folder / DATABASE, isolation_level=None)


TRIGGERED = (
    "UPDATE entry SET bytes = x'00' WHERE seq = 1",
    "DELETE FROM entry WHERE seq = 3",
    f"INSERT INTO entry {STRAY.format(seq=5)}",
    f"INSERT OR REPLACE INTO entry {FIRST.format(seq=1)}",
    "UPDATE head SET size = 2",
    "UPDATE sealed_value SET value = '1'",
    "DELETE FROM checkpoint",
)


@pytest.mark.parametrize("statement", TRIGGERED)
def test_the_guards_in_the_file_hold_against_a_stranger_who_leaves_them_there(tmp_path: Path, statement: str) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    scribe = Scribe(log)
    for _ in range(3):
        scribe.buy()
    log.write(lambda writer: writer.put_checkpoint(StoredCheckpoint(size=3, note="n", signed=WHEN)))
    before = _everything(store)
    stranger = _bare(tmp_path)
    with pytest.raises(sqlite3.IntegrityError):
        stranger.execute(statement)
    stranger.close()
    assert _everything(store) == before
    store.close()


def test_erasing_and_forgetting_and_revoking_are_let_through(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    log = open_log(COLLECTION, store, EventCodec())
    Scribe(log).buy(key="k")
    log.write(lambda writer: writer.erase_sealed(1, ["seller"]))
    log.write(lambda writer: writer.forget_receipts([1]))
    with log.read() as reader:
        assert [value.name for value in reader.sealed(1) if value.salt is None] == ["seller"]
        assert reader.receipt("k") == Receipt(key="k", salt=None, request=None, first=1, count=1)
    store.close()


@pytest.mark.parametrize("name", sorted(TRIGGERS))
def test_a_guard_that_was_dropped_is_named_and_stays_missing_until_it_is_asked_back(tmp_path: Path, name: str) -> None:
    open_store(tmp_path).close()
    stranger = _bare(tmp_path)
    stranger.execute(f"DROP TRIGGER {name}")
    stranger.close()
    assert _missing(tmp_path) == [name]
    open_store(tmp_path).close()
    assert _missing(tmp_path) == [name]
    open_store(tmp_path, mend=True).close()
    assert _missing(tmp_path) == []


def test_a_guard_that_was_made_toothless_and_a_trigger_of_a_stranger_are_named(tmp_path: Path) -> None:
    open_store(tmp_path).close()
    stranger = _bare(tmp_path)
    stranger.execute("DROP TRIGGER entry_delete")
    stranger.execute("CREATE TRIGGER entry_delete BEFORE DELETE ON entry BEGIN SELECT 1; END")
    stranger.execute("CREATE TRIGGER zz_mine AFTER INSERT ON entry BEGIN DELETE FROM book_row; END")
    stranger.close()
    assert (_missing(tmp_path), _strangers(tmp_path)) == (["entry_delete"], ["trigger zz_mine"])
    open_store(tmp_path, mend=True).close()
    assert (_missing(tmp_path), _strangers(tmp_path)) == ([], [])


def _missing(folder: Path) -> list[str]:
    found: list[str] = looked_at(folder, missing_guards)
    return found


def _strangers(folder: Path) -> list[str]:
    found: list[str] = looked_at(folder, strangers)
    return found
