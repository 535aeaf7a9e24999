"""Builders for tests: a book, an entry, a chain and one good event of several kinds; every knob can be turned."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any, TypeVar

from ledger.book import Book, Ownership, Status
from ledger.entry import Entry
from ledger.errors import Problem
from ledger.events import At, Event
from ledger.events._parts import Answer, Defect, Face, Holding, Issue, StatedGrade
from ledger.events._step import DefectOutcome, WorkedDefect
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.opening import Opening
from ledger.events.purchase import Purchase
from ledger.history import fold, history, verdict
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.when import When

BOOK = "b-0001"
RECORDED = datetime(2025, 1, 1, 12, tzinfo=UTC)
"""When the first entry of a chain is recorded; each further one an hour later."""


CODEC = EventCodec()
E = TypeVar("E", bound=Event)


def on(text: str | None) -> When | None:
    return None if text is None else When.parse(text)


def usd(amount: str) -> Money:
    return Money.of(amount, "USD")


def shut(event: E) -> E:
    """The event as somebody sees it to whom no sealed field was shown."""
    return event.with_sealed(dict.fromkeys(event.sealed_fields(), Sealed.withheld()))


def an_issue(**changes: Any) -> Issue:
    return Issue(**{"title": "Captain Lantern", "number": "14", "start_year": 1962, **changes})


def a_stated_grade(as_written: str = "VF/NM", *steps: str, **changes: Any) -> StatedGrade:
    return StatedGrade(as_written=as_written, steps=tuple(Grade.parse(step) for step in steps or ("9.0",)), **changes)


def a_defect(name: str = "d1", kind: str = "bend", **changes: Any) -> Defect:
    seen = {"face": Face.FRONT, "breaks_colour": Answer.NO, "size_mm": "12"}
    return Defect(**{"id": name, "type": kind, **seen, **changes})


def a_purchase(when: str | None = "2024-02-01", **changes: Any) -> Purchase:
    return Purchase(**{"on": on(when), "issue": an_issue(), "holding": Holding.RAW, **changes})


def a_slab(when: str | None = "2024-02-01", **changes: Any) -> Purchase:
    """The purchase of a slabbed book."""
    stated = a_stated_grade("9.0")
    return a_purchase(when, **{"holding": Holding.SLABBED, "holder_number": "A-77", "stated": stated, **changes})


def an_opening(when: str | None = "2024-03-01", **changes: Any) -> Opening:
    return Opening(**{"on": on(when), **changes})


def an_examination(when: str | None = "2024-02-05", **changes: Any) -> Examination:
    return Examination(**{"on": on(when), **changes})


def an_intervention(technique: str = "dry-cleaning", when: str | None = "2024-03-10", **changes: Any) -> Intervention:
    return Intervention(**{"on": on(when), "technique": technique, **changes})


def worked_on(*named: str) -> tuple[WorkedDefect, ...]:
    """Defects worked on, each by its id, with what was seen of it behind it: `d1 gone`."""
    parts = [each.partition(" ") for each in named]
    return tuple(WorkedDefect(id=name, outcome=DefectOutcome(seen) if seen else None) for name, _, seen in parts)


def a_book(**changes: Any) -> Book:
    """A raw book that is here since entry 1."""
    ownership = Ownership(taken_by=1, since=When.parse("2024-02-01"))
    here = {"status": Status.HELD, "holding": Holding.RAW, "issue": an_issue(), "ownerships": (ownership,)}
    return Book(**{"id": BOOK, "no": 1, **here, **changes})


def at(seq: int = 9) -> At:
    return At(seq=seq, recorded=RECORDED + timedelta(hours=seq - 1), leaf=sha256(b"%d" % seq).hexdigest())


def an_entry(event: Event, seq: int = 9, *, recorded: datetime | None = None, book: str | None = BOOK) -> Entry:
    """One entry of one book whose chain holds nothing but what is built here."""
    place = at(seq)
    number = None if book is None else 1
    return Entry(
        seq=seq,
        book=book,
        book_no=number,
        book_seq=None if book is None else seq,
        act=f"act-{seq}",
        actor="owner",
        recorded=recorded or place.recorded,
        leaf=place.leaf,
        event=event,
    )


def chain(*events: Event) -> list[Entry]:
    """Entries 1, 2, 3 … of one book, recorded an hour apart."""
    return [an_entry(event, seq) for seq, event in enumerate(events, start=1)]


def folded(*events: Event) -> Book:
    """The book as these events leave it."""
    return fold(BOOK, 1, history(chain(*events), CODEC))


def against(entries: Sequence[Entry], event: Event) -> tuple[list[Problem], list[Problem]]:
    """What is refused and what is warned of when one more event follows, completed as at the door."""
    candidate = an_entry(event.complete(entries), len(entries) + 1)
    return verdict(entries, candidate, CODEC)


def broken_rules(event: Event, book: Book | None = None) -> list[tuple[str, str]]:
    """Rule and field of every problem the event has by itself and on that book."""
    found = [*event.flaws(), *event.check(book or a_book())]
    return [(problem.rule, problem.field) for problem in found]
