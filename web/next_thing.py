"""The one thing that makes sense next for a book, as far as its own entries tell."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.book import Book, Status
from ledger.events._parts import Holding
from ledger.events.arrival import Arrival, Stage
from ledger.events.intervention import Intervention
from ledger.history import Moment
from web.wording import t

__all__ = ["Next", "next_thing"]


@dataclass(frozen=True)
class Next:
    """A button: what it says, and where it leads."""

    words: str
    href: str
    kind: str
    """What would be written."""


def next_thing(book: Book, moments: Sequence[Moment]) -> Next | None:
    """What to do next; None when nothing asks for it."""
    found = _there(book, moments) if book.held else _gone(book, moments)
    if found is None:
        return None
    name, kind = found
    return Next(words=t(f"book.next.{name}"), href=f"/entry/new?book={book.id}&kind={kind}", kind=kind)


def _gone(book: Book, moments: Sequence[Moment]) -> tuple[str, str] | None:
    """A book that was sent back is still to be paid back."""
    refunds = [each for each in moments if each.in_force and isinstance(each.event, Arrival)]
    waiting = refunds and refunds[-1].event.stage is Stage.SENT_BACK  # type: ignore[attr-defined]  # an Arrival, see above
    return ("refund", "arrival") if book.status is Status.SENT_BACK and waiting else None


def _there(book: Book, moments: Sequence[Moment]) -> tuple[str, str] | None:
    """In the order in which one thing waits for another."""
    since = _since_last_look(book, moments)
    waiting = (
        (book.status is Status.EXPECTED, "arrival", "arrival"),
        (book.open_submission is not None, "result", "slab"),
        (book.status is Status.OUT, "back", "custody"),
        (book.missing_since is not None, "count", "count"),
        (book.last_look is None, "first_look", "examination"),
        ("opening" in since, "look_opened", "examination"),
        ("intervention" in since, "look_again", "examination"),
        ("slab" in since and book.holding is Holding.RAW, "look_back", "examination"),
        (book.on_bench, "work", "intervention"),
        (book.cover is None, "photograph", "photograph"),
        (book.spot is None, "place", "placement"),
    )
    return next(((name, kind) for waits, name, kind in waiting if waits), None)


def _since_last_look(book: Book, moments: Sequence[Moment]) -> set[str]:
    """The kinds of what has happened to the book since it was last looked at; work that changes no paper left out."""
    if book.last_look is None:
        return set()
    place = [each.entry.seq for each in moments].index(book.last_look.seq)
    later = [each for each in moments[place + 1 :] if each.in_force]
    return {each.event.kind for each in later if not isinstance(each.event, Intervention) or _worked(each.event)}


def _worked(event: Intervention) -> bool:
    return event.technique not in {"housing", "signature", "encapsulation"}
