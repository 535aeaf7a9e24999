"""Works on tables that go on just now: how far each is, and whether somebody called it off."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock

from ledger.errors import ConflictError

__all__ = ["CalledOffError", "Run", "Runs"]


@dataclass(eq=False, kw_only=True)
class CalledOffError(ConflictError):
    """Somebody called the work off; nothing of it was kept."""

    sentence: str = "It was called off, and nothing was written."


@dataclass
class Run:
    """One work."""

    done: int = 0
    expected: int = 0
    called_off: bool = False


class Runs:
    """Every work that goes on, by the table it is about.

    Keeps: there is one for each table at most; nothing outlasts the program.
    """

    def __init__(self) -> None:
        self._runs: dict[str, Run] = {}
        self._lock = Lock()

    def of(self, own: str) -> Run | None:
        """The work about that table, if one goes on."""
        return self._runs.get(own)

    def call_off(self, own: str) -> bool:
        """It ends at its next count; False where none goes on."""
        run = self._runs.get(own)
        if run is not None:
            run.called_off = True
        return run is not None

    @contextmanager
    def going(self, own: str) -> Iterator[Run]:
        """A work about that table, while it is done.

        Raises: ConflictError where one goes on.
        """
        with self._lock:
            if own in self._runs:
                raise ConflictError(sentence="This table is being worked on. Wait until it is done, or call it off.")
            run = self._runs[own] = Run()
        try:
            yield run
        finally:
            with self._lock:
                del self._runs[own]

    @staticmethod
    def tell(run: Run, done: int, expected: int) -> None:
        """How far it is.

        Raises: CalledOffError.
        """
        if run.called_off:
            raise CalledOffError
        run.done, run.expected = done, expected
