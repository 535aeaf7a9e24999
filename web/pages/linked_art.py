"""Linked Art: one book as a file of an open standard, without what is sealed, or with it where its owner wishes that."""

from typing import Literal

from fastapi import APIRouter, Response

from ledger.usecases.linked_art import JSON_LD, linked_art
from web.deps import ActorDep, LedgerDep

router = APIRouter()


@router.get("/books/{book}/linked-art.jsonld")
def take(book: str, ledger: LedgerDep, actor: ActorDep, sealed: Literal["yes", "no"] = "no") -> Response:
    """The file."""
    made = linked_art(ledger, actor, book, sealed=sealed == "yes")
    headers = {
        "Content-Disposition": f'attachment; filename="slipsheet-book-{book}.jsonld"',
        "Cache-Control": "no-store",
    }
    return Response(made, media_type=JSON_LD, headers=headers)
