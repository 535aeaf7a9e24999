"""Files that were looked at and wait for a yes: a few, for a while, in memory, each for the session that sent it."""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Lock
from typing import Final, Generic, TypeVar

__all__ = ["HELD_MINUTES", "HELD_MOST", "HeldFiles"]

T = TypeVar("T")

HELD_MOST: Final = 4
"""Looks at files at once; one more, and the oldest is forgotten."""
HELD_MINUTES: Final = 30


@dataclass(frozen=True)
class _Held(Generic[T]):
    owner: bytes
    until: datetime
    what: Sequence[T]


class HeldFiles(Generic[T]):
    """What is held under a name that nobody can guess."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, _Held[T]] = OrderedDict()
        self._lock = Lock()

    def hold(self, name: str, owner: bytes, what: Sequence[T], now: datetime) -> None:
        """It is there for half an hour, for that session alone."""
        with self._lock:
            self._held[name] = _Held(owner, now + timedelta(minutes=HELD_MINUTES), what)
            while len(self._held) > HELD_MOST:
                self._held.popitem(last=False)

    def take(self, name: str, owner: bytes, now: datetime) -> Sequence[T]:
        """What is held; nothing where it is not, is another's, or its time is over."""
        with self._lock:
            held = self._held.get(name)
        return held.what if held is not None and held.owner == owner and now < held.until else ()

    def let_go(self, name: str) -> None:
        """It was answered."""
        with self._lock:
            self._held.pop(name, None)
