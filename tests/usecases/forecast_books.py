"""Books with a forecast and a result, written to a ledger many at a time."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime

from ledger.events import Event
from ledger.events._parts import OpinionOf
from ledger.events.outlook import Outlook, Weight
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, a_stated_grade, on
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER

BENCH = "Third Bench"


@dataclass(frozen=True, kw_only=True)
class Sent:
    """One book: its outlook as "8.0 600, 8.5 400", the grade before (none for not known), and what it got, if it did."""

    outlook: str = "9.0 250, 9.2 500, 9.4 250"
    before: str = "8.5"
    result: str = "9.2"
    service: str = BENCH
    changes: tuple[tuple[str, object], ...] = ()


def an_outlook(weights: str, when: str | None = None, **changes: object) -> Outlook:
    """An outlook from its weights in thousandths."""
    pairs = [each.split() for each in weights.split(", ")]
    found = tuple(Weight(grade=Grade(grade), per_mille=int(weight)) for grade, weight in pairs)
    return Outlook(**{"on": on(when), "weights": found, **changes})  # type: ignore[arg-type]  # any


def sent_on(day: str, batch: str, service: str = BENCH) -> Submission:
    """It went out."""
    return Submission(on=on(day), batch=batch, asks=Ask.GRADE, service=Sealed.of(service))


def graded_on(day: str | None, batch: str, grade: str, service: str = BENCH) -> Slab:
    """It came back with a grade."""
    stated = a_stated_grade(grade, grade, opinion_of=OpinionOf.SERVICE)
    return Slab(on=on(day), batch=batch, stated=stated, service=Sealed.of(service))


def at_noon(clock: FakeClock, day: str) -> None:
    """The ledger's clock is put to that day."""
    clock.time = datetime.fromisoformat(f"{day}T12:00:00").replace(tzinfo=UTC)


@contextmanager
def back_then(clock: object, day: str) -> Iterator[None]:
    """What is written inside is written on that day; then the clock stands where it stood."""
    assert isinstance(clock, FakeClock)
    before = clock.time
    at_noon(clock, day)
    yield
    clock.time = before


def written(ledger: Ledger, *drafts: tuple[str | None, Event]) -> list[str]:
    """Ids of the books of one act; without a book a new one begins."""
    entries = record(ledger, OWNER, [Draft(event=event, book=book, new_book=book is None) for book, event in drafts])
    return [str(each.book) for each in entries.entries]


def a_batch(ledger: Ledger, clock: FakeClock, year: int, books: Sequence[Sent]) -> list[str]:
    """Bought in January of that year, forecast in February, sent in March, and back in May where there is a result."""
    at_noon(clock, f"{year}-01-10")
    bought = [
        a_purchase(f"{year}-01-09", stated=a_stated_grade(each.before, each.before) if each.before else None)
        for each in books
    ]
    ids = written(ledger, *((None, each) for each in bought))
    at_noon(clock, f"{year}-02-10")
    said = [an_outlook(each.outlook, f"{year}-02-10", **dict(each.changes)) for each in books]
    written(ledger, *zip(ids, said, strict=True))
    at_noon(clock, f"{year}-03-01")
    written(
        ledger,
        *((book, sent_on(f"{year}-03-01", f"b-{year}", each.service)) for book, each in zip(ids, books, strict=True)),
    )
    at_noon(clock, f"{year}-05-02")
    back = [
        (book, graded_on(f"{year}-05-01", f"b-{year}", each.result, each.service))
        for book, each in zip(ids, books, strict=True)
        if each.result
    ]
    if back:
        written(ledger, *back)
    return ids
