"""What is done on the board itself: a load goes on into the next step of its recipe, and a book's choice is written."""

from datetime import datetime
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import ConflictError, InvalidError, LedgerError, NoRoomError, Problem
from ledger.events.choice import Choice, Next
from ledger.usecases.bench import go_on
from ledger.usecases.record import Draft, record
from ledger.when import When
from web.bench_lines import step_title
from web.board import Sent
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import ask, key_of, refusal, told_of
from web.forms import typed_in
from web.frame import Place, Told
from web.pages.bench import bench_page
from web.render import render
from web.told import go_to
from web.tool_lines import no_room
from web.wording import t

router = APIRouter()

PATH: Final = Place.BENCH.path
CHOICE: Final = f"{PATH}/choice"


@router.post(f"{PATH}/{{load}}/next")
def next_step(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, load: str) -> Response:
    """Out of one step and into the next of the recipe; what the first came to is written down later."""
    try:
        after = go_on(ledger, actor, load)
    except (InvalidError, ConflictError) as error:
        sent = Sent(problems=(Problem(field="", sentence=_words(error, ledger.clock.now())),))
        return render(bench_page(frame, ledger, actor, sent), status=422 if isinstance(error, InvalidError) else 409)
    return go_to(request, PATH, Told(sentence=t.n("board.went_on", len(after.books), what=step_title(after.step))))


@router.post(CHOICE)
def choose(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The choice is an entry of today, or the board comes back with what was typed."""
    book, why, said = posted.get("book"), posted.get("why"), posted.get("next")
    try:
        if said not in {each.value for each in Next}:
            raise _not_chosen()
        today = When.of_day(ledger.clock.today())
        event = ledger.codec.read(Choice.kind, {"on": str(today), "next": said, "why": why.strip() or None})
        asked = ask(CHOICE, key_of(ledger, posted), typed_in(posted), posted)
        recorded = record(ledger, actor, [Draft(event=event, book=book)], asked)
    except LedgerError as error:
        refused = refusal(error)
        return render(
            bench_page(frame, ledger, actor, Sent(book=book, why=why, problems=refused.problems)), status=refused.status
        )
    return go_to(request, PATH, told_of(recorded, ""))


def _not_chosen() -> InvalidError:
    return InvalidError(problems=(Problem(field="next", sentence=t("board.decide.choose")),))


def _words(error: InvalidError | ConflictError, now: datetime) -> str:
    return no_room(error, now) if isinstance(error, NoRoomError) else str(error)
