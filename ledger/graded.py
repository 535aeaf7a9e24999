"""What grading services gave this collector's books, held against what was left on each book when it was sent."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from ledger.events.slab import Outcome, Slab
from ledger.events.submission import SENDS, Submission
from ledger.history import Moment
from ledger.looks import LookSeen, looks_of
from ledger.outlooks import faults_of
from ledger.rules.book_ceiling import Fault, read_off
from ledger.rules.ceilings import Ceiling
from ledger.rules.graders import steps_above
from ledger.rules.grades import Grade
from ledger.when import When

__all__ = ["Graded", "Service", "Untold", "faults_at", "graded_of", "key_of", "said_at", "services"]


class Untold(StrEnum):
    """Why a grade says nothing of how far from the ceiling a service lands."""

    NO_LOOK = "nobody had looked at the book"
    WORKED_SINCE = "it was worked on after the last look"
    THROUGH_HOLDER = "the last look was through a holder"
    UNREAD = "a defect was not measured"


@dataclass(frozen=True, kw_only=True)
class Graded:
    """One grade that a service gave a book while it was in this collection."""

    book: str
    seq: int
    """The entry of the outcome."""
    on: When | None
    grade: Grade
    service: str | None
    """As the owner wrote it; None where it was left open, was erased, or is not shown."""
    batch: str | None
    sent: int | None
    """The entry by which it was sent, None where nobody wrote that down."""
    look: int | None
    """The entry of the last look before it was sent."""
    ceiling: Grade | None
    """What the defects left on it allowed then, by the table of now; None where that cannot be told."""
    untold: Untold | None
    """Why not."""

    @property
    def steps(self) -> int | None:
        """Steps above the ceiling; below is negative. None where the ceiling cannot be told."""
        return None if self.ceiling is None else steps_above(self.grade, self.ceiling)


@dataclass(frozen=True, kw_only=True)
class Service:
    """One service with the results it gave this collector."""

    name: str
    """As it was written last."""
    results: tuple[int, ...]
    """Of each the steps above the ceiling; below is negative."""
    untold: int = 0
    """Grades that say nothing of that."""


def graded_of(book: str, moments: Sequence[Moment], rows: Sequence[Ceiling] | None = None) -> tuple[Graded, ...]:
    """Every grade that was given to a book, in the order of happening.

    Keeps: what counts is the last look before it was sent; where nobody wrote that down, before the grade was given.
    Requires: moments of one book in the order of happening.
    """
    found = []
    sent: dict[str, tuple[int, Submission, int]] = {}
    for place, moment in enumerate(moments):
        event = moment.event
        if not moment.in_force:
            continue
        if isinstance(event, Submission) and event.stage in SENDS:
            sent[event.batch] = place, event, moment.entry.seq
        elif isinstance(event, Slab) and event.outcome is Outcome.GRADE_GIVEN and event.stated is not None:
            until, submission, number = sent.get(event.batch or "", (place, None, None))
            looks = looks_of(moments[:until])
            ceiling, untold = _ceiling(looks, rows)
            found.append(
                Graded(
                    book=book,
                    seq=moment.entry.seq,
                    on=event.on,
                    grade=event.stated.steps[0],
                    service=event.service.value or (submission.service.value if submission else None),
                    batch=event.batch,
                    sent=number,
                    look=looks[-1].seq if looks else None,
                    ceiling=ceiling,
                    untold=untold,
                )
            )
    return tuple(found)


def _ceiling(looks: Sequence[LookSeen], rows: Sequence[Ceiling] | None) -> tuple[Grade | None, Untold | None]:
    if not looks:
        return None, Untold.NO_LOOK
    if looks[-1].worked_after:
        return None, Untold.WORKED_SINCE
    if looks[-1].event.through_holder:
        return None, Untold.THROUGH_HOLDER
    held = read_off(faults_at(looks[-1]), rows)
    return (None, Untold.UNREAD) if held.unread else (held.grade, None)


def faults_at(look: LookSeen) -> tuple[Fault, ...]:
    """What was left on a book at a look, with what was last said of its paper."""
    tone, suppleness = said_at(look, "tone"), said_at(look, "suppleness")
    return faults_of((each.defect for each in look.seen), tone, suppleness)


def said_at(look: LookSeen, name: str) -> str | None:
    """A field of the whole book as a look says it, or else as it was said before."""
    found = next(each for each in look.measured if each.name == name)
    return found.before if found.value is None else found.value


def services(graded: Iterable[Graded]) -> Mapping[str, Service]:
    """The services with their results, by a key that spelling in capitals and spaces leaves alone.

    Keeps: grades of which nobody wrote down the service are under the empty key.
    """
    found: dict[str, list[Graded]] = {}
    for each in graded:
        found.setdefault(key_of(each.service), []).append(each)
    return MappingProxyType(
        {
            key: Service(
                name=own[-1].service or "",
                results=tuple(each.steps for each in own if each.steps is not None),
                untold=sum(each.steps is None for each in own),
            )
            for key, own in found.items()
        }
    )


def key_of(service: str | None) -> str:
    """What a service is found by, however it was spaced or capitalised; empty where it is not known."""
    return " ".join((service or "").split()).casefold()
