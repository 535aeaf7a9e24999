"""What the looks at a book found, each held against the look before: which defects are new, gone, lessened or worse."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import Final

from ledger.events._parts import Answer, Defect, Mark
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.history import Moment
from ledger.measured import NATURAL_MM, Measured, measured
from ledger.when import When

__all__ = ["RESTED_HOURS", "Change", "LookSeen", "MarkSeen", "Seen", "looks_of", "outcome", "see_again"]

RESTED_HOURS: Final = 168
"""A week. What a look finds sooner may still come back. Common practice, no source."""

_MEASURES: Final = ("size_mm", "count", "share_percent")
_OWN: Final = ("height_mm", "width_mm")
"""Measures that ask a question where they change, since paper that was trimmed is smaller for good."""


class Change(StrEnum):
    """A defect at one look against what was known of it before."""

    NEW = "new"
    GONE = "gone"
    BACK = "come back"
    LESSENED = "lessened"
    SAME = "same"
    WORSE = "worse"
    OTHERWISE = "measured otherwise"
    UNSEEN = "not looked at"


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One defect as it was known after a look, and what that look changed about it."""

    defect: Defect
    change: Change
    seen_by: int
    """The entry of the look that saw it last."""


@dataclass(frozen=True, kw_only=True)
class MarkSeen:
    """One mark of this copy as it was known after a look."""

    mark: Mark
    seen_by: int
    """The entry of the look that saw it last."""


@dataclass(frozen=True, kw_only=True)
class LookSeen:
    """One examination: what was known after it, the work since the look before, and what it asks."""

    seq: int
    on: When | None
    event: Examination
    seen: tuple[Seen, ...]
    marks: tuple[MarkSeen, ...]
    measured: tuple[Measured, ...]
    """What it says of the whole book, against the last time that was said."""
    work: tuple[int, ...]
    """Entries of the steps of work since the look before."""
    worked_before: bool
    """There was work before it, at whatever time."""
    worked_after: bool = False
    """There was work after it, at whatever time."""

    @property
    def questions(self) -> tuple[str, ...]:
        """Measures of the book itself that are not what they were: `height_mm`, `width_mm`."""
        return tuple(each.name for each in self.measured if each.name in _OWN and each.step)

    @property
    def rested(self) -> bool:
        """The book had rested for a week or more since the last work."""
        return self.event.rest_hours is not None and self.event.rest_hours >= RESTED_HOURS

    def changed(self, *changes: Change) -> tuple[Seen, ...]:
        """The defects of which that is true."""
        return tuple(each for each in self.seen if each.change in changes)


def looks_of(moments: Sequence[Moment]) -> tuple[LookSeen, ...]:
    """Every examination in force, in the order of happening.

    Keeps: a defect that a look does not name stays as it was last seen.
    """
    found: list[LookSeen] = []
    known: dict[str, Seen] = {}
    marks: dict[str, MarkSeen] = {}
    last: dict[str, tuple[str, int]] = {}
    work: list[int] = []
    worked = False
    for moment in moments:
        event, seq = moment.event, moment.entry.seq
        if not moment.in_force:
            continue
        if isinstance(event, Intervention):
            work.append(seq)
            worked = True
            found = [each if each.worked_after else replace(each, worked_after=True) for each in found]
        elif isinstance(event, Examination):
            known = dict(_after(known, {each.id: each for each in event.defects}, seq))
            marks |= {each.id: _mark(marks.get(each.id), each, seq) for each in event.marks}
            seen = LookSeen(
                seq=seq,
                on=event.on,
                event=event,
                seen=tuple(known.values()),
                marks=tuple(marks.values()),
                measured=measured(last, event, seq),
                work=tuple(work),
                worked_before=worked,
            )
            found.append(seen)
            work = []
    return tuple(found)


def outcome(looks: Sequence[LookSeen]) -> LookSeen | None:
    """The look that counts for what work came to: the last one after a week of rest, with no work since; else None."""
    counting = (each for each in reversed(looks) if each.rested and each.worked_before and not each.worked_after)
    return next(counting, None)


def see_again(moments: Sequence[Moment]) -> tuple[str, ...] | None:
    """The defects to see again after a week of rest, since they may have come back; None while no such look is due.

    Keeps: a step of work that names no defect may have eased all that are there and break no colour.
    """
    looks = {each.seq: each for each in looks_of(moments)}
    due = False
    again: dict[str, None] = {}
    there: tuple[Seen, ...] = ()
    for moment in moments:
        event = moment.event
        if not moment.in_force:
            continue
        if isinstance(event, Intervention):
            due = True
            again |= dict.fromkeys(event.worked_defects or _may_ease(there))
        elif isinstance(event, Examination):
            look = looks[moment.entry.seq]
            there = look.seen
            if look.rested:
                due, again = False, {}
            elif due:
                again |= dict.fromkeys(each.defect.id for each in look.changed(Change.GONE, Change.LESSENED))
    return tuple(again) if due else None


def _may_ease(there: Sequence[Seen]) -> list[str]:
    return [each.defect.id for each in there if not each.defect.gone and each.defect.breaks_colour is Answer.NO]


def _mark(before: MarkSeen | None, now: Mark, seq: int) -> MarkSeen:
    """A mark whose place a look does not say lies where it lay."""
    if before is not None and now.region is None and now.face is before.mark.face:
        now = replace(now, region=before.mark.region)
    return MarkSeen(mark=now, seen_by=seq)


def _after(known: dict[str, Seen], named: dict[str, Defect], seq: int) -> Iterator[tuple[str, Seen]]:
    """Every defect known after a look, those that were known before it first."""
    for name, before in known.items():
        now = named.get(name)
        if now is None:
            yield name, Seen(defect=before.defect, change=Change.UNSEEN, seen_by=before.seen_by)
        else:
            change = _change(before.defect, now)
            yield name, Seen(defect=_where_it_was(before.defect, now), change=change, seen_by=seq)
    for name, now in named.items():
        if name not in known:
            yield name, Seen(defect=now, change=Change.GONE if now.gone else Change.NEW, seen_by=seq)


def _where_it_was(before: Defect, now: Defect) -> Defect:
    """A defect whose place a look does not say lies where it lay."""
    if now.region is not None or before.region is None or now.face is not before.face:
        return now
    return replace(now, region=before.region)


def _change(before: Defect, now: Defect) -> Change:
    if now.gone or before.gone:
        return Change.GONE if now.gone else Change.BACK
    if before.breaks_colour is Answer.NO and now.breaks_colour is Answer.YES:
        return Change.WORSE
    steps = {each for name in _MEASURES if (each := _step(name, before, now)) is not None}
    if not steps:
        taken = [name for name in _MEASURES if getattr(before, name) is not None or getattr(now, name) is not None]
        return Change.OTHERWISE if taken else Change.SAME
    if steps >= {-1, 1}:
        return Change.OTHERWISE
    return Change.WORSE if 1 in steps else Change.LESSENED if -1 in steps else Change.SAME


def _step(name: str, before: Defect, now: Defect) -> int | None:
    """1 for more, -1 for less, 0 for the same; None where it was not measured both times."""
    first, second = getattr(before, name), getattr(now, name)
    if first is None or second is None:
        return None
    by = Decimal(second) - Decimal(first)
    if name == "size_mm" and abs(by) < NATURAL_MM:
        return 0
    return (by > 0) - (by < 0)
