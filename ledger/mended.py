"""What mending makes of the entries of one chain: corrected, taken out of force, and what one more may not mend."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from ledger.entry import Entry
from ledger.errors import DamagedError, InvalidError, Problem
from ledger.events import Event
from ledger.events._base import with_article
from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.withdrawal import Withdrawal

__all__ = ["Amender", "Moment", "amended_flaws", "duplicate_problems", "mended", "mending_problems"]


class Amender(Protocol):
    """Puts new values into an event."""

    def amended(self, event: Event, changes: Mapping[str, Any]) -> Event:
        """The event with them; raises InvalidError when it would be none."""
        ...


@dataclass(frozen=True, kw_only=True)
class Moment:
    """One entry as it counts now: the event after its corrections, and what took it out of force."""

    entry: Entry
    event: Event
    corrected_by: tuple[int, ...] = ()
    withdrawn_by: int | None = None

    @property
    def in_force(self) -> bool:
        """It has not been withdrawn."""
        return self.withdrawn_by is None


def mended(entries: Sequence[Entry], amender: Amender, candidate: int | None = None) -> list[Moment]:
    """Entries with withdrawals and corrections in effect, as recorded.

    Raises: DamagedError where a correction that stands leaves no event of its kind; for the `candidate`, which does not
    stand yet, InvalidError.
    """
    gone = withdrawn(entries)
    corrections: dict[int, list[Entry]] = {}
    for entry in entries:
        if isinstance(entry.event, Correction) and entry.seq not in gone:
            corrections.setdefault(entry.event.entry, []).append(entry)
    moments = []
    for entry in entries:
        event, by = entry.event, corrections.get(entry.seq, [])
        for correction in by:
            assert isinstance(correction.event, Correction)
            try:
                event = amender.amended(event, correction.event.changes)
            except InvalidError as error:
                if correction.seq == candidate:
                    raise
                raise _unfit(correction, entry, error) from error
        moments.append(
            Moment(
                entry=entry,
                event=event,
                corrected_by=tuple(each.seq for each in by),
                withdrawn_by=gone.get(entry.seq),
            )
        )
    return moments


def _unfit(correction: Entry, corrected: Entry, error: InvalidError) -> DamagedError:
    where = error.problems[0].field if error.problems else ""
    problem = f"with its changes entry {corrected.seq} is no longer what {with_article(corrected.event.kind)} says"
    return DamagedError(what=f"Entry {correction.seq}", where=f"changes.{where}".rstrip("."), problem=problem)


def withdrawn(entries: Sequence[Entry]) -> dict[int, int]:
    """Entries out of force, each with the withdrawal that took it; a withdrawal can be withdrawn by a later one."""
    by: dict[int, int] = {}
    for entry in reversed(entries):
        if isinstance(entry.event, Withdrawal) and entry.event.entry is not None and entry.seq not in by:
            by[entry.event.entry] = entry.seq
    return by


def mending_problems(entries: Sequence[Entry], candidate: Entry) -> list[Problem]:
    """Rules of a correction, withdrawal or erasure on the entry it names."""
    event = candidate.event
    if not isinstance(event, Correction | Withdrawal | Erasure) or event.entry is None:
        return []
    target = next((entry for entry in entries if entry.seq == event.entry), None)
    if isinstance(event, Withdrawal):
        return list(event.mends(target, withdrawn(entries).get(event.entry)))
    return list(event.mends(target))


def duplicate_problems(entries: Sequence[Entry], candidate: Entry) -> list[Problem]:
    """A book withdrawn as a duplicate takes no more, whenever it is said to have happened."""
    if candidate.event.after_sale:
        return []
    gone = withdrawn(entries)
    withdrawals = (each for each in entries if isinstance(each.event, Withdrawal) and each.seq not in gone)
    by = [each.seq for each in withdrawals if isinstance(each.event, Withdrawal) and each.event.same_as is not None]
    sentence = "This book was withdrawn as a duplicate. Write to the other one."
    return [candidate.event.rule(0, sentence, entries=by)] if by else []


def amended_flaws(entries: Sequence[Entry], candidate: Entry, amender: Amender) -> list[Problem]:
    """What mending would make wrong with an entry by itself.

    Raises: InvalidError for a correction, under the names of its changes.
    """
    event = candidate.event
    if not isinstance(event, Correction | Withdrawal) or event.entry is None:
        return []
    before = {each.entry.seq: each.event for each in mended(entries, amender)}
    try:
        after = mended([*entries, candidate], amender, candidate.seq)
    except InvalidError as error:
        raise InvalidError(problems=_of_changes(error.problems)) from error
    changed = [each for each in after if each.event != before.get(each.entry.seq, each.event)]
    flaws = [
        (each.entry.seq, flaw)
        for each in changed
        for flaw in each.event.all_flaws()
        if flaw not in before[each.entry.seq].all_flaws()
    ]
    if flaws and isinstance(event, Correction):
        raise InvalidError(problems=_of_changes([flaw for _, flaw in flaws]))
    return [
        event.rule(7, f"With this, entry {seq} would not stand by itself: {flaw.sentence}", "entry", [seq])
        for seq, flaw in flaws
    ]


def _of_changes(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(replace(each, field=f"changes.{each.field}") for each in problems)
