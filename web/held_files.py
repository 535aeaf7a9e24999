"""Files that were looked at and wait for a yes: a few, for a while, in memory, each for the session that sent it."""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Lock, Timer
from typing import Final, Generic, TypeVar

__all__ = ["HELD_BYTES_MOST", "HELD_MINUTES", "HELD_MOST", "HeldFiles", "later"]

T = TypeVar("T")
Later = Callable[[float, Callable[[], None]], Callable[[], None]]
"""Has something done after so many seconds, and gives what calls that off."""

HELD_MOST: Final = 4
"""Looks at files at once; one more, and the oldest is forgotten."""
HELD_BYTES_MOST: Final = 512 * 1024 * 1024
"""Bytes of all of them: twice what one look may unpack. One more than fits, and the oldest is forgotten. Our assumption."""
HELD_MINUTES: Final = 30


def later(seconds: float, work: Callable[[], None]) -> Callable[[], None]:
    """It is done then, unless it was called off or the program has ended."""
    timer = Timer(seconds, work)
    timer.daemon = True
    timer.start()
    return timer.cancel


@dataclass(frozen=True)
class _Held(Generic[T]):
    owner: bytes
    until: datetime
    what: Sequence[T]
    size: int
    call_off: Callable[[], None]


class HeldFiles(Generic[T]):
    """What is held under a name that nobody can guess.

    Keeps: nothing is there after its half hour, whether anybody comes again or not, and never more than `most` bytes.
    """

    def __init__(self, size_of: Callable[[T], int], *, most: int = HELD_BYTES_MOST, after: Later = later) -> None:
        self._held: OrderedDict[str, _Held[T]] = OrderedDict()
        self._lock = Lock()
        self._size_of, self._most, self._after = size_of, most, after

    @property
    def size(self) -> int:
        """Bytes that are held."""
        with self._lock:
            return self._sum()

    def hold(self, name: str, owner: bytes, what: Sequence[T], now: datetime) -> None:
        """It is there for half an hour, for that session alone."""
        until, size = now + timedelta(minutes=HELD_MINUTES), sum(map(self._size_of, what))
        call_off = self._after(HELD_MINUTES * 60.0, lambda: self.let_go(name))
        with self._lock:
            self._held[name] = _Held(owner, until, what, size, call_off)
            while self._held and (len(self._held) > HELD_MOST or self._sum() > self._most):
                self._drop(next(iter(self._held)))

    def take(self, name: str, owner: bytes, now: datetime) -> Sequence[T]:
        """What is held; nothing where it is not, is another's, or its time is over."""
        with self._lock:
            held = self._held.get(name)
            if held is not None and now >= held.until:
                self._drop(name)
        return held.what if held is not None and held.owner == owner and now < held.until else ()

    def let_go(self, name: str) -> None:
        """It was answered, or its time is over."""
        with self._lock:
            self._drop(name)

    def _drop(self, name: str) -> None:
        held = self._held.pop(name, None)
        if held is not None:
            held.call_off()

    def _sum(self) -> int:
        return sum(each.size for each in self._held.values())
