"""What a calendar is told of the bench and of care.

When a load comes out, what is to be written down, which book to look at again, which swap is due, what is to be counted
or housed anew. Whoever has the address can read it, and calendars are kept by others. So nothing in it tells a place, a sum, a person,
or that a book is away; titles only where the owner wants them.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Final, Protocol

from ledger.bench import Load
from ledger.care_due import Care, CareDue
from ledger.rotations import Rotation
from ledger.rules.techniques import techniques

__all__ = ["AHEAD", "Calendars", "Due", "RestDue", "due_care", "due_loads", "due_rests", "due_swaps"]


AHEAD: Final = timedelta(minutes=10)
"""Time to come to the press before it ends. Our assumption."""


NAMED_MOST: Final = 5
"""Books named in one entry; more are counted. Our assumption."""


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


def due_swaps(plan: Rotation | None, names: Mapping[str, str] | None) -> list[Due]:
    """The swaps of the plan that counts which are still to be done, and the end of it; `names` as above."""
    if plan is None:
        return []
    found = [
        Due(
            id=_id("swap", f"{plan.id} {swap.number}"),
            at=swap.due,
            words=f"Swap {swap.number + 1} of {len(plan.periods)}: hang {_of(names, swap.row)}",
            changed=plan.row.made,
        )
        for swap in plan.swaps
        if swap.open
    ]
    over = Due(id=_id("swap end", plan.id), at=plan.ends, words="The plan of rotation ends", changed=plan.row.made)
    return [*found, over]


def due_care(dues: Iterable[CareDue], names: Mapping[str, str] | None) -> list[Due]:
    """What is to be counted, looked at and housed anew, one entry a day for all books alike; `names` as above.

    Keeps: why a book is looked at stays out of it, for a trip is somebody's absence; so does what has no day. A look after
    a rest is told by `due_rests`.
    """
    days: dict[tuple[date, str], list[CareDue]] = {}
    for each in dues:
        if each.on is not None and each.care is not Care.AFTER_WORK:
            days.setdefault((each.on, _to_do(each)), []).append(each)
    return [
        Due(
            id=_id("care", f"{on.isoformat()} {to_do}"),
            at=on,
            words=f"{to_do}: {_of(names, list(dict.fromkeys(each.book for each in alike)))}",
            changed=max(each.noted for each in alike),
        )
        for (on, to_do), alike in days.items()
    ]


def _to_do(due: CareDue) -> str:
    if due.care is Care.HOUSING:
        return f"Look over the {due.around}"
    return "Count" if due.care in {Care.COUNT, Care.MISSING} else "Look at"


def _of(names: Mapping[str, str] | None, books: Sequence[str]) -> str:
    """The books by their names, as long as they are few."""
    few = names is not None and len(books) <= NAMED_MOST
    return _books([(names or {}).get(each, "") for each in books] if few else None, len(books))


def _books(names: list[str] | None, count: int) -> str:
    known = [each for each in names or () if each]
    if len(known) == count:
        return ", ".join(known)
    return "one book" if count == 1 else f"{count} books"


def _id(kind: str, own: str) -> str:
    return sha256(f"calendar {kind} {own}".encode()).hexdigest()[:32]
