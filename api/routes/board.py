"""board: the books at the bench, what each waits for, and the heat it had; and a load goes on into its recipe's next step."""

from typing import Annotated, Literal

from fastapi import APIRouter, Path, Request, Response
from pydantic import Field

from api.answers import placed
from api.book_answers import HeatAnswer, heat_fields
from api.deps import LedgerDep, ReadingDep, RecordingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.routes.bench import LoadAnswer, load_answer
from api.schemas import Answer
from ledger.usecases.bench import go_on
from ledger.usecases.board import AtBench, look_at_board
from ledger.usecases.tools import look_at_tools

router = APIRouter(prefix="/bench", tags=["bench"])

_ID = "q4w8e2r6t5y3u7i9o2p4a6s8d2"

Waits = Literal["load", "decision", "step"]


class LastStep(Answer):
    """The last step of work on a book."""

    technique: str = Field(description="Id of its technique.")
    on: str | None = Field(description="When it was; null where that is not known. Units: EDTF.")


class AtBenchAnswer(Answer):
    """One book at the bench."""

    book: str = Field(description="Id of the book.")
    name: str = Field(description="Title and number.")
    waits_for: Waits = Field(
        description="`load`: the load it is in; `decision`: whether to go on, to stop or to leave it alone; `step`: going "
        "on was chosen, and it is in no load."
    )
    load: str | None = Field(description="Id of the load that it is in; null where it is in none.")
    over: LastStep | None = Field(description="The last step, if nothing was chosen since.")
    look_due: str | None = Field(
        description="Since when a look after a week of rest is due, if nothing was chosen since. Units: ISO 8601 date."
    )
    heat: HeatAnswer = Field(description="All heat it had here.")


class BoardAnswer(Answer):
    """Every book at the bench."""

    books: list[AtBenchAnswer] = Field(
        description="Those in loads first, then those to decide on, then those to go in."
    )


@router.get("/board", summary="Look at the board", response_description="The books.", responses=failures(*EVERYWHERE))
def read_board(ledger: LedgerDep, actor: ReadingDep) -> BoardAnswer:
    """What each book at the bench waits for; to decide on one, record a choice for it."""
    board = look_at_board(ledger, actor)
    held = {book: load.id for load in board.bench.loads for book in load.books}
    return BoardAnswer(
        books=[
            *(_at_bench(board.books[book], "load", load) for book, load in held.items() if book in board.books),
            *(_at_bench(each, "decision") for each in board.undecided),
            *(_at_bench(each, "step") for each in board.waiting),
        ]
    )


@router.post(
    "/loads/{load}/next",
    summary="Take a load into the next step of its recipe",
    status_code=201,
    response_description="The load that begins; the one before is stopped and stays until it is taken away.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/bench/loads/{_ID}")}},
        **failures(404, 409, 422, *EVERYWHERE),
    },
)
def next_step(
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: RecordingDep,
    load: Annotated[str, Path(description="Id of the load.", examples=[_ID])],
) -> LoadAnswer:
    """Into the tool that the step names, if there is one of that name and room in it; else nothing is changed."""
    after = go_on(ledger, actor, an_id("load on the bench", load))
    placed(request, response, f"/bench/loads/{after.id}")
    return load_answer(after, look_at_tools(ledger, actor))


def _at_bench(book: AtBench, waits_for: Waits, load: str | None = None) -> AtBenchAnswer:
    over = None
    if book.over is not None and load is None:
        over = LastStep(technique=book.over.technique, on=None if book.over.on is None else str(book.over.on))
    due = book.look_due if load is None else None
    return AtBenchAnswer(
        book=book.id,
        name=book.name,
        waits_for=waits_for,
        load=load,
        over=over,
        look_due=None if due is None else due.isoformat(),
        heat=HeatAnswer.model_validate(heat_fields(book.heat)),
    )
