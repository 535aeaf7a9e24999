"""Short ways to write to a log in tests: one event as one entry, through the use case or straight through a writer."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.events import Event
from ledger.events.note import Note
from ledger.history import fold, history
from ledger.ports import Log, Writer
from ledger.sealed import Sealed
from ledger.store.codec import EventCodec
from ledger.usecases.append import Place, append
from ledger.usecases.record import Draft, Recorded, Request, record
from tests.builders import a_purchase
from tests.conftest import ledger_on
from tests.fakes import FakeChance

WHEN = datetime(2026, 3, 4, 5, 6, 7, 8, tzinfo=UTC)
OWNER = Actor(id="owner")
CODEC = EventCodec()


def a_note(words: str = "kept flat") -> Note:
    return Note(words=Sealed.of(words))


@dataclass
class Scribe:
    """Writes to one log; every draw of chance differs from every other scribe's of another name."""

    log: Log
    name: str = "scribe"

    def __post_init__(self) -> None:
        self.ledger = ledger_on(self.log, chance=FakeChance(self.name))

    def write(self, *drafts: Draft, key: str | None = None, body: bytes = b"") -> Recorded:
        return record(self.ledger, OWNER, drafts, Request(key=key, body=body))

    def buy(self, *, key: str | None = None, book: str | None = None, **changes: Any) -> Entry:
        """A new book, by its purchase."""
        draft = Draft(event=a_purchase(**changes), new_book=True, id=book)
        return self.write(draft, key=key).entries[0]

    def add(self, book: str | None, event: Event, *, key: str | None = None) -> Entry:
        """One more entry of a book, or of the collection."""
        return self.write(Draft(event=event, book=book), key=key).entries[0]


def append_one(
    writer: Writer, event: Event, *, book: str | None = None, number: int | None = None, act: str = "act"
) -> Entry:
    """One entry straight through a writer: without the use case's checks, with all that proves it."""
    place = Place(book=book, book_no=number, act=act, actor=OWNER.id, recorded=WHEN)
    entry = append(writer, event, place, CODEC, FakeChance(f"{book} {writer.head().size}"))
    if book is not None and number is not None:
        moments = history(writer.of_book(book), CODEC)
        writer.project(fold(book, number, moments), moments)
    return entry
