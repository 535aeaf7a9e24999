"""The printed catalogue: which books, made while one does something else, and taken as a PDF."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from fastapi import APIRouter, Request, Response
from fastapi.datastructures import QueryParams
from fastapi.responses import StreamingResponse

from ledger.actor import Actor
from ledger.catalogues import Printing, Wish
from ledger.errors import ConflictError
from ledger.makings import State
from ledger.ports import Ledger
from ledger.usecases.browse import look_through
from ledger.usecases.catalogues import (
    CATALOGUES,
    NOT_AT_HAND,
    begin_catalogue,
    can_be_printed,
)
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.frame import Frame, Place, Told
from web.pages.collection import STEPS
from web.render import PART, Page, page, render, render_part
from web.shelf_asked import YES, Asked
from web.shelf_filters import Question, questions
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = f"{Place.COLLECTION.path}/catalogue"
FILE: Final = "slipsheet-catalogue.pdf"


@page("catalogue.html")
@dataclass(frozen=True, kw_only=True)
class CataloguePage(Page):
    """What can be chosen, how far the work is, and what it made last."""

    asked: Asked
    places: bool
    questions: tuple[Question, ...]
    steps: Sequence[tuple[str, str]]
    running: Printing | None
    made: Printing | None
    failure: str
    """Why the last one did not come to its end, although an earlier one may have."""
    not_at_hand: str
    """What to do where no PDF can be made here."""


@router.get(PATH)
def look(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The choice, as the address of a list of the collection makes it."""
    asked, places = Asked.read(request.query_params), request.query_params.get("places") == YES
    shown = _page(frame, ledger, actor, replace(asked, after=""), places=places)
    return render_part(shown, "progress") if PART in request.headers else render(shown)


@router.post(PATH)
def begin(request: Request, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The catalogue is made by itself; the page says how far it is."""
    asked = replace(Asked.read(QueryParams(list(posted.fields))), after="")
    try:
        begin_catalogue(ledger, actor, Wish(query=asked.query(), places=posted.get("places") == YES))
    except ConflictError as error:
        return go_to(request, PATH, Told(sentence=str(error)))
    return go_to(request, PATH)


@router.get(f"{PATH}/pdf")
def take(request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The catalogue that was made last; the page again where none was."""
    made = _made(ledger, actor)
    if made is None:
        return go_to(request, PATH, Told(sentence=t("catalogue.none_made")))
    headers = {"Content-Disposition": f'attachment; filename="{FILE}"', "Cache-Control": "no-store"}
    pieces = CATALOGUES.pieces(ledger, actor, made.id)
    return StreamingResponse(pieces, media_type="application/pdf", headers=headers)


@router.post(PATH + "/{catalogue}/off")
def call_off(catalogue: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Its work ends at the next book, and nothing of it is kept."""
    CATALOGUES.take_away(ledger, actor, catalogue)
    return go_to(request, PATH, Told(sentence=t("catalogue.working.called_off")))


def _last(ledger: Ledger, actor: Actor) -> Printing | None:
    return next(iter(CATALOGUES.all(ledger, actor)), None)


def _made(ledger: Ledger, actor: Actor) -> Printing | None:
    """The last one that came to its end; it lies here although a later one is being made, or failed."""
    return next((each for each in CATALOGUES.all(ledger, actor) if each.state is State.READY), None)


def _page(frame: Frame, ledger: Ledger, actor: Actor, asked: Asked, *, places: bool) -> CataloguePage:
    shelf = look_through(ledger, actor, replace(asked.query(), limit=1))
    last = _last(ledger, actor)
    return CataloguePage(
        frame=frame.at(Place.COLLECTION),
        asked=asked,
        places=places,
        questions=questions(asked, shelf.tallies),
        steps=STEPS,
        running=last if last is not None and last.state is State.UNDER_WAY else None,
        made=_made(ledger, actor),
        failure=last.failure if last is not None else "",
        not_at_hand="" if can_be_printed(ledger) else NOT_AT_HAND,
    )
