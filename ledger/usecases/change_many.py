"""One change to many books under one reason: shown first, book by book, then written whole or not at all."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from ledger.actor import Actor, Permission
from ledger.entry import Entry
from ledger.errors import InvalidError, Problem, RuleError
from ledger.events import Event
from ledger.events.correction import Correction
from ledger.events.placement import Placement
from ledger.history import history, verdict
from ledger.ports import Codec, Ledger, Reader, Writer
from ledger.proof.canonical import Plain, encode
from ledger.usecases.ahead import ahead_warnings
from ledger.usecases.change_said import (
    CORRECTED,
    Add,
    Change,
    Correct,
    Value,
    after,
    before,
    correction,
    target,
    with_reason,
)
from ledger.usecases.drafts import ACT_MOST, Draft
from ledger.usecases.record import Recorded, Request, record_within, written_before
from ledger.usecases.stands_in import placed_in
from ledger.views import BookRow, ShelfQuery

__all__ = [
    "CHANGED_MOST",
    "CORRECTED",
    "Add",
    "Change",
    "Correct",
    "OneChange",
    "Preview",
    "found_by",
    "preview",
    "write_change",
]

CHANGED_MOST: Final = 2_000
"""Books that are changed at once: four acts, kept together. Our assumption; `tests/bench/changing.py` says how long."""
_PAGE: Final = 500
SAME: Final = "The book says this already. Leave it out."
NONE: Final = "Nothing in force says what is to be corrected. Leave the book out."


@dataclass(frozen=True, kw_only=True)
class OneChange:
    """What becomes of one book: the entry that would be written, and what stands in its way."""

    row: BookRow
    draft: Draft | None
    before: Value
    after: Value
    problems: tuple[Problem, ...] = ()
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Preview:
    """All books, in the order in which they were named."""

    books: tuple[OneChange, ...]
    seen: str
    """Tells this preview from any other: another change, or a book that has moved on since, gives another."""

    @property
    def refused(self) -> tuple[OneChange, ...]:
        """Books that the change cannot be made to."""
        return tuple(each for each in self.books if each.problems)

    @property
    def acts(self) -> int:
        """How many acts they are written in."""
        return -(-len(self.books) // ACT_MOST)


def found_by(ledger: Ledger, actor: Actor, query: ShelfQuery) -> list[str]:
    """Ids of all books that a query of the list lets through.

    Raises: InvalidError where they are more than are changed at once.
    """
    actor.require(Permission.READ)
    found: list[str] = []
    with ledger.log.read() as reader:
        behind: str | None = None
        while True:
            page = reader.shelf(replace(query, after=behind, limit=_PAGE))
            found += [row.book for row in page.rows]
            behind = page.after
            if len(found) > CHANGED_MOST:
                said = f"At most {CHANGED_MOST:,} books are changed at once. Narrow the list, and change them in parts."
                raise InvalidError(problems=(Problem(field="", sentence=said),))
            if behind is None:
                return found


def preview(ledger: Ledger, actor: Actor, books: Sequence[str], change: Change, reason: str) -> Preview:
    """What would be written of each book, and what stands in its way. Nothing is.

    Raises: NotFoundError for a book that is not here; InvalidError for none, too many, or no reason.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return _preview(ledger, actor, reader, books, change, reason)


def write_change(  # noqa: PLR0913 - who changes what, why, as it was seen, and how it was asked
    ledger: Ledger, actor: Actor, books: Sequence[str], change: Change, reason: str, seen: str, request: Request
) -> list[Recorded]:
    """The change, written as it was shown: one act for each `ACT_MOST` books, all of them kept, or none.

    Raises: RuleError where something else would be written than was seen, or a book stands in the way; what `preview`
    and `record` raise.
    """
    firsts = range(0, len(dict.fromkeys(books)), ACT_MOST)
    asked = [
        replace(request, key=f"{request.key} {first}" if request.key and first else request.key) for first in firsts
    ]

    def work(writer: Writer) -> list[Recorded]:
        once = [told for each in asked if (told := written_before(writer, ledger, actor, each)) is not None]
        if once:
            return once
        made = _preview(ledger, actor, writer, books, change, reason)
        drafts = [each.draft for each in made.books if each.draft is not None]
        if made.seen != seen or made.refused:
            raise RuleError(problems=(Problem(field="", sentence=_CHANGED),))
        parts = zip(firsts, asked, strict=True)
        return [record_within(writer, ledger, actor, drafts[at : at + ACT_MOST], each) for at, each in parts]

    return ledger.log.write(work)


