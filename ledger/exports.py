"""Archives that a server makes for its owner: begun, looked at while they are written, taken, and gone after a day."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import BinaryIO, Final, Protocol

__all__ = ["KEPT_FOR", "KEPT_MOST", "Export", "Exports", "Outcome", "Progress", "State"]

KEPT_FOR: Final = timedelta(days=1)
"""It holds everything in the clear, so it lies about no longer than it takes to fetch it. Our assumption."""
KEPT_MOST: Final = 2
"""Archives at once; of more the oldest goes."""

Progress = Callable[[int, int], None]


class State(StrEnum):
    """How far it is."""

    UNDER_WAY = "under way"
    READY = "ready"
    FAILED = "failed"


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What an archive came to."""

    size: int
    """Bytes of the file."""
    entries: int
    pictures: int
    missing: tuple[str, ...]
    """Photographs that are not in it, by their digests."""


@dataclass(frozen=True, kw_only=True)
class Export:
    """One archive: how far it is, and what it came to."""

    id: str
    begun: datetime
    keys: bool
    """The signing key goes along."""
    state: State = State.UNDER_WAY
    done: int = 0
    expected: int = 0
    """Lines and photographs; 0 until they are counted."""
    ended: datetime | None = None
    outcome: Outcome | None = None
    failure: str = ""
    """Why it did not come to its end; empty where it did, or is under way."""


class Exports(Protocol):
    """Where they are made, one at a time.

    `begin` comes back at once, and is False where another one is under way. `pieces` is the file of one that is ready.
    Raises: NotFoundError from `pieces` and `take_away`.
    """

    def begin(self, export: Export, work: Callable[[BinaryIO, Progress], Outcome]) -> bool: ...
    def all(self) -> list[Export]: ...
    def pieces(self, own: str) -> Iterator[bytes]: ...
    def take_away(self, own: str) -> None: ...
    def sweep(self) -> None: ...
    def stop(self) -> None: ...
