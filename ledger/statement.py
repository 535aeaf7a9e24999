"""What may be said of the work on a book: done here, not done here, not known before; never "unrestored"."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from ledger.book import Book
from ledger.events._step import Ended, WorkedDefect
from ledger.events.intervention import SIGNATURE, Intervention
from ledger.events.purchase import Purchase
from ledger.history import Moment
from ledger.rules.headings import Heading
from ledger.when import When

SETTLED = (Heading.NON_ADDITIVE, Heading.CONSERVATION, Heading.RESTORATION)
"""The headings that a reader asks for by name; a step whose heading is not settled is told apart from all three."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of work in force, as a statement lists it; one that changed nothing, was cut off or went wrong too.

    `outcomes` are what was said of defects right after it: claims, which the look after a rest decides.
    """

    seq: int
    on: When | None
    technique: str
    title: str
    heading: Heading
    changed_anything: bool | None
    by_other_hands: bool
    owner_heading: Heading | None
    ended: Ended | None = None
    outcomes: tuple[WorkedDefect, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Away:
    """A time in which the book had left the collection, so that nothing is known of it."""

    since: When | None
    until: When | None


@dataclass(frozen=True, kw_only=True)
class Statement:
    """The three states of a book's work, as this ledger knows them.

    `since` is when the ledger took the book as far as that is known, `recorded` when its first entry was written.
    `done` lists every step by heading, highest heading last; `signed` the steps that added writing by hand, which are
    never lumped with other restoration. `not_done` names the settled headings under which nothing was done here.
    """

    since: When | None
    recorded: datetime | None
    done: tuple[tuple[Heading, tuple[Step, ...]], ...]
    signed: tuple[Step, ...]
    not_done: tuple[Heading, ...]
    away: tuple[Away, ...]
    seller_says: str
    earlier_records: int

    @property
    def steps(self) -> int:
        """How many steps were done here, signatures among them."""
        return sum(len(steps) for _heading, steps in self.done) + len(self.signed)


def statement(book: Book, moments: Sequence[Moment]) -> Statement:
    """What this ledger can say of the work on a book.

    Requires: the book is the fold of these moments.
    """
    steps = [
        _step(moment, moment.event) for moment in moments if moment.in_force and isinstance(moment.event, Intervention)
    ]
    plain = [step for step in steps if step.technique != SIGNATURE]
    headings = sorted({step.heading for step in plain}, key=lambda each: each.rank)
    return Statement(
        since=book.ownerships[0].since if book.ownerships else None,
        recorded=min((moment.entry.recorded for moment in moments), default=None),
        done=tuple((each, tuple(step for step in plain if step.heading is each)) for each in headings),
        signed=tuple(step for step in steps if step.technique == SIGNATURE),
        not_done=tuple(each for each in SETTLED if each not in headings),
        away=_away(book),
        seller_says=_seller_says(moments),
        earlier_records=len(book.earlier_records),
    )


def _step(moment: Moment, event: Intervention) -> Step:
    row = event.row
    return Step(
        seq=moment.entry.seq,
        on=event.on,
        technique=event.technique,
        title=row.title if row else event.technique,
        heading=event.heading,
        changed_anything=event.changed,
        by_other_hands=event.by_other_hands,
        owner_heading=event.owner_heading,
        ended=event.ended,
        outcomes=tuple(each for each in event.worked_defects if each.outcome is not None),
    )


def _away(book: Book) -> tuple[Away, ...]:
    """The times between one ownership and the next."""
    pairs = zip(book.ownerships, book.ownerships[1:], strict=False)
    return tuple(Away(since=before.until, until=after.since) for before, after in pairs)


def _seller_says(moments: Sequence[Moment]) -> str:
    """What was said of earlier work when the book came in, as the newest purchase in force has it."""
    said = [
        moment.event.earlier_work.value for moment in moments if moment.in_force and isinstance(moment.event, Purchase)
    ]
    return said[-1] if said else "nothing said"
