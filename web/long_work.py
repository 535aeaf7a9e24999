"""Long work: one at a time, in a thread of its own, with a count; its page can be left and come back to."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from threading import Event, Lock, Thread
from typing import Final

from ledger.errors import LedgerError
from ledger.ports import Clock

__all__ = ["Ended", "LongWork", "Progress", "Running", "StoppedError"]

Progress = Callable[[int, int], None]
"""Told again and again by the work: how much is done, of how much; it raises StoppedError when the work is to end."""

WAIT_SECONDS: Final = 5.0
"""How long the end of the program waits for a work that was told to stop."""

_log = logging.getLogger(__name__)


class StoppedError(LedgerError):
    """The program ends, and the work with it."""


@dataclass(frozen=True, kw_only=True)
class Running:
    """A work that is being done."""

    name: str
    since: datetime
    done: int = 0
    expected: int = 0


@dataclass(frozen=True, kw_only=True)
class Ended:
    """A work that was done, with its result, or failed."""

    name: str
    since: datetime
    at: datetime
    result: object = None
    failure: Exception | None = None
    """Null where it was done."""


class LongWork:
    """Runs one work after another, never two at once.

    Keeps: what a work returned or raised is there until the next one of its name ends; nothing outlasts the program.
    """

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._lock = Lock()
        self._running: Running | None = None
        self._thread: Thread | None = None
        self._last: dict[str, Ended] = {}
        self._stopping = Event()

    @property
    def running(self) -> Running | None:
        """What is being done now, if anything."""
        return self._running

    def last(self, name: str) -> Ended | None:
        """How the last work of that name ended; None where none has."""
        return self._last.get(name)

    def start(self, name: str, work: Callable[[Progress], object]) -> bool:
        """Begins a work and comes back at once; False where another is being done, or the program ends."""
        with self._lock:
            if self._running is not None or self._stopping.is_set():
                return False
            self._running = Running(name=name, since=self._clock.now())
            # Nothing that is written hangs on it, so the program does not wait for it longer than it must.
            self._thread = Thread(target=self._do, args=(self._running, work), name=f"long work: {name}", daemon=True)
            self._thread.start()
        return True

    def wait(self, seconds: float | None = None) -> bool:
        """Waits until nothing is being done any more; False where the time ran out before."""
        thread = self._thread
        if thread is not None:
            thread.join(seconds)
        return thread is None or not thread.is_alive()

    def stop(self) -> None:
        """Ends what is being done at its next count, and begins nothing more."""
        with self._lock:
            self._stopping.set()
        self.wait(WAIT_SECONDS)

    def _do(self, begun: Running, work: Callable[[Progress], object]) -> None:
        result: object = None
        failure: Exception | None = None
        try:
            result = work(self._count)
        except LedgerError as error:
            failure = error
        except Exception as error:  # noqa: BLE001  (nobody stands above a thread; the page tells it)
            _log.exception("%s failed", begun.name)
            failure = error
        ended = Ended(name=begun.name, since=begun.since, at=self._clock.now(), result=result, failure=failure)
        with self._lock:
            self._last[begun.name] = ended
            self._running = None

    def _count(self, done: int, expected: int) -> None:
        if self._stopping.is_set():
            raise StoppedError
        begun = self._running
        assert begun is not None
        self._running = Running(name=begun.name, since=begun.since, done=done, expected=expected)
