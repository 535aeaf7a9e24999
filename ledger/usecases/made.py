"""What was made of one sort lies here for who may see it: looked at, fetched, called off or taken away."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import BinaryIO, Generic, TypeVar

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, NotFoundError
from ledger.makings import Making, Makings, Progress
from ledger.ports import Ledger

__all__ = ["Made"]

M = TypeVar("M", bound=Making)  # type: ignore[type-arg]  # of whatever outcome its files have
Outcome = TypeVar("Outcome")


@dataclass(frozen=True, kw_only=True)
class Made(Generic[M, Outcome]):
    """Files of one sort, under the name that people call them by, for those who have the permission that they need.

    Raises: ForbiddenError; NotFoundError for one that is not here; ConflictError to begin one where the ledger is open
    for reading only, or another one is under way.
    """

    sort: str
    needed: Permission
    of: Callable[[Ledger], Makings[M, Outcome] | None]

    def begin(self, ledger: Ledger, making: M, work: Callable[[BinaryIO, Progress], Outcome]) -> None:
        """It is made from now on; whether it may be is for who begins it."""
        makings = self.of(ledger)
        if makings is None:
            raise ConflictError(sentence=f"No {self.sort} can be made here: this ledger is open for reading only.")
        if not makings.begin(making, work):
            raise ConflictError(sentence=f"Another {self.sort} is being made. Wait until it is done.")

    def all(self, ledger: Ledger, actor: Actor) -> list[M]:
        """Those that are here, the newest first."""
        actor.require(self.needed)
        makings = self.of(ledger)
        return [] if makings is None else makings.all()

    def named(self, ledger: Ledger, actor: Actor, own: str) -> M:
        """How far one is."""
        return self._where(ledger, actor, own).named(own)

    def pieces(self, ledger: Ledger, actor: Actor, own: str) -> Iterator[bytes]:
        """The file of one that is ready, a piece at a time."""
        return self._where(ledger, actor, own).pieces(own)

    def take_away(self, ledger: Ledger, actor: Actor, own: str) -> None:
        """It lies here no longer; one that is under way is called off."""
        self._where(ledger, actor, own).take_away(own)

    def sweep(self, ledger: Ledger) -> None:
        """Those that lay here long enough are gone."""
        if (makings := self.of(ledger)) is not None:
            makings.sweep()

    def _where(self, ledger: Ledger, actor: Actor, own: str) -> Makings[M, Outcome]:
        actor.require(self.needed)
        makings = self.of(ledger)
        if makings is None:
            raise NotFoundError(what=self.sort, name=own)
        return makings
