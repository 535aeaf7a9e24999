"""Handing over several books at once: chosen from the list, given as one file with a record of each."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.actor import Actor
from ledger.errors import InvalidError
from ledger.ports import Ledger
from ledger.usecases.browse import look_through
from ledger.usecases.hand_over import BOOKS_MOST, hand_over
from ledger.views import ShelfQuery, ShelfRow
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import Fault, faults_listed
from web.frame import Frame, Place
from web.render import Page, page, render

router = APIRouter()


@page("hand_over.html")
@dataclass(frozen=True, kw_only=True)
class HandOverPage(Page):
    """The books that are here, each with a box."""

    rows: tuple[ShelfRow, ...]
    most: int
    here: str
    """Where this page of the list begins; empty at its beginning."""
    after: str
    """Where the list goes on; empty at its end."""
    every: bool
    """All books of this page are meant."""
    recipient: str
    chosen: tuple[str, ...]
    problems: tuple[Fault, ...]


@router.get("/hand-over")
def choose(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, after: str = "") -> Response:
    """The books that are in the collection."""
    return render(_page(frame, ledger, actor, after=after))


@router.post("/hand-over")
def make(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep) -> Response:
    """The file with a record of each book that was ticked."""
    recipient, here, every = posted.get("recipient"), posted.get("after"), "all" in posted
    rows = _rows(ledger, actor, here)[0] if every else ()
    books = tuple(row.book for row in rows) if every else posted.all("book")
    try:
        data = hand_over(ledger, actor, books, recipient or None)
    except InvalidError as error:
        problems = faults_listed(error.problems, {})
        shown = _page(
            frame, ledger, actor, after=here, recipient=recipient, chosen=books, every=every, problems=problems
        )
        return render(shown, status=422)
    return Response(
        data, media_type="application/zip", headers={"Content-Disposition": 'attachment; filename="records.zip"'}
    )


def _rows(ledger: Ledger, actor: Actor, after: str) -> tuple[tuple[ShelfRow, ...], str]:
    """The books of one page of the list, and where it goes on."""
    found = look_through(ledger, actor, ShelfQuery(kept=True, limit=BOOKS_MOST, after=after or None)).page
    return tuple(found.rows), str(found.after or "")


def _page(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    *,
    after: str = "",
    recipient: str = "",
    chosen: tuple[str, ...] = (),
    every: bool = False,
    problems: tuple[Fault, ...] = (),
) -> HandOverPage:
    rows, onward = _rows(ledger, actor, after)
    return HandOverPage(
        frame=frame.at(Place.COLLECTION),
        rows=rows,
        most=BOOKS_MOST,
        here=after,
        after=onward,
        recipient=recipient,
        chosen=chosen,
        every=every,
        problems=problems,
    )
