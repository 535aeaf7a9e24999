"""restored: the ledger was put back from a backup, and the owner confirmed how many entries are missing."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from ledger.errors import Problem
from ledger.events._base import At, Event, Lane, Scope, fact, sealed
from ledger.sealed import Sealed

if TYPE_CHECKING:
    from ledger.collection import Collection


@dataclass(frozen=True, kw_only=True)
class Restored(Event):
    """The ledger goes on from a backup, and everybody can see what was lost by it.

    Keeps: it stands for good. An anchor older than the backup misses nothing.

    Rules: 1 as many are missing as the anchor counts beyond the backup.
    """

    kind: ClassVar[str] = "restored"
    title: ClassVar[str] = "Restored"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.COLLECTION
    as_recorded: ClassVar[bool] = True

    missing: int = fact("Missing entries", "Entries that were lost.", ge=0)
    anchor_size: int | None = fact(
        "Size at the anchor", "Entries; null when no anchor was at hand.", default=None, ge=0
    )
    restored_size: int | None = fact("Size restored", "Entries in the backup.", default=None, ge=0)
    remark: Sealed[str] = sealed("Remark")

    def flaws(self) -> Iterator[Problem]:
        """Rule 1."""
        yield from super().flaws()
        if self.anchor_size is None or self.restored_size is None:
            return
        count = max(0, self.anchor_size - self.restored_size)
        if self.missing != count:
            sentence = (
                f"The anchor has {self.anchor_size} entries and the backup {self.restored_size}: write {count} missing."
            )
            yield self.rule(1, sentence, "missing")

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """One more restore."""
        return replace(collection, restores=(*collection.restores, at.seq))

    def summary(self) -> str:
        """How many entries are missing."""
        count = {0: "no entry", 1: "one entry"}.get(self.missing, f"{self.missing} entries")
        return f"Restored from a backup; {count} missing" + (
            "" if self.anchor_size is not None else ", as far as is known"
        )
