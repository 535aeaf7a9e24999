"""The printed catalogue: which books, made while one does something else, and taken as a PDF."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Final

from fastapi import APIRouter, Request, Response
from fastapi.datastructures import QueryParams

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, LedgerError
from ledger.ports import Ledger
from ledger.usecases.browse import look_through
from ledger.usecases.catalogue import catalogue
from ledger.views import Tallies
from web.catalogue_told import catalogue_data, names_of
from web.deps import ActorDep, FrameDep, LedgerDep, LongWorkDep, PostedDep
from web.frame import Frame, Place, Told
from web.long_work import Ended, LongWork, Progress, Running
from web.pages.collection import STEPS
from web.render import PART, Page, page, render, render_part
from web.report_sheet import source
from web.shelf_asked import YES, Asked
from web.shelf_filters import Question, questions
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = f"{Place.COLLECTION.path}/catalogue"
WORK: Final = "catalogue"
FILE: Final = "slipsheet-catalogue.pdf"


@dataclass(frozen=True, kw_only=True)
class Wish:
    """Which books, that choice in words, and whether it is printed where each is."""

    asked: Asked
    chosen: tuple[str, ...]
    places: bool


@dataclass(frozen=True, kw_only=True)
class Made:
    """A catalogue that was made."""

    pdf: bytes
    books: int
    chosen: tuple[str, ...]
    recorded: datetime


@page("catalogue.html")
@dataclass(frozen=True, kw_only=True)
class CataloguePage(Page):
    """What can be chosen, how far the work is, and what it made last."""

    asked: Asked
    places: bool
    questions: tuple[Question, ...]
    steps: Sequence[tuple[str, str]]
    running: Running | None
    ended: Ended | None
    made: Made | None
    failure: str
    at_hand: bool
    """A PDF can be made here."""


@router.get(PATH)
def look(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, works: LongWorkDep) -> Response:
    """The choice, as the address of a list of the collection makes it."""
    asked, places = Asked.read(request.query_params), request.query_params.get("places") == YES
    shown = _page(frame, ledger, actor, works, replace(asked, after=""), places=places)
    return render_part(shown, "progress") if PART in request.headers else render(shown)


@router.post(PATH)
def begin(request: Request, ledger: LedgerDep, actor: ActorDep, works: LongWorkDep, posted: PostedDep) -> Response:
    """The catalogue is made by itself; the page says how far it is."""
    actor.require(Permission.READ)
    asked = replace(Asked.read(QueryParams(list(posted.fields))), after="")
    if ledger.sheets is None or not ledger.sheets.at_hand:
        return go_to(request, PATH, Told(sentence=t("catalogue.not_at_hand")))
    shelf = look_through(ledger, actor, replace(asked.query(), limit=1))
    if not shelf.page.rows:
        return go_to(request, PATH, Told(sentence=t("catalogue.nothing")))
    chosen = tuple(_chosen(asked, shelf.tallies))
    wish = Wish(asked=asked, chosen=chosen, places=posted.get("places") == YES)
    if not works.start(WORK, partial(_make, ledger, actor, wish)):
        return go_to(request, PATH, Told(sentence=t("catalogue.busy")))
    return go_to(request, PATH)


@router.get(f"{PATH}/pdf")
def take(request: Request, actor: ActorDep, works: LongWorkDep) -> Response:
    """The catalogue that was made last; the page again where none was."""
    actor.require(Permission.READ)
    made = _made(works.last(WORK))
    if made is None:
        return go_to(request, PATH, Told(sentence=t("catalogue.none_made")))
    headers = {"Content-Disposition": f'attachment; filename="{FILE}"', "Cache-Control": "no-store"}
    return Response(made.pdf, media_type="application/pdf", headers=headers)


def _make(ledger: Ledger, actor: Actor, wish: Wish, progress: Progress) -> Made:
    of = catalogue(ledger, actor, wish.asked.query(), progress)
    if ledger.sheets is None:
        raise ConflictError(sentence=t("catalogue.not_at_hand"))
    files = names_of(of)
    data = catalogue_data(of, chosen=wish.chosen, places=wish.places)
    covers = {files[digest]: cover for digest, cover in of.covers.items()}
    made = ledger.sheets.pdf(source("catalogue"), data, covers, of.recorded)
    return Made(pdf=made, books=len(of.rows), chosen=wish.chosen, recorded=of.recorded)


def _chosen(asked: Asked, tallies: Tallies) -> Sequence[str]:
    """What was chosen, in words."""
    said = [t("catalogue.found_by", words=asked.q)] if asked.q else []
    for question in questions(asked, tallies):
        said += [f"{question.title}: {each.words}" for each in (*question.choices, *question.further) if each.ticked]
    if asked.low or asked.high:
        said.append(t("catalogue.grades", low=asked.low or "0.5", high=asked.high or "10.0"))
    return said


def _made(ended: Ended | None) -> Made | None:
    return ended.result if ended is not None and isinstance(ended.result, Made) else None


def _page(  # noqa: PLR0913 - the parts of one page
    frame: Frame, ledger: Ledger, actor: Actor, works: LongWork, asked: Asked, *, places: bool
) -> CataloguePage:
    shelf = look_through(ledger, actor, replace(asked.query(), limit=1))
    running, ended = works.running, works.last(WORK)
    failed = ended.failure if ended is not None else None
    inside = t("catalogue.failed_inside") if failed is not None else ""
    return CataloguePage(
        frame=frame.at(Place.COLLECTION),
        asked=asked,
        places=places,
        questions=questions(asked, shelf.tallies),
        steps=STEPS,
        running=running if running is not None and running.name == WORK else None,
        ended=ended,
        made=_made(ended),
        failure=str(failed) if isinstance(failed, LedgerError) else inside,
        at_hand=ledger.sheets is not None and ledger.sheets.at_hand,
    )
