"""outlooks: where one book may land, and an outlook as people write it."""

from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import Field

from api.book_outlook_answers import BookOutlookAnswer, SaidAnswer, book_outlook
from api.deps import BookId, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.outlook_answers import WeightAnswer
from api.queries import Asked
from ledger.outlook_said import LONGEST, read_outlook
from ledger.usecases.outlook import outlook_of, precedents_of

router = APIRouter(tags=["outlooks"])


class SaidAsked(Asked):
    """What somebody wrote."""

    said: str = Field(
        max_length=LONGEST,
        description="Chances and grades, or three grades low / likely / high.",
        examples=["60 % 7.5, 25 % 8.0, rest below"],
    )


@router.get(
    "/books/{book}/outlook",
    summary="Compute the outlook of a book",
    response_description="The ceiling, what work may leave, the chances over the steps, and graded books like it.",
    responses=failures(404, *EVERYWHERE),
)
def read_book_outlook(ledger: LedgerDep, actor: ReadingDep, book: BookId) -> BookOutlookAnswer:
    """Worked out from the last look, the tables as this collection ruled on them, and its own results.

    Nothing is written; to keep it, record an `outlook` with these weights and origin `computed`.
    """
    own = an_id("book", book)
    return book_outlook(outlook_of(ledger, actor, own), precedents_of(ledger, actor, own))


@router.get(
    "/outlooks/reading",
    summary="Read an outlook as people write it",
    response_description="The weights it means.",
    responses=failures(*EVERYWHERE),
)
def read_outlook_said(_actor: ReadingDep, asked: Annotated[SaidAsked, Query()]) -> SaidAnswer:
    """Nothing is written. What cannot be read is refused with the way to write it."""
    read = read_outlook(asked.said)
    weights = [WeightAnswer(grade=grade.text, per_mille=share) for grade, share in read.weights]
    return SaidAnswer(weights=weights, how=read.how)
