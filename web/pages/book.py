"""The page of one book: what may be said of its work, its time on one axis, its grades, its entries, and its proof."""

import json
from dataclasses import dataclass, replace
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.responses import HTMLResponse

from ledger.actor import Permission
from ledger.errors import MalformedError
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.light import light_now, said_of
from ledger.usecases.look import look_at
from ledger.usecases.prove import Opened, book_proof
from web.book_told import told_of
from web.deps import ActorDep, FrameDep, LedgerDep, whole_session_of
from web.frame import Place, Told
from web.kept_books import BookKey, KeptBooks, ShownBook
from web.kept_pages import KeptPages, Key
from web.owners import Owner, owners_of
from web.pages.entry import damaged
from web.render import PART, Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

OpenedAsked = Annotated[Opened, Query(alias="open")]
AT_THE_COMPUTER: Final = [Depends(whole_session_of)]
"""The proof hands out the whole chain of a book, and signing needs the key."""
KEPT: Final = KeptPages()
BOOKS: Final = KeptBooks()


@page("book.html")
@dataclass(frozen=True, kw_only=True)
class BookPage(Page):
    """One book with all that is known of it, and the way to its proof."""

    book: str
    shown: ShownBook
    owners: tuple[Owner, ...]
    """Of whom a record came with it, each with its own verdict."""
    provable: bool
    """A signed checkpoint covers all entries, so the proof can be taken as it is."""


@router.get("/books/{book}")
def look(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The book's page."""
    actor.require(Permission.READ)
    signed = last_checkpoint(ledger, actor)
    # What was said of it beside the ledger makes no entry, and the page tells it.
    said = repr(sorted(said_of(ledger, book).items()))
    around, today, size = frame.at(Place.COLLECTION), ledger.clock.today(), frame.entries or 0

    def tell() -> ShownBook:
        seen = look_at(ledger, actor, book)
        told = told_of(seen, ledger.codec, today, light_now(ledger, actor, seen.book, seen.moments))
        can = told.next is not None and actor.may_write(told.next.kind)
        return ShownBook(told if can else replace(told, next=None))

    def make() -> bytes:
        shown = BOOKS.shown(ledger.log, size, BookKey(book, (actor.id, frame.phone, said), today), tell)
        provable = signed is not None and signed.size == size
        return bytes(
            render(
                BookPage(frame=around, book=book, shown=shown, owners=owners_of(ledger, actor, book), provable=provable)
            ).body
        )

    try:
        body = KEPT.body(
            ledger.log, Key((book, actor.id, said), around, today, signed.signed if signed else None), make
        )
    except MalformedError as damage:
        return damaged(around, damage, t("entry.damaged.of_book"))
    return HTMLResponse(body, headers={"Vary": PART})


@router.get("/books/{book}/proof", dependencies=AT_THE_COMPUTER)
def proof(book: str, ledger: LedgerDep, actor: ActorDep, opening: OpenedAsked = Opened.SHOWN) -> Response:
    """The file by which a stranger checks the whole chain of this book."""
    row = look_at(ledger, actor, book).row
    file = json.dumps(book_proof(ledger, actor, book, opened=opening), ensure_ascii=False, indent=1).encode()
    name = f"slipsheet-proof-book-{row.no}.json"
    return Response(
        file, media_type="application/json", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


@router.post("/books/{book}/proof", dependencies=AT_THE_COMPUTER)
def sign(book: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Signs a checkpoint over all entries, so that the proof can be taken."""
    row = look_at(ledger, actor, book).row
    signed = sign_checkpoint(ledger, actor)
    return go_to(request, f"/books/{row.book}#proof", Told(sentence=t.n("book.proof.signed", signed.size)))
