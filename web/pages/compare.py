"""Before and after: two photographs of one face side by side, and laid over each other by two points set by hand."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from ledger.errors import Problem
from ledger.usecases.look import look_at
from web.book_facts import heading_of
from web.compared import Pick, Set, Shot, pick, points_of, shots_of
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render
from web.wording import t

router = APIRouter()

Seq = Annotated[int | None, Query(ge=1)]


@page("compare.html")
@dataclass(frozen=True, kw_only=True)
class ComparePage(Page):
    """What can be compared, what is, and by which points; nothing of it is stored."""

    book: str
    title: str
    number: str
    shots: tuple[Shot, ...]
    picked: Pick | None
    points: Set
    problems: tuple[Problem, ...]
    asked: tuple[int | None, int | None]
    """The entries that were asked for, where they make no pair."""


@router.get("/books/{book}/compare")
def look(  # noqa: PLR0913 - what is asked, of whom, by whom
    book: str,
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    before: Seq = None,
    after: Seq = None,
) -> Response:
    """The two photographs; with points, the later one laid over the earlier."""
    seen = look_at(ledger, actor, book)
    heading = heading_of(seen)
    shots = shots_of(seen.moments)
    picked = pick(shots, before, after) if shots else None
    points = points_of(request.query_params, picked) if picked else Set({})
    problems = points.problems
    if shots and picked is None:
        problems = (Problem(field="after", sentence=t("compare.wrong.pair")),)
    shown = ComparePage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        title=heading.title,
        number=heading.number,
        shots=shots,
        picked=picked,
        points=points,
        problems=problems,
        asked=(picked.before.seq, picked.after.seq) if picked else (before, after),
    )
    return render(shown, 422 if problems else 200)
