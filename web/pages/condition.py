"""The condition of a book, look by look: the book opened flat with what lies on it, and what has changed since before."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.errors import NotFoundError
from ledger.looks import MARKS_ASKED, Change, LookSeen, Seen, looks_of, outcome, see_again
from ledger.measured import NATURAL_MM, NATURAL_SOURCE
from ledger.proof.canonical import GREATEST
from ledger.rules.cautions import Caution, caution
from ledger.usecases.look import BookLook, look_at
from web.condition_facts import facts_of
from web.condition_lines import (
    ClaimLine,
    DefectLine,
    MarkLine,
    Shape,
    claim_lines_of,
    lines_of,
    mark_lines_of,
    marks_asked,
    named,
    photographs_of,
    shapes_of,
)
from web.deps import ActorDep, FrameDep, LedgerDep
from web.filters import when
from web.frame import Place
from web.placing import Ground, ground_of
from web.render import Page, page, render
from web.step_words import claimed
from web.wording import t

router = APIRouter()

_COUNTED: Final = (
    Change.NEW,
    Change.CONFIRMED,
    Change.WORSE,
    Change.BACK,
    Change.LESSENED,
    Change.GONE,
    Change.SAME,
    Change.UNMENTIONED,
    Change.OTHERWISE,
    Change.UNSEEN,
)
Seq = Annotated[int | None, Query(ge=1, le=GREATEST)]


@dataclass(frozen=True, kw_only=True)
class LookLine:
    """One look in the row of all of them."""

    seq: int
    words: str
    href: str
    current: bool


@page("condition.html")
@dataclass(frozen=True, kw_only=True)
class ConditionPage(Page):
    """One look at a book, held against the one before."""

    book: str
    title: str
    looks: tuple[LookLine, ...]
    ground: Ground | None
    shapes: tuple[Shape, ...]
    lines: tuple[DefectLine, ...]
    claims: tuple[ClaimLine, ...]
    marks: tuple[MarkLine, ...]
    facts: tuple[tuple[str, str | None], ...]
    counts: tuple[str, ...]
    """How many defects are new, gone, lessened, worse."""
    notes: tuple[str, ...]
    natural: str
    """By how much a length may differ and still be the same, and who says so."""
    work: tuple[int, ...]
    mould: Caution | None
    """Where the look knows of mould."""
    seq: int | None
    before: str
    after: str


@router.get("/books/{book}/condition")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, book: str, look: Seq = None) -> Response:
    """The last look, or the one that was asked for."""
    seen = look_at(ledger, actor, book)
    looks = looks_of(seen.moments)
    issue = seen.book.issue
    title = f"{issue.title} {issue.number or ''}".strip() if issue else t("book.unnamed")
    at = _chosen(looks, look)
    own = looks[at] if looks else None
    ground = ground_of((seen,)) if own else None
    shots = photographs_of(seen.moments)
    return render(
        ConditionPage(
            frame=frame.at(Place.COLLECTION),
            book=book,
            title=title,
            looks=tuple(_line(book, each, place == at) for place, each in enumerate(looks)),
            ground=ground,
            shapes=shapes_of(own, ground) if own and ground else (),
            lines=lines_of(own, ground, shots) if own and ground else (),
            claims=claim_lines_of(own) if own else (),
            marks=mark_lines_of(own, ground, shots) if own and ground else (),
            facts=facts_of(own) if own else (),
            counts=_counts(own) if own and at else (),
            notes=tuple(_notes(seen, looks, own)) if own else (),
            natural=t("condition.natural", mm=NATURAL_MM, source=NATURAL_SOURCE),
            work=own.work if own else (),
            mould=caution("mould") if own and _has_mould(own) else None,
            seq=own.seq if own else None,
            before=_href(book, looks[at - 1]) if own and at else "",
            after=_href(book, looks[at + 1]) if own and at + 1 < len(looks) else "",
        )
    )


def _chosen(looks: Sequence[LookSeen], asked: int | None) -> int:
    """The place of the look that is shown.

    Raises: NotFoundError for an entry that is no look at this book.
    """
    if asked is None:
        return max(0, len(looks) - 1)
    found = next((place for place, each in enumerate(looks) if each.seq == asked), None)
    if found is None:
        raise NotFoundError(what="look at this book", name=str(asked))
    return found


def _has_mould(look: LookSeen) -> bool:
    return any(each.defect.type == "mould" and not each.defect.gone for each in look.seen)


def _href(book: str, look: LookSeen) -> str:
    return f"/books/{book}/condition?look={look.seq}"


def _line(book: str, look: LookSeen, current: bool) -> LookLine:  # noqa: FBT001 - where it stands
    return LookLine(seq=look.seq, words=when(look.on), href=_href(book, look), current=current)


def _still_asked(look: LookSeen, change: Change) -> list[Seen]:
    """The defects of which that is true; one that was gone before is not missed where nobody mentions it."""
    unmentioned = change in (Change.UNSEEN, Change.UNMENTIONED)
    return [each for each in look.changed(change) if not (unmentioned and each.defect.gone)]


def _counts(look: LookSeen) -> tuple[str, ...]:
    return tuple(
        t.n(f"condition.counts.{change.name.lower()}", len(found))
        for change in _COUNTED
        if (found := _still_asked(look, change))
    )


def _claims(seen: BookLook, look: LookSeen) -> list[str]:
    """What was said right after each step since the last look, which is no finding."""
    seqs = [each.entry.seq for each in seen.moments]
    since = seen.moments[seqs.index(look.seq) + 1 :]
    said = ((each.entry.seq, claimed(each.event)) for each in since if each.in_force)
    return [t("condition.said_after", seq=seq, claim=claim) for seq, claim in said if claim]


def _notes(seen: BookLook, looks: Sequence[LookSeen], look: LookSeen) -> list[str]:
    """What the look asks, whether the one that counts is still to come, and that marks are asked for."""
    notes = list(_questions(look))
    if look.seq == looks[-1].seq:
        notes += _claims(seen, look)
    again = see_again(seen.moments)
    counting = outcome(looks)
    if again is not None and seen.book.held:
        notes.append(t("condition.rest_due"))
        if again:
            notes.append(t.n("condition.again", len(again), names=", ".join(named(looks[-1], again))))
    elif counting is not None and counting.seq == look.seq:
        notes.append(t("condition.counts_for"))
    if look is looks[-1] and seen.book.held and len(look.marks) < MARKS_ASKED:
        notes.append(marks_asked(len(look.marks)))
    return notes


def _questions(look: LookSeen) -> Iterator[str]:
    """Measures to be taken again: they changed from the last time, or in all from the first."""
    for each in look.measured:
        if each.name in look.questions:
            asked = "questions" if each.step else "questions_in_all"
            yield t(f"condition.{asked}.{each.name}", first=each.first, seq=each.first_seq)
