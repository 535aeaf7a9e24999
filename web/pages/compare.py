"""Before and after: two photographs of one face side by side, and laid over each other by points or by themselves."""

from dataclasses import dataclass
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request, Response

from ledger.errors import Problem
from ledger.usecases.align import can_align, line_up
from ledger.usecases.look import look_at
from web.book_facts import heading_of
from web.compared import Over, Pick, Set, Shot, by_hand, by_itself, not_aligned, pick, points_of, shots_of
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
    over: Over | None
    can_align: bool
    """Whether the program can do it by itself here."""
    not_aligned: str
    """Why it could not, where it was asked to."""
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
    align: Literal["itself"] | None = None,
) -> Response:
    """The two photographs; with points, or where it is to be found without, the later one laid over the earlier."""
    seen = look_at(ledger, actor, book)
    heading = heading_of(seen)
    shots = shots_of(seen.moments)
    picked = pick(shots, before, after) if shots else None
    points = points_of(request.query_params, picked) if picked else Set({})
    problems = points.problems
    if shots and picked is None:
        problems = (Problem(field="after", sentence=t("compare.wrong.pair")),)
    over, missed = by_hand(points), ""
    if picked and align and can_align(ledger) and not points.given:
        lined = line_up(ledger, actor, picked.before.seq, picked.after.seq)
        over, missed = by_itself(lined), not_aligned(lined)
    shown = ComparePage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        title=heading.title,
        number=heading.number,
        shots=shots,
        picked=picked,
        points=points,
        over=over,
        can_align=can_align(ledger),
        not_aligned=missed,
        problems=problems,
        asked=(picked.before.seq, picked.after.seq) if picked else (before, after),
    )
    return render(shown, 422 if problems else 200)
