"""Events before they have a number: for which book each is, and what is wrong with them by themselves."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.errors import InvalidError, Problem
from ledger.events import Event, Scope
from ledger.events.outlook import Outlook, OutlookStage
from ledger.events.purchase import Purchase

__all__ = ["ACT_MOST", "Draft", "placed", "refuse_flaws"]

ACT_MOST = 500
"""Entries one act may have; more are several acts."""


@dataclass(frozen=True, kw_only=True)
class Draft:
    """An event before it has a number: for a book by its id, for a new book, or for the collection (neither)."""

    event: Event
    book: str | None = None
    new_book: bool = False
    id: str | None = None
    """Id for a new book; left out, one is drawn."""


def refuse_flaws(drafts: Sequence[Draft]) -> None:
    """Nothing, unless something is wrong with the drafts by themselves; then all of it.

    Raises: InvalidError.
    """
    if not 1 <= len(drafts) <= ACT_MOST:
        sentence = f"An act has 1 to {ACT_MOST} entries; this has {len(drafts)}. Split it."
        raise InvalidError(problems=(Problem(field="events", sentence=sentence),))
    found: list[Problem] = []
    for index, draft in enumerate(drafts):
        after = drafts[index + 1] if index + 1 < len(drafts) else None
        flaws = [*draft.event.all_flaws(), *_misplaced(draft, after)]
        found += placed(flaws, index, len(drafts))
    if found:
        raise InvalidError(problems=tuple(found))


def _begins(draft: Draft, after: Draft | None) -> bool:
    """A book begins with its purchase, or with what its buyer forecast before it; the purchase then follows at once."""
    event = draft.event
    if isinstance(event, Outlook) and event.stage is OutlookStage.AT_PURCHASE and draft.id is not None:
        return after is not None and isinstance(after.event, Purchase) and after.book == draft.id
    return isinstance(event, Purchase)


def _misplaced(draft: Draft, after: Draft | None) -> list[Problem]:
    event = draft.event
    if draft.new_book and draft.book is not None:
        sentence = (
            "A new book is not one that is there already. Name the book, or say that it is new; for its id use id."
        )
        return [Problem(field="book", sentence=sentence)]
    if draft.id is not None and not draft.new_book:
        return [Problem(field="id", sentence="Only a new book is given an id. Say that it is new, or name the book.")]
    if draft.new_book and not _begins(draft, after):
        return [Problem(field="kind", sentence="A book begins with its purchase. Send that first.")]
    about_collection = draft.book is None and not draft.new_book
    if about_collection and event.scope is Scope.BOOK:
        return [Problem(field="book", sentence=f"This {event.kind} speaks of a book. Name it.")]
    return []


def placed(problems: Sequence[Problem], index: int, count: int) -> tuple[Problem, ...]:
    """Problems under their fields' paths, with the place of their event when there are several."""
    if count == 1:
        return tuple(problems)
    return tuple(replace(each, field=f"events.{index}.{each.field}".rstrip(".")) for each in problems)
