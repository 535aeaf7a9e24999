"""linked art: one book as JSON-LD, in the terms of an open standard."""

from typing import Annotated, Any, Final

from fastapi import APIRouter, Query, Response
from pydantic import Field

from api.deps import BookId, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from ledger.usecases.linked_art import JSON_LD, linked_art

router = APIRouter(tags=["books"])

_EXAMPLE: Final[dict[str, Any]] = {
    "@context": "https://linked.art/ns/v1/linked-art.json",
    "@graph": [{"type": "HumanMadeObject", "_label": "The Copper Lantern, no. 14, book 1"}],
}


class LinkedAsked(Asked):
    """What of it is told."""

    sealed: bool = Field(
        default=False,
        description="With the values that are sealed: names, amounts, words. It takes the permission to record.",
        examples=[False],
    )


class LinkedResponse(Response):
    """A JSON-LD document."""

    media_type = JSON_LD


@router.get(
    "/books/{book}.jsonld",
    summary="Read a book as Linked Art",
    response_class=LinkedResponse,
    response_description="The book as an object with its looks, work and photographs, and its provenance beside it.",
    responses={
        200: {"content": {JSON_LD: {"schema": {"type": "object"}, "example": _EXAMPLE}}},
        **failures(404, 422, *EVERYWHERE),
    },
)
def read_linked_art(
    ledger: LedgerDep, actor: ReadingDep, book: BookId, asked: Annotated[LinkedAsked, Query()]
) -> LinkedResponse:
    """JSON-LD in the published context. A purchase is an Acquisition, out for grading a TransferOfCustody, work a Modification."""
    return LinkedResponse(linked_art(ledger, actor, an_id("book", book), sealed=asked.sealed))