_CHANGED: Final = "Something has changed since this was shown, or stands in the way. Look at it once more."


def _preview(  # noqa: PLR0913 - as above
    ledger: Ledger, actor: Actor, reader: Reader, books: Sequence[str], change: Change, reason: str
) -> Preview:
    own = list(dict.fromkeys(books))
    _refuse_unfit(own, reason)
    now = ledger.clock.now()
    if isinstance(change, Add) and isinstance(change.event, Placement):
        change = Add(event=placed_in(reader.tallies().places, change.event))
    made = tuple(_one(ledger, actor, reader, book, change, reason.strip(), now) for book in own)
    return Preview(books=made, seen=_digest(made, ledger.codec))


def _refuse_unfit(books: Sequence[str], reason: str) -> None:
    if not books:
        raise InvalidError(problems=(Problem(field="", sentence="No book is chosen. Choose those to change."),))
    if len(books) > CHANGED_MOST:
        said = f"At most {CHANGED_MOST:,} books are changed at once; these are {len(books):,}. Change them in parts."
        raise InvalidError(problems=(Problem(field="", sentence=said),))
    if not reason.strip():
        said = "Say why. The reason stands in each entry."
        raise InvalidError(problems=(Problem(field="reason", sentence=said),))


def _one(  # noqa: PLR0913 - as above
    ledger: Ledger, actor: Actor, reader: Reader, book: str, change: Change, reason: str, now: datetime
) -> OneChange:
    row, chain = reader.book(book), reader.of_book(book)
    moments = history(chain, ledger.codec)
    if isinstance(change, Add):
        event: Event = with_reason(change.event, reason, moments)
        stood, comes = before(event, moments), after(event)
    else:
        moment, comes = target(change.field, moments), str(change.value)
        if moment is None:
            return OneChange(
                row=row, draft=None, before=None, after=comes, problems=(Problem(field="", sentence=NONE),)
            )
        event, stood = correction(change, moment, reason, ledger.codec)
        if stood == comes:
            same = (Problem(field="", sentence=SAME),)
            return OneChange(row=row, draft=None, before=stood, after=comes, problems=same)
    actor.require_to_write(event.kind)
    problems, warnings = _judged(ledger, actor, event, chain, now)
    draft = Draft(event=event, book=book)
    return OneChange(row=row, draft=draft, before=stood, after=comes, problems=problems, warnings=warnings)


def _judged(
    ledger: Ledger, actor: Actor, event: Event, chain: Sequence[Entry], now: datetime
) -> tuple[tuple[Problem, ...], tuple[str, ...]]:
    """What stands against it, as the door would say it, and what it would warn of."""
    whole = event.complete(chain)
    if flaws := tuple(whole.all_flaws()):
        return flaws, ()
    last = chain[-1]
    candidate = Entry(
        seq=last.seq + 1,
        book=last.book,
        book_no=last.book_no,
        book_seq=len(chain) + 1,
        act="",
        actor=actor.id,
        recorded=now,
        leaf="",
        event=whole,
    )
    try:
        refused, warned = verdict(chain, candidate, ledger.codec, ledger.collection)
    except InvalidError as error:
        return error.problems, ()
    ahead = ahead_warnings(whole, chain, ledger.codec, now)
    return tuple(refused), tuple(dict.fromkeys((*(each.sentence for each in warned), *ahead)))


def _digest(made: Sequence[OneChange], codec: Codec) -> str:
    told: list[Plain] = []
    for each in made:
        said = "" if each.draft is None else repr(_told(each.draft.event, codec))
        told.append([each.row.book, each.row.entries, said, str(each.before), str(each.after)])
    return hashlib.sha256(encode(told)).hexdigest()


def _told(event: Event, codec: Codec) -> tuple[object, ...]:
    """All that an entry would say."""
    if isinstance(event, Correction):
        return event.kind, str(event.on), event.entry, sorted(event.changes.items()), event.reason.value
    return event.kind, str(event.on), *codec.split(event)
