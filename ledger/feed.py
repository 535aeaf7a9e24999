"""What a calendar is told of the bench: when a load comes out, what is to be written down, which book to look at again.

Whoever has the address can read it, and calendars are kept by others. So nothing in it tells a place, a sum, a person,
or that a book is away; titles only where the owner wants them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Final, Protocol

from ledger.bench import Load
from ledger.rules.techniques import techniques

__all__ = ["AHEAD", "Calendars", "Due", "RestDue", "due_loads", "due_rests"]


AHEAD: Final = timedelta(minutes=10)
"""Time to come to the press before it ends. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Due:
    """One entry of the calendar: a moment with an alarm, or a whole day."""

    id: str
    """The same for the same thing at every reading, and nothing that is known elsewhere."""
    at: datetime | date
    words: str
    changed: datetime
    ahead: timedelta = timedelta(0)
    """How long before its moment it rings."""


@dataclass(frozen=True, kw_only=True)
class RestDue:
    """A book that is to be looked at again once it has rested."""

    book: str
    on: date
    since: datetime
    """When the last of its work was written down."""


class Calendars(Protocol):
    """Calendars in the form that programs read; the same entries give the same bytes."""

    def written(self, dues: Sequence[Due], name: str) -> bytes:
        """The calendar of that name. Source: RFC 5545."""
        ...


def due_loads(loads: Sequence[Load], names: Mapping[str, str] | None) -> list[Due]:
    """What the loads on the bench ask for: to be taken out, or to be written down.

    `names` are those of the books, None where they stay out of it.
    """
    found = []
    for load in loads:
        title = next((each.title for each in techniques() if each.id == load.step.technique), load.step.technique)
        books = _books([names.get(each, "") for each in load.books] if names is not None else None, len(load.books))
        if load.stopped is not None:
            words = f"Write down what was done: {title}, {books}"
            found.append(Due(id=_id("told", load.id), at=load.stopped, words=words, changed=load.stopped))
        elif load.ends is not None:
            words = f"Comes out: {title}, {books}"
            found.append(Due(id=_id("out", load.id), at=load.ends, words=words, changed=load.started, ahead=AHEAD))
    return found


def due_rests(rests: Sequence[RestDue], names: Mapping[str, str] | None) -> list[Due]:
    """The looks after a rest; `names` as above."""
    return [
        Due(
            id=_id("rest", f"{each.book} {each.on.isoformat()}"),
            at=each.on,
            words=f"Look again after the rest: {_books([names.get(each.book, '')] if names is not None else None, 1)}",
            changed=each.since,
        )
        for each in rests
    ]


def _books(names: list[str] | None, count: int) -> str:
    known = [each for each in names or () if each]
    if len(known) == count:
        return ", ".join(known)
    return "one book" if count == 1 else f"{count} books"


def _id(kind: str, own: str) -> str:
    return sha256(f"calendar {kind} {own}".encode()).hexdigest()[:32]
