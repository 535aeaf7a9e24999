"""The page of one book: what may be said of its work, its time on one axis, its grades, its entries, and its proof."""

import json
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import HTMLResponse

from ledger.actor import Permission
from ledger.errors import MalformedError
from ledger.events.purchase import WITHOUT_PRICE, Purchase
from ledger.ports import Codec
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.look import BookLook, look_at
from ledger.usecases.prove import Opened, book_proof
from web.book_facts import Fact, Heading, facts_of, heading_of
from web.deps import ActorDep, FrameDep, LedgerDep
from web.entry_rows import EntryRow, rows_of
from web.figure import Figure, figure_of
from web.frame import Frame, Place, Told
from web.kept_pages import KeptPages, Key
from web.lanes import CLOSE, WIDE, Drawing, draw
from web.next_thing import Next, next_thing
from web.pages.entry import damaged
from web.render import PART, Page, page, render
from web.telling import Beside, Telling, tell
from web.told import go_to
from web.wording import t

router = APIRouter()

OpenedAsked = Annotated[Opened, Query(alias="open")]
KEPT: Final = KeptPages()


@page("book.html")
@dataclass(frozen=True, kw_only=True)
class BookPage(Page):
    """One book with all that is known of it."""

    book: str
    heading: Heading
    figure: Figure
    telling: Telling
    facts: tuple[Fact, ...]
    next: Next | None
    provable: bool
    """A signed checkpoint covers all entries, so the proof can be taken as it is."""
    drawings: tuple[tuple[str, Drawing], ...]
    """The lanes twice, for a wide page and for a closer one, each under the name of its class."""
    rows: tuple[EntryRow, ...]


@router.get("/books/{book}")
def look(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The book's page."""
    actor.require(Permission.READ)
    signed = last_checkpoint(ledger, actor)
    around, today = frame.at(Place.COLLECTION), ledger.clock.now().date()
    key = Key((book, actor.id), around, today, signed.signed if signed else None)

    def make() -> bytes:
        provable = signed is not None and signed.size == frame.entries
        return bytes(render(_page(around, look_at(ledger, actor, book), ledger.codec, today, provable=provable)).body)

    try:
        body = KEPT.body(ledger.log, key, make)
    except MalformedError as damage:
        return damaged(around, damage, t("entry.damaged.of_book"))
    return HTMLResponse(body, headers={"Vary": PART})


@router.get("/books/{book}/proof")
def proof(book: str, ledger: LedgerDep, actor: ActorDep, opening: OpenedAsked = Opened.SHOWN) -> Response:
    """The file by which a stranger checks the whole chain of this book."""
    row = look_at(ledger, actor, book).row
    file = json.dumps(book_proof(ledger, actor, book, opened=opening), ensure_ascii=False, indent=1).encode()
    name = f"slipsheet-proof-book-{row.no}.json"
    return Response(
        file, media_type="application/json", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


@router.post("/books/{book}/proof")
def sign(book: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Signs a checkpoint over all entries, so that the proof can be taken."""
    row = look_at(ledger, actor, book).row
    signed = sign_checkpoint(ledger, actor)
    return go_to(request, f"/books/{row.book}#proof", Told(sentence=t.n("book.proof.signed", signed.size)))


def _page(frame: Frame, seen: BookLook, codec: Codec, today: date, *, provable: bool) -> BookPage:
    until = today if seen.book.held else None
    return BookPage(
        frame=frame,
        book=seen.row.book,
        heading=heading_of(seen),
        figure=figure_of(seen.book, seen.moments),
        telling=_told(seen),
        facts=facts_of(seen),
        next=next_thing(seen.book, seen.moments),
        provable=provable,
        drawings=tuple(
            (name, draw(seen.moments, until, plot=plot)) for name, plot in (("wide", WIDE), ("close", CLOSE))
        ),
        rows=rows_of(seen.moments, codec),
    )


def _told(seen: BookLook) -> Telling:
    """The statement in sentences."""
    owned = seen.book.ownerships[-1] if seen.book.ownerships else None
    said = [each.event for each in seen.moments if each.in_force and isinstance(each.event, Purchase)]
    beside = Beside(
        gone=owned is not None and owned.left_by is not None,
        left=owned.until if owned else None,
        sold=not said or said[-1].means not in WITHOUT_PRICE,
        words=(said[-1].earlier_work_words.value or "") if said else "",
    )
    return tell(seen.statement, beside)
