"""An act of the story: what was written down together, in one evening, and by what it is found again."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

from ledger.entry import Entry
from ledger.events import Event
from ledger.events._parts import Face, Light
from ledger.events.photograph import Photograph
from ledger.ports import Ledger

Late = Callable[["Told"], Event]
"""An event that names an entry written before it."""


@dataclass(frozen=True, kw_only=True)
class Shot:
    """A photograph to be taken: the picture's name among the drawn ones, and what is said of it."""

    picture: str
    said: dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Part:
    """What one act says of one book; of the collection itself, if the book is None."""

    book: str | None
    event: Event | Late | Shot


@dataclass(frozen=True, kw_only=True)
class Act:
    """Entries written down together at one moment.

    `undated`: when it happened is not known; otherwise an event without a date happened on the day it was recorded.
    """

    recorded: datetime
    parts: tuple[Part, ...]
    undated: bool = False
    signs: bool = False
    """A checkpoint is signed after it."""


class Told:
    """What has been told so far: the id of every book by its name here, its entries, and the ledger they are in."""

    def __init__(self, ledger: Ledger | None = None) -> None:
        self.ledger = ledger
        self.ids: dict[str, str] = {}
        self.entries: dict[str, list[Entry]] = {}

    def entry(self, book: str, kind: str, nth: int = 1) -> Entry:
        """The first entry of that kind on that book, or a later one."""
        return [each for each in self.entries[book] if each.event.kind == kind][nth - 1]

    def picture(self, book: str, nth: int) -> str:
        """The digest of a photograph of that book."""
        event = self.entry(book, "photograph", nth).event
        assert isinstance(event, Photograph)
        return event.clean

    def last(self, book: str) -> Entry:
        """The newest entry of that book."""
        return self.entries[book][-1]


def act(book: str | None, recorded: str, *events: Event | Late | Shot, undated: bool = False) -> Act:
    """One act on one book; `recorded` is UTC, such as 2023-03-18 20:41."""
    parts = tuple(Part(book=book, event=each) for each in events)
    return Act(recorded=moment(recorded), parts=parts, undated=undated)


def together(recorded: str, *said: tuple[str, Event | Late | Shot], signs: bool = False) -> Act:
    """One act on several books."""
    parts = tuple(Part(book=book, event=each) for book, each in said)
    return Act(recorded=moment(recorded), parts=parts, signs=signs)


def moment(text: str) -> datetime:
    """The moment of that minute, UTC; its seconds are spread so that they look like a clock's."""
    when = datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC)
    spread = (when.toordinal() * 7919 + when.hour * 3607 + when.minute * 104_729) % 59_999_983
    return when.replace(second=spread // 1_000_000, microsecond=spread % 1_000_000)


def shot(picture: str, caption: str = "", *, face: str = "front", light: str = "normal", **more: Any) -> Shot:  # noqa: ANN401
    """A photograph of that picture."""
    return Shot(picture=picture, said={"face": Face(face), "light": Light(light), "caption": caption, **more})


def statement_of(book: str) -> str:
    """The digest of the statement that heads the record of that book.

    Keeps: the statement itself is made when the record is printed and is no part of the story.
    """
    return sha256(f"what was done here to {book}".encode()).hexdigest()
