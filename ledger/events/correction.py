"""correction: new values for named fields of an entry, with a reason; both states stay visible."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, ClassVar, Self

from ledger.errors import Problem
from ledger.events._base import Event, Lane, Scope, fact, is_sealed, sealed, shown_names, with_article
from ledger.events.withdrawal import NOT_WITHDRAWN, stands
from ledger.sealed import Sealed, SealState

if TYPE_CHECKING:
    from ledger.entry import Entry

NEW = "new."
"""Before the name of a sealed field that a correction seals anew."""


@dataclass(frozen=True, kw_only=True)
class Correction(Event):
    """Named fields of an entry have new values from now on, for a reason.

    Keeps: a sealed field is sealed anew under `new.` and its own name, so that it can be erased alone; every sealed
    name of the corrected kind gets a digest, so that the digests do not tell which were changed. Until `complete` has
    seen the entry, `changes` holds all new values plainly; after it, the sealed ones among them are sealed.

    Rules: 1 the entry stands in the same chain. 2 Its kind can be corrected. 3 Every field named is one of that kind.
    4 Something is changed. 5 A sealed field is not corrected to nothing; that is an erasure.
    """

    kind: ClassVar[str] = "correction"
    title: ClassVar[str] = "Correction"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.EITHER
    after_sale: ClassVar[bool] = True

    entry: int = fact("Entry", "Number of the entry that is corrected.", ge=1)
    changes: Mapping[str, Any] = fact("Changes", "New values by field name, each in the form its kind takes.")
    of_kind: str | None = fact("Kind corrected", "Filled in from the entry.", default=None)
    reason: Sealed[str] = sealed("Reason", "Why the entry was wrong.", shown=True)

    def complete(self, entries: "Sequence[Entry]") -> Self:
        """The correction with the kind it corrects, and its sealed changes sealed."""
        target = next((each.event for each in entries if each.seq == self.entry), None)
        if target is None:
            return self
        names = {each.name for each in fields(target) if is_sealed(each)}
        changes = {
            name: Sealed.of(value) if name in names and not isinstance(value, Sealed) else value
            for name, value in self.changes.items()
        }
        return replace(self, changes=changes, of_kind=target.kind)

    def mends(self, target: "Entry | None") -> Iterator[Problem]:
        """The rules it breaks on the entry it names."""
        if target is None:
            yield self.rule(1, f"Entry {self.entry} is not one of this book's entries. Name one of them.", "entry")
            return
        if target.event.kind in NOT_CORRECTED:
            said = f"{with_article(target.event.kind).capitalize()} is not corrected. Withdraw it, and write another."
            said = stands(target.event) if target.event.kind in NOT_WITHDRAWN else said
            yield self.rule(2, said, "entry", [target.seq])
            return
        named = {each.name for each in fields(target.event)}
        for name in sorted(set(self.changes) - named):
            sentence = f"{with_article(target.event.kind).capitalize()} has no field {name}. Leave it out."
            yield self.rule(3, sentence, f"changes.{name}")
        if not self.changes:
            yield self.rule(4, "Nothing is changed. Name at least one field with its new value.", "changes")
        for name, value in self.changes.items():
            if isinstance(value, Sealed) and value.empty:
                yield self.rule(5, f"To take {name} out, erase it; a correction gives a new value.", f"changes.{name}")

    def sealed_fields(self) -> dict[str, Sealed[Any]]:
        """The reason and, under `new.`, every sealed name of the corrected kind, changed or not."""
        from ledger.events import KINDS  # noqa: PLC0415  (the list of kinds is made from files like this one)

        target = KINDS.get(self.of_kind or "")
        names = [each.name for each in fields(target) if is_sealed(each)] if target else []
        anew = {f"{NEW}{name}": self.changes.get(name, Sealed()) for name in names}
        return {"reason": self.reason, **anew}

    def shown_fields(self) -> frozenset[str]:
        """The reason, and new values of what the corrected kind shows."""
        from ledger.events import KINDS  # noqa: PLC0415  (as above)

        target = KINDS.get(self.of_kind or "")
        anew = shown_names(target) if target else ()
        return super().shown_fields() | {f"{NEW}{name}" for name in anew}

    def with_sealed(self, values: Mapping[str, Sealed[Any]]) -> Self:
        """The correction with its sealed changes back among the others."""
        anew = {
            name.removeprefix(NEW): value for name, value in values.items() if name.startswith(NEW) and not value.empty
        }
        return replace(self, reason=values.get("reason", self.reason), changes={**self.changes, **anew})

    def open_form(self) -> Self:
        """The correction without its sealed changes."""
        return replace(self, changes={n: value for n, value in self.changes.items() if not isinstance(value, Sealed)})

    def summary(self) -> str:
        """Which entry and which fields; where what is sealed is not at hand, nobody can tell which of it was changed."""
        shut = {name for name, value in self.changes.items() if _is_shut(value)}
        named = [title for name, title in self._titles().items() if name not in shut]
        if len(named) < len(self.changes):
            named.append("what is sealed" if not named else "and perhaps what is sealed")
        return f"Corrects entry {self.entry}: {', '.join(named) or 'nothing'}"

    def _titles(self) -> dict[str, str]:
        """What the fields that it changes are called, in the order of their kind."""
        from ledger.events import KINDS  # noqa: PLC0415  (as above)

        target = KINDS.get(self.of_kind or "")
        known = {each.name: str(each.metadata.get("title", each.name)) for each in fields(target)} if target else {}
        order = [name for name in known if name in self.changes]
        return {name: known.get(name, name) for name in (*order, *sorted(set(self.changes) - set(order)))}


def _is_shut(value: object) -> bool:
    return isinstance(value, Sealed) and value.state is SealState.WITHHELD


NOT_CORRECTED = frozenset({"correction", "withdrawal", "erasure", "key", "disclosure", "restored", "not-understood"})
"""Kinds whose entries are acts on the ledger itself; they are withdrawn or stand."""
