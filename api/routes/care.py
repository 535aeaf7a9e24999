"""care: what is due to be counted, looked at and housed anew; counts as one act; what is planned for a book."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from api.answers import answered
from api.bodies import read_body, read_counted, read_json
from api.care_answers import CareAsked, CareList, CountBody, PlannedBody, PlannedList, told_care, told_planned
from api.deps import AppendDep, BookId, LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id
from api.documents import EVERYWHERE, appended, failures
from api.schemas import Written
from ledger.events.count import Count
from ledger.ports import Ledger
from ledger.usecases import care as work

router = APIRouter(tags=["care"])


@router.get("/care", summary="List what is due", response_description="It.", responses=failures(422, *EVERYWHERE))
def read_care(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[CareAsked, Query()]) -> CareList:
    """Counts, condition checks and housings of the books that are here, sooner and later.

    A day that follows from the table is an appointment, and says nothing of how long paper or plastic last.
    """
    return told_care(work.care_due(ledger, actor, (asked.place,) if asked.place else ()))


@router.post(
    "/care/counts",
    summary="Count books",
    status_code=201,
    response_description="One entry for each book.",
    responses=appended(404),
)
def count_books(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """Every book or none, as one act; a book that should not be here is refused at its place among them."""
    plain = append.plain()
    asked = read_counted(CountBody, plain)
    counted = Count(on=asked.on, result=asked.result)
    recorded = work.count_books(ledger, append.actor, asked.books, counted, append.asked("care/counts", plain))
    return answered(request, response, recorded, f"/acts/{recorded.act}")


@router.get(
    "/books/{book}/planned",
    summary="Read what is planned for a book",
    response_description="It.",
    responses=failures(404, *EVERYWHERE),
)
def read_planned(ledger: LedgerDep, actor: ReadingDep, book: BookId) -> PlannedList:
    """Moves, presses and trips that it is to be looked at before."""
    return told_planned(work.planned_of(ledger, actor, _book(ledger, book)))


@router.put(
    "/books/{book}/planned",
    summary="Plan for a book",
    response_description="What is planned now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def put_planned(ledger: LedgerDep, actor: OwningDep, book: BookId, data: OwningBodyDep) -> PlannedList:
    """All of it, in place of what was planned. It lies beside the ledger; nothing is written into it."""
    asked = read_body(PlannedBody, read_json(data))
    planned = [(each.what, each.on) for each in asked.planned]
    return told_planned(work.put_planned(ledger, actor, an_id("book", book), planned))


def _book(ledger: Ledger, book: str) -> str:
    """Raises: NotFoundError."""
    with ledger.log.read() as reader:
        return reader.book(an_id("book", book)).book
