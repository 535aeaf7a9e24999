"""The outlook of one book: where it may land, why not higher, what the collector says before the result is known."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.errors import LedgerError
from ledger.events.outlook import WHOLE, Origin, Outlook, OutlookStage, Weight
from ledger.outlooks import distribution_of
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.usecases.look import look_at
from ledger.usecases.outlook import OutlookView, outlook_of, precedents_of
from ledger.usecases.record import Draft, record
from ledger.usecases.weighing import break_even_of
from web.book_facts import issue_of
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import ask, key_of, refusal, told_of
from web.forms import typed_in
from web.frame import Frame, Place
from web.outlook_drawing import OutlookDrawing, outlook_drawing
from web.outlook_form import Own, outlook_event, own_of
from web.outlook_lines import (
    ChanceLine,
    HoldLine,
    PrecedentLine,
    ReadLine,
    StatedLine,
    chance_lines,
    held_lines,
    kernel_words,
    precedent_lines,
    read_line,
    shares_of,
    stated_lines,
    unread_lines,
)
from web.posted import Posted
from web.precedent_maps import Precedents, maps_of
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

Asked = Annotated[str, Query(max_length=26)]


@page("outlook.html")
@dataclass(frozen=True, kw_only=True)
class OutlookPage(Page):
    """Everything that is known of where one book may land."""

    book: str
    title: str
    number: str
    lede: str
    whole: OutlookDrawing | None
    part: OutlookDrawing | None
    even: str
    """At which step work breaks even, as it is drawn; empty where that cannot be weighed."""
    reads: tuple[ReadLine, ...]
    ceiling: str
    held: tuple[HoldLine, ...]
    unread: tuple[str, ...]
    notes: tuple[str, ...]
    kernel: str
    chances: tuple[ChanceLine, ...]
    presents: tuple[tuple[str, str | None], ...]
    stated: tuple[StatedLine, ...]
    can_write: bool
    computed_at_hand: bool
    own: Own
    stages: tuple[tuple[str, str], ...]
    precedents: tuple[PrecedentLine, ...]
    maps: Precedents | None


@router.get("/books/{book}/outlook")
def look(  # noqa: PLR0913 - what a request brings along
    book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, like: Asked = ""
) -> Response:
    """What is known, and the form for the collector's own."""
    sent = waiting if waiting is not None and waiting.action == f"/books/{book}/outlook" else None
    return render(_page(frame, ledger, actor, book, sent or Posted(), like=like))


@router.post("/books/{book}/outlook")
def write(  # noqa: PLR0913 - what a request brings along
    book: str, request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep
) -> Response:
    """The outlook is read and shown, or written before the result is known."""
    actor.require_to_write(Outlook.kind)
    if posted.get("do") == "show":
        return render(_page(frame, ledger, actor, book, posted))
    view = outlook_of(ledger, actor, book)
    try:
        event = outlook_event(view, posted, ledger)
        asked = ask(f"/books/{book}/outlook", key_of(ledger, posted), typed_in(posted), posted)
        recorded = record(ledger, actor, [Draft(event=event, book=book)], asked)
    except LedgerError as error:
        refused = refusal(error)
        return render(_page(frame, ledger, actor, book, posted, error=error), status=refused.status)
    return go_to(request, f"/books/{book}/outlook", told_of(recorded, ""))


def _page(  # noqa: PLR0913 - what the page hangs on
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    book: str,
    posted: Posted,
    *,
    error: LedgerError | None = None,
    like: str = "",
) -> OutlookPage:
    seen, view = look_at(ledger, actor, book), outlook_of(ledger, actor, book)
    own = own_of(ledger, view, posted, error)
    shown = {each.grade: Fraction(each.per_mille, WHOLE) for each in own.weights} or _last_own(view)
    found, (title, number) = precedents_of(ledger, actor, book), issue_of(seen.book)
    even = break_even_of(ledger, actor, book, None, ledger.clock.today())
    return OutlookPage(
        frame=frame.at(Place.COLLECTION),
        book=book,
        title=title,
        number=number,
        lede=_lede(view),
        whole=_drawing(view, shown, even, whole=True),
        part=_drawing(view, shown, even, whole=False),
        even=t("outlook.even", grade=even) if even is not None else "",
        reads=tuple(_reads(view, shown)),
        ceiling=str(view.computed.held.grade) if view.computed else "",
        held=held_lines(view),
        unread=unread_lines(view),
        notes=tuple(_notes(view)),
        kernel=kernel_words(view),
        chances=chance_lines(view),
        presents=_presents(view),
        stated=stated_lines(view),
        can_write=actor.may_write(Outlook.kind),
        computed_at_hand=view.grades is not None,
        own=own,
        stages=_stages(),
        precedents=precedent_lines(found),
        maps=maps_of(ledger, actor, seen, found, like),
    )


def _stages() -> tuple[tuple[str, str], ...]:
    return tuple((each.value, t(f"outlook.stages.{each.value.replace(' ', '_')}")) for each in OutlookStage)


def _drawing(
    view: OutlookView, shown: Mapping[Grade, Fraction], even: Grade | None, *, whole: bool
) -> OutlookDrawing | None:
    """None where nothing is said and nothing is computed."""
    computed = shares_of(view.grades)
    if not shown and not computed:
        return None
    ceiling = view.computed.held.grade if view.computed else None
    result = view.results[-1].grade if view.results and view.work_over else None
    return outlook_drawing(shown, computed, ceiling=ceiling, break_even=even, result=result, whole=whole)


def _last_own(view: OutlookView) -> Mapping[Grade, Fraction]:
    own = [each.outlook for _, each in view.stated if each.outlook.origin is Origin.OWN]
    return {each.grade: Fraction(each.per_mille, WHOLE) for each in own[-1].weights} if own else {}


def _reads(view: OutlookView, shown: Mapping[Grade, Fraction]) -> list[ReadLine]:
    found = []
    if shown:
        weights = (Weight(grade=grade, per_mille=int(share * WHOLE)) for grade, share in shown.items())
        found.append(read_line(t("outlook.side.own"), distribution_of(weights)))
    if view.grades is not None:
        found.append(read_line(t("outlook.side.computed"), view.grades))
    return found


def _lede(view: OutlookView) -> str:
    if view.look is None:
        return t("outlook.lede.no_look")
    if view.work_over:
        return t("outlook.lede.as_it_is")
    return t("outlook.lede.after_work")


def _notes(view: OutlookView) -> list[str]:
    notes = []
    if view.look is not None and not view.rested:
        notes.append(t("outlook.notes.not_rested"))
    if view.worked_since:
        notes.append(t("outlook.notes.worked_since"))
    if view.results and view.work_over:
        notes.append(t("outlook.own.result_known"))
    if view.rules.ruled:
        notes.append(t.n("outlook.notes.ruled", len(view.rules.ruled)))
    if view.damaged:
        notes.append(t.n("outlook.notes.damaged", len(view.damaged)))
    return notes


def _presents(view: OutlookView) -> tuple[tuple[str, str | None], ...]:
    presents = None if view.presents_as is None else str(view.presents_as)
    technical = None if view.technical is None else str(view.technical)
    return (t("outlook.presents"), presents), (t("outlook.technical"), technical)
