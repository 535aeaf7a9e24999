"""submissions: books that go to a grading service together, and each forecast beside its result."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from api.answers import answered
from api.bodies import read_body, read_counted
from api.deps import AppendDep, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, appended, failures
from api.market_answers import BatchAnswer, BatchList, InBatchAnswer, NewsBody, ResultsBody, SendBody
from api.schemas import Written
from ledger.batches import Batch, InBatch
from ledger.usecases import batches as work
from ledger.usecases.batches import BookResult, BookSent, ResultsSaid, SendSaid

router = APIRouter(prefix="/submissions", tags=["submissions"])

_WHAT = "batch"
BatchId = Annotated[str, Path(description="Id of the batch, the owner's own.", examples=["spring-2026"])]


@router.get("", summary="List batches", response_description="The batches.", responses=failures(*EVERYWHERE))
def list_batches(ledger: LedgerDep, actor: ReadingDep) -> BatchList:
    """Under way or over, the one with the newest entry first."""
    return BatchList(batches=[told(each) for each in work.look_at_batches(ledger, actor)])


@router.get("/{batch}", summary="Read a batch", response_description="It.", responses=failures(404, *EVERYWHERE))
def read_batch(ledger: LedgerDep, actor: ReadingDep, batch: BatchId) -> BatchAnswer:
    """Book by book: how far it is, what came of it, and the forecast beside it with the surprise in steps."""
    return told(work.look_at_batch(ledger, actor, an_id(_WHAT, batch)))


@router.post(
    "",
    summary="Send books together",
    status_code=201,
    response_description="One entry for each book.",
    responses=appended(404),
)
def send_batch(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """Every book or none. Fee and postage are those of the whole; the parts make it exactly (largest remainder)."""
    plain = append.plain()
    asked = read_counted(SendBody, plain)
    said = SendSaid(
        batch=asked.batch,
        on=asked.on,
        asks=asked.asks,
        speed=asked.speed,
        service=asked.service,
        fee=asked.fee,
        postage=asked.postage,
        books=tuple(BookSent(**vars(each)) for each in asked.books),
    )
    recorded = work.send(ledger, append.actor, said, append.asked("submissions", plain))
    return answered(request, response, recorded, f"/submissions/{asked.batch}")


@router.post(
    "/{batch}/news",
    summary="Tell how far a batch is",
    status_code=201,
    response_description="One entry for each book that was not so far.",
    responses=appended(404),
)
def tell_batch(request: Request, response: Response, ledger: LedgerDep, append: AppendDep, batch: BatchId) -> Written:
    """Received there, or shipped back: written for all that are under way and not so far yet."""
    plain, own = append.plain(), an_id(_WHAT, batch)
    asked = read_body(NewsBody, plain)
    request_as = append.asked(f"submissions/{own}/news", plain)
    recorded = work.move_on(ledger, append.actor, own, asked.stage, asked.on, request_as)
    return answered(request, response, recorded, f"/submissions/{own}")


@router.post(
    "/{batch}/results",
    summary="Write down what came of a batch",
    status_code=201,
    response_description="One entry for each book.",
    responses=appended(404),
)
def write_results(
    request: Request, response: Response, ledger: LedgerDep, append: AppendDep, batch: BatchId
) -> Written:
    """Of all its books or of some; those that are left out stay under way. The invoice is split as the fee is."""
    plain, own = append.plain(), an_id(_WHAT, batch)
    asked = read_counted(ResultsBody, plain)
    said = ResultsSaid(
        results=tuple(BookResult(**vars(each)) for each in asked.results),
        on=asked.on,
        came_back=asked.came_back,
        service=asked.service,
        invoice=asked.invoice,
    )
    request_as = append.asked(f"submissions/{own}/results", plain)
    recorded = work.write_results(ledger, append.actor, own, said, request_as)
    return answered(request, response, recorded, f"/submissions/{own}")


def told(of: Batch) -> BatchAnswer:
    """One as it is answered."""
    return BatchAnswer(
        batch=of.id,
        is_open=of.is_open,
        stage=of.stage,
        sent_on=str(of.sent_on) if of.sent_on else None,
        service=of.service.value,
        asks=of.asks,
        books=[_book(each) for each in of.books],
    )


def _book(of: InBatch) -> InBatchAnswer:
    slab = of.slab
    return InBatchAnswer(
        book=of.book,
        title=of.title,
        number=of.number,
        sent=of.sent.entry.seq,
        stage=of.stage,
        under_way=of.is_open,
        outcome=slab.outcome if slab is not None else None,
        outcome_entry=of.outcome.entry.seq if of.outcome is not None else None,
        grade=of.grade,
        forecast_entry=of.forecast.seq if of.forecast is not None else None,
        forecast_middle=of.forecast.middle if of.forecast is not None else None,
        surprise_steps=of.surprise,
    )
