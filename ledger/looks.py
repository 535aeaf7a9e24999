"""What the looks at a book found, each held against the look before: which defects are new, gone, lessened or worse."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from ledger.events._parts import Answer
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.history import Moment
from ledger.measured import Measured, Told, measured
from ledger.rest import rest_between
from ledger.seen import Change, Claimed, MarkSeen, Seen, after, claimed_after, marks_after
from ledger.when import When

__all__ = [
    "MARKS_ASKED",
    "RESTED_HOURS",
    "Change",
    "Claimed",
    "LookSeen",
    "MarkSeen",
    "Seen",
    "look_due",
    "looks_of",
    "may_ease",
    "outcome",
    "see_again",
]

RESTED_HOURS: Final = 168
"""A week. What a look finds sooner may still come back. Common practice, no source."""
MARKS_ASKED: Final = 3
"""So many marks of a copy are asked for, that it can be known again when one of them has gone. Our assumption."""

_A_DAY_IS_KNOWN: Final = frozenset({"day", "instant"})
"""A date that says less names no day to wait from."""
_OWN: Final = ("height_mm", "width_mm")
"""Measures that ask a question where they change, since paper that was trimmed is smaller for good."""


@dataclass(frozen=True, kw_only=True)
class LookSeen:
    """One examination: what was known after it, the work since the look before, and what it asks."""

    seq: int
    on: When | None
    event: Examination
    seen: tuple[Seen, ...]
    claims: tuple[Claimed, ...]
    """What others claim and no look until then has seen: neither new nor missing."""
    marks: tuple[MarkSeen, ...]
    measured: tuple[Measured, ...]
    """What it says of the whole book, against the last time that was said."""
    work: tuple[int, ...]
    """Entries of the steps of work since the look before."""
    worked_before: bool
    """There was work before it, at whatever time."""
    rest_read: int | None = None
    """The rest before it as the dates tell it. Units: h."""
    worked_after: bool = False
    """There was work after it, at whatever time."""

    @property
    def questions(self) -> tuple[str, ...]:
        """Measures of the book itself that are not what they were, the last time or the first: `height_mm`, `width_mm`."""
        return tuple(each.name for each in self.measured if each.name in _OWN and (each.step or each.slide))

    @property
    def rest_hours(self) -> int | None:
        """The rest before it as the look says it; where it leaves that open, as the dates do. Units: h."""
        return self.rest_read if self.event.rest_hours is None else self.event.rest_hours

    @property
    def rest_from_dates(self) -> bool:
        """The look leaves its rest open, and the dates tell it."""
        return self.event.rest_hours is None and self.rest_read is not None

    @property
    def rested(self) -> bool:
        """The book had rested for a week or more since the last work."""
        return self.rest_hours is not None and self.rest_hours >= RESTED_HOURS

    def changed(self, *changes: Change) -> tuple[Seen, ...]:
        """The defects of which that is true."""
        return tuple(each for each in self.seen if each.change in changes)


def looks_of(moments: Sequence[Moment]) -> tuple[LookSeen, ...]:
    """Every examination in force, in the order of happening.

    Keeps: a defect that a look does not name stays as it was last seen.
    """
    found: list[LookSeen] = []
    known: dict[str, Seen] = {}
    claims: dict[str, Claimed] = {}
    marks: dict[str, MarkSeen] = {}
    told: dict[str, Told] = {}
    since: list[int] = []
    work: list[tuple[When | None, int]] = []
    for moment in moments:
        event, seq = moment.event, moment.entry.seq
        if not moment.in_force:
            continue
        if isinstance(event, Intervention):
            since.append(seq)
            work.append((event.on, event.minutes))
            found = [each if each.worked_after else replace(each, worked_after=True) for each in found]
        elif isinstance(event, Examination):
            faces = event.faces_looked_at
            known = dict(after(known, {each.id: each for each in event.seen}, claims, faces, seq))
            claims = claimed_after(claims, event.claims, known, faces, seq)
            marks = marks_after(marks, event.marks, seq)
            seen = LookSeen(
                seq=seq,
                on=event.on,
                event=event,
                seen=tuple(known.values()),
                claims=tuple(claims.values()),
                marks=tuple(marks.values()),
                measured=measured(told, event, seq),
                work=tuple(since),
                worked_before=bool(work),
                rest_read=rest_between(work, event.on),
            )
            found.append(seen)
            since = []
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
            again |= dict.fromkeys(event.worked_ids or may_ease(there))
        elif isinstance(event, Examination):
            look = looks[moment.entry.seq]
            there = look.seen
            if look.rested:
                due, again = False, {}
            elif due:
                again |= dict.fromkeys(each.defect.id for each in look.changed(Change.GONE, Change.LESSENED))
    return tuple(again) if due else None


def look_due(moments: Sequence[Moment]) -> date | None:
    """The day from which a look after a week of rest is due; None while none is, or where no day is known."""
    if not see_again(moments):
        return None
    work = [each.event.on for each in moments if each.in_force and isinstance(each.event, Intervention)]
    days = [when.latest_day for when in work if when is not None and when.precision in _A_DAY_IS_KNOWN]
    return max(days) + timedelta(hours=RESTED_HOURS) if days else None


def may_ease(there: Sequence[Seen]) -> list[str]:
    """The defects that a step of work which names none may have eased: all that are there and break no colour."""
    return [each.defect.id for each in there if not each.defect.gone and each.defect.breaks_colour is Answer.NO]
