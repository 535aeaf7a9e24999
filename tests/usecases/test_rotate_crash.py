"""A new key that is started while everything can break off: the ledger can always sign, and the change is made once."""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import ConflictError, StoreError
from ledger.events.key import Action
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.store.engine import SqliteStore
from ledger.store.log import SqlLog
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.rotate import Why, keys_on_record, start_new_key
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.check import check_ledger
from tests.store.faults import WAYS, Way

REQUEST = Request(key="form a", body=b"new key")
FILE_STEPS = ("fsync", "replace")


class CrashError(BaseException):
    """The program is gone from one moment to the next: nothing catches it."""


class Steps:
    """Counts the steps that reach the disk, and breaks off at one of them: before it is done, or after."""

    def __init__(self, at: int | None, way: Way, error: type[BaseException]) -> None:
        self.count, self.names, self._at, self._way, self._error = 0, list[str](), at, way, error

    def step(self, name: str, call: Callable[[], Any]) -> Any:
        self.count += 1
        self.names.append(name)
        failing = self.count == self._at
        done = None if failing and self._way == "not done" else call()
        if failing:
            raise self._error(28, "No space left on device") if self._error is OSError else self._error
        return done


class WatchedLog:
    """A log whose writing is one step."""

    def __init__(self, log: Any, steps: Steps) -> None:
        self._log, self._steps = log, steps

    def write(self, work: Any) -> Any:
        return self._steps.step("write", lambda: self._log.write(work))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._log, name)


@contextmanager
def watched(steps: Steps) -> Iterator[None]:
    """Forcing to the disk and renaming are steps."""
    with pytest.MonkeyPatch.context() as patched:
        fsync, move = os.fsync, Path.replace
        patched.setattr(os, "fsync", lambda handle: steps.step("fsync", lambda: fsync(handle)))
        patched.setattr(Path, "replace", lambda self, to: steps.step("replace", lambda: move(self, to)))
        yield


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with one book and a checkpoint, closed."""
    folder = tmp_path_factory.mktemp("made")
    with open_ledger(in_folder(folder)) as ledger:
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
        sign_checkpoint(ledger, OWNER)
    return folder


def in_folder(folder: Path) -> Settings:
    return Settings(folder=str(folder / "data"), keys=str(folder / "keys"))


def copied(made: Path, folder: Path) -> Settings:
    shutil.copytree(made, folder)
    return in_folder(folder)


def broken_off(settings: Settings, why: Why, steps: Steps, *, lost: bool = False) -> None:
    """The change is tried, and breaks off if the steps say so."""
    with open_ledger(settings, lost_key=lost) as ledger, watched(steps):
        start_new_key(replace(ledger, log=WatchedLog(ledger.log, steps)), OWNER, why, REQUEST)


def in_use(ledger: Ledger) -> str:
    return keys_on_record(ledger, OWNER)[-1].period.vkey


def stands_and_is_finished(settings: Settings, why: Why, *, lost: bool = False) -> int:
    """After the next start all is well, and the same request makes the change once; how many keys there were before."""
    with open_ledger(settings, lost_key=lost) as ledger:
        before = len(keys_on_record(ledger, OWNER))
        if ledger.signer.at_hand:
            assert ledger.signer.verifier.vkey == in_use(ledger)
            record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
            sign_checkpoint(ledger, OWNER)
            assert verify_ledger(ledger, OWNER).findings == []
        else:
            assert before == 1, "without the key nothing has changed yet"
        started = start_new_key(ledger, OWNER, why, REQUEST)
        assert started.recorded.replayed == (before > 1)
        assert started.checkpoint is not None
        assert len(keys_on_record(ledger, OWNER)) == 2
        check_ledger(ledger)
    with open_ledger(settings) as ledger:
        assert ledger.signer.at_hand
        assert ledger.signer.verifier.vkey == in_use(ledger)
        assert verify_ledger(ledger, OWNER).findings == []
    return before


@pytest.mark.parametrize("error", [CrashError, OSError])
@pytest.mark.parametrize("way", WAYS)
def test_a_hand_over_that_breaks_off_at_any_step_leaves_a_ledger_that_can_sign(
    made: Path, tmp_path: Path, way: Way, error: type[BaseException]
) -> None:
    steps = Steps(None, way, error)
    broken_off(copied(made, tmp_path / "count"), Why(), steps)
    # The old key signs, the new one is kept, its entry is written; what the file of the old one held is laid beside, the
    # new one takes its place, signs, and the anchor moves onto what it signed.
    to_file = ["fsync", "replace", "fsync"]
    assert steps.names == ["write", *to_file, "write", *to_file, *to_file, "write", *to_file]
    keys = {}
    for at in range(1, steps.count + 1):
        settings = copied(made, tmp_path / f"at {at}")
        with pytest.raises((error, ConflictError, StoreError)):
            broken_off(settings, Why(), Steps(at, way, error))
        keys[at] = stands_and_is_finished(settings, Why())
    entry = steps.names.index("write", 1) + 1
    named = entry if way != "not done" else entry + 1
    assert keys == {at: 1 if at < named else 2 for at in keys}


@pytest.mark.parametrize("way", WAYS)
def test_a_lost_key_that_is_told_of_while_something_breaks_off_is_told_of_once(
    made: Path, tmp_path: Path, way: Way
) -> None:
    why = Why(action=Action.LOST)
    steps = Steps(None, way, CrashError)
    broken_off(without_key(made, tmp_path / "count"), why, steps, lost=True)
    for at in range(1, steps.count + 1):
        settings = without_key(made, tmp_path / f"at {at}")
        with pytest.raises(CrashError):
            broken_off(settings, why, Steps(at, way, CrashError), lost=True)
        stands_and_is_finished(settings, why, lost=True)


def without_key(made: Path, folder: Path) -> Settings:
    settings = copied(made, folder)
    shutil.rmtree(settings.keys)
    return settings


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("commit", [1, 2])
def test_a_store_that_fails_while_a_key_is_changed_leaves_a_ledger_that_can_sign(
    made: Path, tmp_path: Path, commit: int, way: Way
) -> None:
    settings = copied(made, tmp_path / "copy")
    with open_ledger(settings) as ledger:
        # Something new, so that the old key signs first: the first commit is its checkpoint, the second the entry.
        record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)])
        commits_that_fail(ledger, commit, way)
        with pytest.raises(StoreError):
            start_new_key(ledger, OWNER, Why(), REQUEST)
    before = stands_and_is_finished(settings, Why())
    assert before == (2 if commit == 2 and way != "not done" else 1)


def commits_that_fail(ledger: Ledger, at: int, way: Way) -> None:
    """One commit of the writer fails, as on a disk that is full."""
    assert isinstance(ledger.log, SqlLog)
    assert isinstance(ledger.log._store, SqliteStore)
    assert ledger.log._store._writer is not None
    dialect: Any = ledger.log._store._writer._connection.engine.dialect
    commit, count = dialect.do_commit, 0

    def failing(connection: Any) -> None:
        nonlocal count
        count += 1
        if count != at or way != "not done":
            commit(connection)
        if count == at:
            raise sqlite3.OperationalError("disk I/O error")

    dialect.do_commit = failing
