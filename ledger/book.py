"""Book: the state of one copy, as the entries in force leave it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from ledger.events._parts import Defect, Holding, Issue, Mark, StatedGrade
    from ledger.rules.grades import Grade
    from ledger.rules.headings import Heading
    from ledger.when import When


class Status(StrEnum):
    """Where a book stands with its collection."""

    NOT_YET = "not in the collection yet"
    EXPECTED = "bought, not here yet"
    HELD = "here"
    OUT = "in other hands"
    SENT_BACK = "sent back"
    GONE = "left the collection"
    DUPLICATE = "the same copy as another book"


@dataclass(frozen=True, kw_only=True)
class GradeStep:
    """One grade in the book's history: what was said, in which holder, and whether it is still in force."""

    seq: int
    on: When | None
    stated: StatedGrade
    holder_number: str | None
    own_submission: bool
    ended_by: int | None = None


@dataclass(frozen=True, kw_only=True)
class WorkDone:
    """One step of work in force, with the heading its facts give and the owner's disagreement beside it."""

    seq: int
    on: When | None
    technique: str
    heading: Heading
    changed_anything: bool | None
    """As it was said right after, or as the outcomes of its defects tell."""
    ended: str | None = None
    disagreement: str | None = None
    minutes: int = 0
    """How long it took in all, as far as that was said."""


@dataclass(frozen=True, kw_only=True)
class Sent:
    """One submission of the book to a grading service, and how far it has come."""

    batch: str
    seq: int
    stage: str
    by_seller: bool = False
    """Straight to the service, before the book was ever here."""
    ended_by: int | None = None

    @property
    def open(self) -> bool:
        """No outcome has been recorded for it."""
        return self.ended_by is None


@dataclass(frozen=True, kw_only=True)
class Ownership:
    """One time the book was in the collection: the entry that brought it in and the one that took it out."""

    taken_by: int
    since: When | None
    left_by: int | None = None
    until: When | None = None


@dataclass(frozen=True, kw_only=True)
class Look:
    """The last examination: which entry, what it found, and how long the book had rested before it, in hours."""

    seq: int
    on: When | None
    presents_as: Grade | None = None
    technical: Grade | None = None
    rest_hours: int | None = None
    rest_from_dates: bool = False
    """The look left its rest open, and the dates of the work and of the look tell it."""
    tone: str | None = None
    suppleness: str | None = None
    complete: str | None = None
    through_holder: bool = False


def _nothing() -> Mapping[str, Any]:
    return MappingProxyType({})


@dataclass(frozen=True, kw_only=True)
class Book:
    """One owned physical copy of an issue, as the entries in force leave it.

    Keeps: every field is a consequence of the entries alone, so that a rebuild gives the same book.
    """

    id: str
    no: int
    status: Status = Status.NOT_YET
    issue: Issue | None = None
    holding: Holding | None = None
    holder_number: str | None = None
    stated: StatedGrade | None = None
    grades: tuple[GradeStep, ...] = ()
    ownerships: tuple[Ownership, ...] = ()
    openings: int = 0
    defects: Mapping[str, Defect] = field(default_factory=_nothing)
    """As last seen, those that are gone and what others only claim among them."""
    marks: Mapping[str, Mark] = field(default_factory=_nothing)
    last_look: Look | None = None
    work: tuple[WorkDone, ...] = ()
    submissions: tuple[Sent, ...] = ()
    choice: str | None = None
    spot: str | None = None
    placed_by: int | None = None
    placed_on: When | None = None
    away_by: int | None = None
    missing_since: int | None = None
    valuations: tuple[int, ...] = ()
    photographs: tuple[str, ...] = ()
    cover: str | None = None
    outlooks: tuple[int, ...] = ()
    late_outlooks: tuple[int, ...] = ()
    disclosures: tuple[int, ...] = ()
    earlier_records: tuple[int, ...] = ()
    earlier_work: str | None = None
    same_as: str | None = None
    entries: int = 0
    last_recorded: datetime | None = None

    @property
    def held(self) -> bool:
        """In the collection, whoever's hands it is in at the moment."""
        return self.status in (Status.EXPECTED, Status.HELD, Status.OUT)

    @property
    def here(self) -> bool:
        """In the collector's own hands."""
        return self.status is Status.HELD

    @property
    def there(self) -> tuple[Defect, ...]:
        """The defects that were seen and have not gone."""
        return tuple(each for each in self.defects.values() if each.there)

    @property
    def claims(self) -> tuple[Defect, ...]:
        """What others claim of this copy and nobody here has seen."""
        return tuple(each for each in self.defects.values() if each.claimed_by is not None)

    @property
    def open_submission(self) -> Sent | None:
        """The submission that has no outcome yet."""
        return next((sent for sent in reversed(self.submissions) if sent.open), None)

    @property
    def to_come(self) -> bool:
        """Bought and never here yet: under way, or at the service to which its seller sent it."""
        sent = self.open_submission
        at_service = self.status is Status.OUT and self.away_by is None and sent is not None and sent.by_seller
        return self.status is Status.EXPECTED or at_service

    @property
    def on_bench(self) -> bool:
        """Here, not in a holder, and the last choice was to go on working."""
        return self.here and self.choice == "go on" and self.holding != "slabbed"

    def grade_in_force(self) -> GradeStep | None:
        """The last grade whose holder has not been opened."""
        return next((step for step in reversed(self.grades) if step.ended_by is None), None)

    def with_grades_ended(self, seq: int) -> Book:
        """The book with every grade in force ended by that entry: its holder is open."""
        if self.grade_in_force() is None and self.stated is None and self.holder_number is None:
            return self
        ended = tuple(step if step.ended_by is not None else replace(step, ended_by=seq) for step in self.grades)
        return replace(self, grades=ended, stated=None, holder_number=None)

    def with_ownership_ended(self, seq: int, on: When | None) -> Book:
        """The book out of its spot and out of all hands, its time in the collection ended by that entry."""
        periods = self.ownerships
        if periods and periods[-1].left_by is None:
            periods = (*periods[:-1], replace(periods[-1], left_by=seq, until=on))
        sent = tuple(replace(each, ended_by=each.ended_by or seq) for each in self.submissions)
        nowhere = replace(self, spot=None, placed_by=None, placed_on=None, away_by=None, missing_since=None)
        return replace(nowhere, ownerships=periods, submissions=sent)
