"""One comparable: changed, left out with a reason, taken in again, taken away."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import InvalidError, Problem
from ledger.market import KeptSale
from ledger.usecases import comparables as work
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.entering import faults_of
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.sender import SenderDep
from web.told import go_to
from web.value_forms import HOLDINGS, placed, reading_of, said_of, values_of
from web.value_subject import PATH, Subject, of_issue_known
from web.value_told import sale_name
from web.wording import t

router = APIRouter()

ONE: Final = f"{PATH}/sales/{{sale}}"


@page("value_sale.html")
@dataclass(frozen=True, kw_only=True)
class SalePage(Page):
    """The form of one comparable."""

    subject: Subject
    action: str
    name: str
    left_out: str
    holdings: tuple[tuple[str, str], ...]
    values: Mapping[str, str]
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@router.get(ONE)
def one(  # noqa: PLR0913 - what a request brings along
    frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep, sale: str, book: str = ""
) -> Response:
    """The form of one."""
    found = work.look_at_sale(ledger, actor, sale)
    sent = waiting if waiting is not None and waiting.action == f"{PATH}/sales/{sale}" else Posted()
    return render(_page(frame, found, _back_to(found, sent.get("book") or book), sent))


@router.post(ONE)
def change(by: SenderDep, posted: PostedDep, sale: str) -> Response:
    """What the button said; the form comes back with what stands in its way."""
    found = work.look_at_sale(by.ledger, by.actor, sale)
    back = _back_to(found, posted.get("book"))
    do = posted.get("do")
    try:
        match do:
            case "out":
                work.leave_out(by.ledger, by.actor, sale, posted.get("reason"))
            case "in":
                work.take_in(by.ledger, by.actor, sale)
            case "away":
                work.take_sale(by.ledger, by.actor, sale)
            case _:
                found = work.change_sale(
                    by.ledger, by.actor, sale, said_of(posted), reading_of(by.ledger, by.preferences, posted)
                )
    except InvalidError as error:
        problems = error.problems if do == "out" else placed(error.problems)
        return render(_page(by.frame, found, back, posted, problems), status=422)
    said = {"out": "out", "in": "in", "away": "away"}.get(do, "changed")
    return go_to(
        by.request, back.href() + "#comparables", Told(sentence=t(f"value.is_now.{said}", sale=sale_name(found)))
    )


def _back_to(sale: KeptSale, book: str) -> Subject:
    """The page it was reached from: of that book, or of its issue alone."""
    return of_issue_known(sale.issue, book if book.isalnum() else "")


def _page(
    frame: Frame, sale: KeptSale, subject: Subject, posted: Posted, problems: tuple[Problem, ...] = ()
) -> SalePage:
    sent = {name: value for name, value in posted.fields if name not in ("do", "waiting")}
    return SalePage(
        frame=frame.at(Place.COLLECTION),
        subject=subject,
        action=f"{PATH}/sales/{sale.id}",
        name=sale_name(sale),
        left_out=sale.left_out,
        holdings=HOLDINGS,
        values={"reason": "", **values_of(sale), **sent},
        problems=problems,
        faults=faults_of(problems),
    )
