"""A log that is read and not written to, until its owner has seen what is wrong with it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import TypeVar

from ledger.errors import HeldError
from ledger.ports import Log, Reader, Writer

__all__ = ["HeldLog"]

T = TypeVar("T")


class HeldLog:
    """As `ports.Log`, with every write refused for one reason until it is let go."""

    def __init__(self, inner: Log, sentence: str) -> None:
        self.inner, self.sentence = inner, sentence
        self._held = True

    @property
    def held(self) -> bool:
        """Nothing is written."""
        return self._held

    def write(self, work: Callable[[Writer], T]) -> T:
        """Raises: HeldError, until it is let go."""
        if self._held:
            raise HeldError(sentence=self.sentence)
        return self.inner.write(work)

    def read(self) -> AbstractContextManager[Reader]:
        """As ever."""
        return self.inner.read()

    def rebuild(self) -> int:
        """As ever: nothing is made that does not stand in the entries."""
        return self.inner.rebuild()

    def let_go(self) -> None:
        """From now on it is written to."""
        self._held = False
