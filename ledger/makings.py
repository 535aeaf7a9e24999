"""Files that a server makes for who asks: begun, looked at while they are made, fetched, and gone after a day."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import BinaryIO, Final, Generic, Protocol, TypeVar

__all__ = ["KEPT_FOR", "KEPT_MOST", "Making", "Makings", "Progress", "State"]

KEPT_FOR: Final = timedelta(days=1)
"""It shows much of the collection in the clear, so it lies about no longer than it takes to fetch it. Our assumption."""
KEPT_MOST: Final = 2
"""Files of one sort at once; of more the oldest goes."""

Progress = Callable[[int, int], None]
"""Told again and again by the work: how much is done, of how much; it raises when the work is to end."""

Outcome = TypeVar("Outcome")


class State(StrEnum):
    """How far it is."""

    UNDER_WAY = "under way"
    READY = "ready"
    FAILED = "failed"


@dataclass(frozen=True, kw_only=True)
class Making(Generic[Outcome]):
    """One file: how far it is, and what it came to."""

    id: str
    begun: datetime
    state: State = State.UNDER_WAY
    done: int = 0
    expected: int = 0
    """What it is counted by is its own; 0 until it is counted."""
    ended: datetime | None = None
    outcome: Outcome | None = None
    failure: str = ""
    """Why it did not come to its end; empty where it did, or is under way."""


M = TypeVar("M", bound=Making)  # type: ignore[type-arg]  # of whatever outcome its files have
Given_contra = TypeVar("Given_contra", contravariant=True)


class Makings(Protocol[M, Given_contra]):
    """Where files of one sort are made, one at a time.

    `begin` comes back at once, and is False where another one is under way. `pieces` is the file of one that is ready.
    `take_away` calls off one that is under way: its work ends at its next count, and its file is gone. `empty` does so
    with all, files that an earlier program left behind among them, and says how many were known.
    Raises: NotFoundError from `named`, `pieces` and `take_away`.
    """

    def begin(self, making: M, work: Callable[[BinaryIO, Progress], Given_contra]) -> bool: ...
    def all(self) -> list[M]: ...
    def named(self, own: str) -> M: ...
    def pieces(self, own: str) -> Iterator[bytes]: ...
    def take_away(self, own: str) -> None: ...
    def empty(self) -> int: ...
    def sweep(self) -> None: ...
    def stop(self) -> None: ...
