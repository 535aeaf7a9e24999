"""Books with a story, written through the door for the tests of the pages."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.events import Event
from ledger.events._parts import Face, Light
from ledger.events._settings import Settings
from ledger.events.choice import Choice, Next
from ledger.events.count import Count
from ledger.events.note import Note, Topic
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.events.valuation import Method, Valuation
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from tests.builders import a_defect, a_slab, a_stated_grade, an_examination, an_intervention, an_opening, on, usd
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page

__all__ = ["OWNER", "Shelf", "a_long_story", "page_of"]

OWNER = Actor(id="owner")


class Shelf:
    """Writes books and what happens to them; the ledger's clock can be put to a day first."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger

    def takes(self, event: Event, *more: Event) -> str:
        """The id of a new book, which these have happened to."""
        written = record(self.ledger, OWNER, [Draft(event=event, new_book=True)]).entries[0]
        assert written.book is not None
        for each in more:
            self.then(written.book, each)
        return written.book

    def then(self, book: str | None, *events: Event) -> Sequence[Entry]:
        """What else happened to it, written together."""
        return record(self.ledger, OWNER, [Draft(event=event, book=book) for event in events]).entries

    def seqs(self, book: str) -> list[int]:
        """The numbers of its entries."""
        with self.ledger.log.read() as reader:
            return [each.seq for each in reader.of_book(book)]


def page_of(browser: Browser, book: str) -> Element:
    """The page of a book, read."""
    answer = browser.get(f"/books/{book}")
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def a_long_story(shelf: Shelf, clock: Any, *, began: date = date(2019, 4, 3)) -> str:
    """A book of 60 entries over six years, in a month of which most of the work was done."""

    def put(day: date) -> None:
        clock.time = datetime.combine(day, time(19), UTC)

    put(began)
    book = shelf.takes(a_slab(began.isoformat(), seller=Sealed.of("A. Person"), price=Sealed.of(usd("410.00"))))
    work = began + timedelta(days=300)
    put(work)
    shelf.then(book, an_opening(work.isoformat()))
    for step in range(12):
        day = work + timedelta(days=2 * step)
        put(day)
        shelf.then(book, *_a_session(day, step))
    put(work + timedelta(days=40))
    shelf.then(book, Submission(on=on(_iso(work, 40)), batch="b-1", asks=Ask.GRADE))
    put(work + timedelta(days=95))
    graded = Slab(on=on(_iso(work, 90)), batch="b-1", stated=a_stated_grade("9.2", "9.2"), holder_number="B-12")
    shelf.then(book, graded)
    for year in range(5):
        for kept in _a_year(work + timedelta(days=120 + 365 * year), year):
            put(kept.on.latest_day if kept.on else began)
            shelf.then(book, kept)
    assert len(shelf.seqs(book)) == 60
    return book


def _a_session(day: date, step: int) -> list[Event]:
    """A look, a picture or a choice, and a step of work."""
    look = an_examination(day.isoformat(), defects=(a_defect(), a_defect("d2")), rest_hours=40)
    shot = Photograph(
        on=on(day.isoformat()), original=f"{step:064x}", clean=f"{step:064x}", width_px=600, height_px=850,
        face=Face.FRONT if step % 2 else Face.BACK, light=Light.RAKING if step % 3 else Light.NORMAL,
    )  # fmt: skip
    choice = Choice(on=on(day.isoformat()), next=Next.GO_ON)
    heat = Settings(set_celsius="60", hold_minutes=10)
    work = an_intervention("hot-press-dry" if step % 2 else "dry-cleaning", _iso(day, 1), settings=heat)
    return [look, shot if step % 2 else choice, work]


def _a_year(day: date, year: int) -> list[Event]:
    """Hung, counted, valued and noted."""
    return [
        Placement(
            on=on(day.isoformat()), spot=Spot.WALL if year % 2 else Spot.SAFE, place=Sealed.of("Study, north wall")
        ),
        Count(on=on(_iso(day, 90))),
        Valuation(on=on(_iso(day, 100)), method=Method.OWN_JUDGEMENT, amount=Sealed.of(usd("900.00"))),
        Note(on=on(_iso(day, 130)), topic=Topic.CARE, words=Sealed.of("Looked in on it.")),
    ]


def _iso(day: date, after: int) -> str:
    return (day + timedelta(days=after)).isoformat()
