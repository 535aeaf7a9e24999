"""A data folder: one process owns it, others may read, and what does not fit is refused untouched."""

import os
import sqlite3
import subprocess
import sys
import traceback
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from ledger.errors import BusyError, ClosedError, ConflictError, NotFoundError, StoreError, UnfitStoreError
from ledger.proof.report import MalformedError
from ledger.store.codec import EventCodec
from ledger.store.engine import APPLICATION_ID, DATABASE, LOCK, open_read_only, open_store
from ledger.store.log import collections, make_collection, open_log
from ledger.store.migrations import VERSION
from tests import prepared
from tests.check import check_ledger
from tests.conftest import COLLECTION
from tests.store.writing import WHEN, Scribe, a_note

ROOT = Path(__file__).resolve().parents[2]
OTHER = "b" * 26

HOLDING = """
import sys
from pathlib import Path
from ledger.store.engine import open_store
store = open_store(Path(sys.argv[1]))
print("mine", flush=True)
sys.stdin.read()
"""


def _written(folder: Path, notes: int = 2) -> None:
    """A folder with a collection and some notes, closed again."""
    store = open_store(folder)
    make_collection(store, COLLECTION, WHEN)
    scribe = Scribe(open_log(COLLECTION, store, EventCodec()))
    for _ in range(notes):
        scribe.add(None, a_note())
    store.close()


def _setting(folder: Path, name: str) -> object:
    connection = sqlite3.connect(folder / DATABASE)
    found: object = connection.execute(f"PRAGMA {name}").fetchone()[0]
    connection.close()
    return found


