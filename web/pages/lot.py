"""A lot: several books on one form with one price; what each bears is shown to the cent before it is written."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import LedgerError, Problem
from ledger.money import Money
from ledger.ports import Ledger
from ledger.usecases.lots import PAID, LotSaid, buy_lot, parts_of_lot
from web import filters
from web.deps import FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import (
    Fault,
    added_row,
    ask,
    faults_listed,
    faults_of,
    key_of,
    placing,
    refusal,
    refuse_unread,
    told_of,
)
from web.form_showing import Shown, View, labels_of
from web.forms import typed_in
from web.frame import Frame
from web.lot_form import FIRST_TITLE, read_lot, shown_lot
from web.posted import Posted
from web.render import Page, page, render
from web.sender import SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/purchase/lot"
DRAFT: Final = "lot"
SEEN: Final = "seen"
"""Which parts were shown; sent along, so that what is written is what was seen."""


@dataclass(frozen=True, kw_only=True)
class PartsShown:
    """What each book bears: the sums that were entered, a line for each book, and the whole."""

    sums: tuple[str, ...]
    books: tuple[tuple[str, tuple[str, ...]], ...]
    whole: tuple[str, ...]
    seen: str
    """Tells these parts from any others."""


@page("lot.html")
@dataclass(frozen=True, kw_only=True)
class LotPage(Page):
    """The form of a lot."""

    first: tuple[Shown, ...]
    books: Shown
    later: tuple[Shown, ...]
    parts: PartsShown | None
    changed: bool
    """It was to be written, and what was typed had changed since its parts were shown."""
    problems: tuple[Fault, ...]
    key: str
    waiting: str


@router.get(PATH)
def lot(frame: FrameDep, ledger: LedgerDep, waiting: WaitingDep) -> Response:
    """A blank form; one that waited comes back as it was."""
    sent = waiting if waiting is not None and waiting.action == PATH else None
    view = View(typed=typed_in(sent) if sent is not None else {}, focus=FIRST_TITLE)
    return render(_page(frame, ledger, view, sent))


@router.post(PATH)
def write(by: SenderDep, posted: PostedDep) -> Response:
    """One more row, the parts, or the whole lot written once its parts were seen; else the form comes back."""
    typed, key = typed_in(posted), key_of(by.ledger, posted)
    if more := added_row(typed):
        return render(_page(by.frame, by.ledger, View(typed=typed, more=more), posted))
    said, heard = read_lot(typed, by.habits, by.ledger.codec)
    try:
        refuse_unread(heard, typed, SEEN)
        assert said is not None
        with placing(heard):
            parts = _parts(said)
            if posted.get("do") != "write" or posted.get(SEEN) != parts.seen:
                view = View(typed=typed, heard=heard)
                changed = posted.get("do") == "write" and bool(posted.get(SEEN))
                return render(_page(by.frame, by.ledger, view, posted, parts=parts, changed=changed))
            recorded = buy_lot(by.ledger, by.actor, said, ask(PATH, key, typed, posted))
    except LedgerError as error:
        refused = refusal(error)
        view = View(typed=typed, heard=heard, faults=faults_of(refused.problems))
        again = None if refused.key_is_used else posted
        shown_again = _page(by.frame, by.ledger, view, again, refused.problems)
        return render(shown_again, status=refused.status)
    return go_to(by.request, "/ledger", told_of(recorded, DRAFT))


def _parts(said: LotSaid) -> PartsShown:
    """The parts as they are shown.

    Raises: InvalidError.
    """
    parts = parts_of_lot(said)
    paid = [name for name in PAID if getattr(said, name) is not None]
    rows: list[list[Money]] = [[getattr(part, name) for name in paid] for part in parts]
    exact = "\n".join(
        " ".join([each.issue.title, each.issue.number, *map(str, row)])
        for each, row in zip(said.books, rows, strict=True)
    )
    return PartsShown(
        sums=tuple(t(f"lot.sums.{name}") for name in paid),
        books=tuple(
            (str(each.issue), tuple(map(filters.money, row))) for each, row in zip(said.books, rows, strict=True)
        ),
        whole=tuple(filters.money(getattr(said, name)) for name in paid),
        seen=hashlib.sha256(exact.encode()).hexdigest(),
    )


def _page(  # noqa: PLR0913 - the parts of one page
    frame: Frame,
    ledger: Ledger,
    view: View,
    posted: Posted | None,
    problems: Sequence[Problem] = (),
    *,
    parts: PartsShown | None = None,
    changed: bool = False,
) -> LotPage:
    first, books, later = shown_lot(view)
    return LotPage(
        frame=frame,
        first=first,
        books=books,
        later=later,
        parts=parts,
        changed=changed,
        problems=faults_listed(problems, labels_of([*first, books, *later])),
        key=key_of(ledger, posted),
        waiting=posted.waiting if posted is not None else "",
    )
