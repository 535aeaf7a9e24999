"""Files of one sort in a folder beside the ledger, each made in a thread of its own, for its owner alone to read."""

import logging
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Any, BinaryIO, Final, Generic, TypeVar, cast

from ledger.adapters.folders import make_folder
from ledger.errors import ClosedError, LedgerError, NotFoundError
from ledger.makings import KEPT_FOR, KEPT_MOST, Making, Progress, State
from ledger.ports import Clock

__all__ = ["FileMakings"]

_WAIT_SECONDS: Final = 5.0
_PIECE: Final = 1 << 20

_log = logging.getLogger(__name__)

M = TypeVar("M", bound=Making[Any])
Outcome = TypeVar("Outcome")


class FileMakings(Generic[M, Outcome]):
    """As `makings.Makings`; `what` is the word for one of them.

    Keeps: nothing outlasts the program; what an earlier one left behind is gone when the first one is begun, when it lay
    there long enough, or when all of them are taken away. A file that somebody fetches just now is emptied at least.
    """

    def __init__(self, folder: Path, clock: Clock, what: str) -> None:
        self._folder, self._clock, self._what = folder, clock, what
        self._lock = Lock()
        self._known: dict[str, M] = {}
        self._thread: Thread | None = None
        self._stopping = Event()
        self._cleared = False

    def begin(self, making: M, work: Callable[[BinaryIO, Progress], Outcome]) -> bool:
        """The file is made from now on; False where another one is."""
        with self._lock:
            if self._stopping.is_set() or any(each.state is State.UNDER_WAY for each in self._known.values()):
                return False
            self._clear()
            self._known[making.id] = making
            for own in list(self._known)[:-KEPT_MOST]:
                self._drop(own)
            # One that was called off may not have come to its next count yet; still they are made one at a time.
            given = (making.id, work, self._thread)
            self._thread = Thread(target=self._do, args=given, name=f"making: {self._what}", daemon=True)
            self._thread.start()
        return True

    def all(self) -> list[M]:
        """Those that are there, the newest first."""
        return list(reversed(self._known.values()))

    def named(self, own: str) -> M:
        """The one of that id.

        Raises: NotFoundError.
        """
        found = self._known.get(own)
        if found is None:
            raise NotFoundError(what=self._what, name=own)
        return found

    def pieces(self, own: str) -> Iterator[bytes]:
        """Its bytes, a piece at a time; it is found before the first of them is asked for."""
        if self.named(own).state is not State.READY:
            raise NotFoundError(what=self._what, name=own)
        try:
            return _read(self._path(own).open("rb"))
        except FileNotFoundError as error:  # it was taken away in between
            raise NotFoundError(what=self._what, name=own) from error

    def take_away(self, own: str) -> None:
        """It is gone; of one that is under way the work ends at its next count."""
        with self._lock:
            self.named(own)
            self._drop(own)

    def empty(self) -> int:
        """None is left, nor any file of an earlier program; those under way are called off. How many were known."""
        with self._lock:
            known = list(self._known)
            for own in known:
                self._drop(own)
            for path in self._left():
                _unlink(path)
        return len(known)

    def sweep(self) -> None:
        """Those that lay there long enough are gone."""
        now = self._clock.now()
        with self._lock:
            for each in list(self._known.values()):
                if each.ended is not None and now >= each.ended + KEPT_FOR:
                    self._drop(each.id)
            for path in self._left():
                with suppress(OSError):
                    if now.timestamp() >= path.stat().st_mtime + KEPT_FOR.total_seconds():
                        _unlink(path)

    def wait(self, seconds: float | None = None) -> None:
        """Until none is under way any more."""
        thread = self._thread
        if thread is not None:
            thread.join(seconds)

    def stop(self) -> None:
        """None is under way any more, and none is left."""
        self._stopping.set()
        self.wait(_WAIT_SECONDS)
        with self._lock:
            for own in list(self._known):
                self._drop(own)
            if self._cleared:
                shutil.rmtree(self._folder, ignore_errors=True)

    def _do(self, own: str, work: Callable[[BinaryIO, Progress], Outcome], before: Thread | None) -> None:
        if before is not None:
            before.join()
        changes: dict[str, Any] = {"state": State.FAILED}
        try:
            self._count(own, 0, 0)
            handle = os.open(self._path(own), os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(handle, "w+b") as file:
                outcome = work(cast("BinaryIO", file), lambda done, expected: self._count(own, done, expected))
            changes = {"state": State.READY, "outcome": outcome}
        except LedgerError as error:
            changes["failure"] = str(error)
        except OSError as error:
            changes["failure"] = f"The {self._what} could not be written: {error.strerror or error}."
        except Exception:  # noqa: BLE001  (nobody stands above a thread; whoever looks is told)
            _log.exception("%s failed", self._what)
            changes["failure"] = "Something failed inside the program; its log says what."
        with self._lock:
            known = own in self._known
            if known:
                self._known[own] = replace(self._known[own], ended=self._clock.now(), **changes)
            if not known or changes["state"] is State.FAILED or self._stopping.is_set():
                _unlink(self._path(own))

    def _count(self, own: str, done: int, expected: int) -> None:
        with self._lock:
            if self._stopping.is_set() or own not in self._known:
                raise ClosedError
            self._known[own] = replace(self._known[own], done=done, expected=expected)

    def _clear(self) -> None:
        if not self._cleared:
            shutil.rmtree(self._folder, ignore_errors=True)
            make_folder(self._folder, mode=0o700)
            self._cleared = True

    def _drop(self, own: str) -> None:
        if self._known.pop(own).state is not State.UNDER_WAY:
            # Of one that is under way the file is open, and whoever makes it takes it away.
            _unlink(self._path(own))

    def _left(self) -> list[Path]:
        """Files that are none of those that are known."""
        return [each for each in self._folder.glob("*") if each.name not in self._known]

    def _path(self, own: str) -> Path:
        return self._folder / own


def _unlink(path: Path) -> None:
    """Some systems keep the name of a file that is being read; what stands in it is gone all the same."""
    try:
        path.unlink(missing_ok=True)
    except OSError:
        with suppress(OSError):
            os.truncate(path, 0)


def _read(file: BinaryIO) -> Iterator[bytes]:
    with file:
        while piece := file.read(_PIECE):
            yield piece