def test_the_folder_is_made_when_it_is_not_there(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "down"
    open_store(folder).close()
    assert (folder / DATABASE).is_file()
    assert folder.stat().st_mode & 0o077 == 0


def test_a_new_database_that_was_copied_is_what_the_program_makes(tmp_path: Path) -> None:
    prepared.REALLY(tmp_path / "made", mend=False)
    prepared.prepare(tmp_path / "copied", mend=False)
    assert (tmp_path / "copied").read_bytes() == (tmp_path / "made").read_bytes()
    assert (tmp_path / "copied").stat().st_mode == (tmp_path / "made").stat().st_mode


def test_the_file_says_whose_it_is_and_of_which_version(tmp_path: Path) -> None:
    _written(tmp_path)
    # Source: sqlite.org, Database File Format, section 1.3: user version at 60, application id at 68, big-endian;
    # 2 and 2 at 18 and 19 mean a write-ahead log.
    header = (tmp_path / DATABASE).read_bytes()[:100]
    assert header[:16] == b"SQLite format 3\x00"
    assert int.from_bytes(header[60:64], "big") == VERSION
    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID
    assert header[18:20] == b"\x02\x02"


def test_the_writers_connection_flushes_every_commit_and_keeps_its_guards(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    assert store._writer is not None
    below = store._writer._connection.connection.driver_connection
    assert isinstance(below, sqlite3.Connection)
    below.set_authorizer(None)
    names = ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers", "trusted_schema", "secure_delete")
    found = [below.execute(f"PRAGMA {name}").fetchone()[0] for name in names]
    # Source: sqlite.org, Pragma statements: synchronous 2 is FULL.
    assert found == ["wal", 2, 1, 1, 0, 1]
    assert below.execute("PRAGMA wal_autocheckpoint").fetchone()[0] == 0
    store.close()


def test_after_closing_nothing_is_left_beside_the_file(tmp_path: Path) -> None:
    _written(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([DATABASE, LOCK])


def test_a_second_owner_in_the_same_process_is_refused(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    with pytest.raises(BusyError) as refused:
        open_store(tmp_path)
    assert (refused.value.folder, refused.value.owner) == (str(tmp_path), str(os.getpid()))
    store.close()
    open_store(tmp_path).close()


@pytest.mark.long
def test_a_second_process_is_refused_by_name_and_a_dead_one_owns_nothing(tmp_path: Path) -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", HOLDING, str(tmp_path)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"mine\n"
        with pytest.raises(BusyError) as refused:
            open_store(tmp_path)
        assert (refused.value.folder, refused.value.owner) == (str(tmp_path), str(child.pid))
        assert str(child.pid) in str(refused.value)
        child.kill()
        child.wait()
        open_store(tmp_path).close()


def test_a_reader_beside_the_writer_sees_what_was_written_last(tmp_path: Path) -> None:
    _written(tmp_path)
    store, beside = open_store(tmp_path), open_read_only(tmp_path)
    log = open_log(COLLECTION, store, EventCodec())
    Scribe(log, "later").add(None, a_note())
    with open_log(COLLECTION, beside, EventCodec()).read() as reader:
        assert reader.head().size == 3
    with pytest.raises(ClosedError) as refused:
        open_log(COLLECTION, beside, EventCodec()).write(lambda writer: writer.head())
    assert refused.value.problem == "it was opened for reading only"
    beside.close()
    store.close()


def test_a_reader_alone_changes_nothing_in_the_file(tmp_path: Path) -> None:
    _written(tmp_path)
    before = (tmp_path / DATABASE).read_bytes()
    store = open_read_only(tmp_path)
    with open_log(COLLECTION, store, EventCodec()).read() as reader:
        assert reader.head().size == 2
    store.close()
    assert (tmp_path / DATABASE).read_bytes() == before


def test_where_there_is_no_file_there_is_nothing_to_read(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError) as refused:
        open_read_only(tmp_path)
    assert refused.value.what == "database"
    assert list(tmp_path.iterdir()) == []


def test_a_file_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    _written(tmp_path)
    stranger = sqlite3.connect(tmp_path / DATABASE)
    stranger.execute(f"PRAGMA user_version = {VERSION + 1}")
    stranger.close()
    for opening in (open_store, open_read_only):
        with pytest.raises(UnfitStoreError) as refused:
            opening(tmp_path)
        assert (refused.value.found, refused.value.known) == (VERSION + 1, VERSION)
        assert refused.value.path == str(tmp_path / DATABASE)
    assert _setting(tmp_path, "user_version") == VERSION + 1


def test_a_file_of_an_older_program_is_not_read_before_it_is_brought_up_to_date(tmp_path: Path) -> None:
    _written(tmp_path)
    stranger = sqlite3.connect(tmp_path / DATABASE)
    stranger.execute("PRAGMA user_version = 0")
    stranger.close()
    with pytest.raises(UnfitStoreError) as refused:
        open_read_only(tmp_path)
    assert (refused.value.found, refused.value.known) == (0, VERSION)


def test_the_file_of_another_program_is_refused_and_not_touched(tmp_path: Path) -> None:
    other = sqlite3.connect(tmp_path / DATABASE)
    other.execute("CREATE TABLE recipes (name TEXT)")
    other.commit()
    other.close()
    before = (tmp_path / DATABASE).read_bytes()
    for opening in (open_store, open_read_only):
        with pytest.raises(UnfitStoreError) as refused:
            opening(tmp_path)
        assert "not a ledger" in refused.value.problem
    assert (tmp_path / DATABASE).read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_the_folder_given_back(tmp_path: Path) -> None:
    (tmp_path / DATABASE).write_bytes(b"not a database" * 400)
    with pytest.raises(StoreError):
        open_store(tmp_path)
    (tmp_path / DATABASE).unlink()
    open_store(tmp_path).close()


def test_after_closing_everything_is_refused(tmp_path: Path) -> None:
    _written(tmp_path)
    store = open_store(tmp_path)
    log = open_log(COLLECTION, store, EventCodec())
    store.close()
    store.close()
    with pytest.raises(ClosedError):
        log.write(lambda writer: writer.head())
    with pytest.raises(ClosedError), log.read():
        pass


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")
def test_a_store_is_not_used_after_a_fork(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _written(tmp_path)
    store = open_store(tmp_path)
    log = open_log(COLLECTION, store, EventCodec())
    own = os.getpid()
    with monkeypatch.context() as forked:
        forked.setattr(os, "getpid", lambda: own + 1)
        with pytest.raises(ClosedError):
            log.write(lambda writer: writer.head())
        with pytest.raises(ClosedError), log.read():
            pass
        store.close()
    # The child's closing did nothing to the parent's.
    assert log.write(lambda writer: writer.head()).size == 2
    store.close()


def test_collections_share_a_store_and_nothing_else(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    logs = []
    for name in (COLLECTION, OTHER):
        make_collection(store, name, WHEN)
        logs.append(open_log(name, store, EventCodec()))
    first, second = (Scribe(log, name) for log, name in zip(logs, "ab", strict=True))
    first.buy(book="b1", key="k")
    second.buy(book="b1", key="k")
    first.add("b1", a_note())
    with logs[0].read() as one, logs[1].read() as two:
        assert (one.head().size, two.head().size) == (2, 1)
        assert one.entry(1).leaf != two.entry(1).leaf
        assert len(two.of_book("b1")) == 1
        assert len(list(two.listings())) == 1
    assert sorted(collections(store)) == sorted([COLLECTION, OTHER])
    assert [check_ledger(log) for log in logs] == [2, 1]
    store.close()


def test_a_collection_is_made_once_and_under_a_name_that_can_be_signed_for(tmp_path: Path) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    with pytest.raises(ConflictError):
        make_collection(store, COLLECTION, WHEN)
    with pytest.raises(MalformedError):
        make_collection(store, "Too Short", WHEN)
    with pytest.raises(NotFoundError) as refused:
        open_log(OTHER, store, EventCodec())
    assert (refused.value.what, refused.value.name) == ("collection", OTHER)
    store.close()


@pytest.mark.parametrize("reading", [True, False])
def test_a_schema_damaged_so_that_it_is_no_text_is_told_as_the_stores_failure(tmp_path: Path, *, reading: bool) -> None:
    store = open_store(tmp_path)
    make_collection(store, COLLECTION, WHEN)
    store.close()
    path = tmp_path / DATABASE
    data = path.read_bytes()
    # Its name is no text any more, and its statement no statement, so that SQLite complains of it by its name.
    for old, new in (
        (b"tablesealed_value", b"tableseal\xec\xe9_value"),
        (b"CREATE TABLE sealed_v", b"CREATX TABLE sealed_v"),
    ):
        assert data.count(old) == 1
        data = data.replace(old, new)
    path.write_bytes(data)
    with pytest.raises(StoreError) as refused:
        (open_read_only if reading else open_store)(tmp_path)
    assert refused.value.problem == "a text in the file is damaged"


def test_an_error_of_the_database_tells_nothing_of_what_was_to_be_written(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    store = open_store(tmp_path)
    statement = text("INSERT INTO collection VALUES (:secret, NULL, NULL)")
    given = {"secret": WHEN.isoformat()}
    with pytest.raises(DBAPIError) as caught:
        store.write("", lambda connection: connection.execute(statement, given))
    assert given["secret"] not in "".join(traceback.format_exception(caught.value)) + caplog.text
    store.close()
