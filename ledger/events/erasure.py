"""erasure: salt and value of sealed fields are deleted everywhere; every proof stays valid."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

from ledger.errors import Problem
from ledger.events._base import Event, Lane, Scope, fact, sealed
from ledger.events.correction import NEW, Correction
from ledger.sealed import Sealed, SealState

if TYPE_CHECKING:
    from ledger.entry import Entry


@dataclass(frozen=True, kw_only=True)
class Erased:
    """One sealed field of one entry."""

    entry: int = fact("Entry", ge=1)
    name: str = fact("Field", max_length=60)


@dataclass(frozen=True, kw_only=True)
class Erasure(Event):
    """Sealed fields of an entry were deleted for good, wherever they were kept here.

    Keeps: a value that was sealed anew by a correction goes with the one it corrected; `complete` finds those, and
    leaves out what was erased before.

    Rules: 1 the entry stands in the same chain. 2 Every field named is a sealed one of it. 3 Something is erased.
    4 It has not been erased before.
    """

    kind: ClassVar[str] = "erasure"
    title: ClassVar[str] = "Erasure"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.EITHER
    after_sale: ClassVar[bool] = True

    entry: int = fact("Entry", "Number of the entry.", ge=1)
    names: tuple[str, ...] = fact("Fields", "Names of the sealed fields to erase.", min_length=1, max_length=40)
    erased: tuple[Erased, ...] = fact("Erased", "Every place it was deleted from; filled in.", default=())
    reason: Sealed[str] = sealed("Reason", "Why; do not write the erased value here.")

    def complete(self, entries: "Sequence[Entry]") -> Self:
        """The erasure with every entry that holds one of these values."""
        places = []
        for each in entries:
            held = each.event.sealed_fields()
            if each.seq == self.entry:
                places += [Erased(entry=each.seq, name=name) for name in self.names if not _gone(held.get(name))]
            if isinstance(each.event, Correction) and each.event.entry == self.entry:
                anew = [name for name in self.names if name in each.event.changes]
                places += [Erased(entry=each.seq, name=NEW + name) for name in anew if not _gone(held.get(NEW + name))]
        return replace(self, erased=tuple(dict.fromkeys(places)))

    def mends(self, target: "Entry | None") -> Iterator[Problem]:
        """The rules it breaks on the entry it names."""
        if target is None:
            yield self.rule(1, f"Entry {self.entry} is not one of this book's entries. Name one of them.", "entry")
            return
        held = target.event.sealed_fields()
        for name in self.names:
            if name not in held:
                yield self.rule(
                    2, f"{name} is not a sealed field of entry {self.entry}; only sealed ones can go.", "names"
                )
            elif not any(place.name in (name, NEW + name) for place in self.erased):
                yield self.rule(4, f"{name} of entry {self.entry} was erased before.", "names", [target.seq])
        if not self.names:
            yield self.rule(3, "Nothing is erased. Name at least one sealed field.", "names")

    def summary(self) -> str:
        """Which fields of which entry."""
        return f"Erases {', '.join(self.names)} of entry {self.entry}"


def _gone(held: Sealed[Any] | None) -> bool:
    return held is not None and held.state is SealState.ERASED
