"""What is noted of a ledger's upkeep beside it: the last backup, the last drill, and that it was put back from a backup."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

__all__ = ["Done", "PutBack", "Upkeep", "UpkeepNotes"]


@dataclass(frozen=True, kw_only=True)
class Done:
    """A backup or a drill that came to its end."""

    when: datetime
    place: str
    size: int
    """Entries in it."""
    whole: bool
    """Verifying it found nothing."""


@dataclass(frozen=True, kw_only=True)
class PutBack:
    """The ledger came out of a backup, and its owner has not yet said that it goes on from there."""

    when: datetime
    made: str
    """When the backup was made, as its manifest says."""
    size: int


@dataclass(frozen=True, kw_only=True)
class Upkeep:
    """All of it; None where it was not done, or is not known."""

    backup: Done | None = None
    drill: Done | None = None
    put_back: PutBack | None = None


class UpkeepNotes(Protocol):
    """Where it is noted; `note` changes the parts that are named. OSError from `note`."""

    def read(self) -> Upkeep: ...
    def note(self, **changes: Done | PutBack | None) -> None: ...
