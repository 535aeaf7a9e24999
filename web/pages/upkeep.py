"""Upkeep: whether the ledger is kept safe, when it was last backed up and tried, and what is to be done when it is not."""

from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.held import HeldLog
from ledger.ports import Ledger
from ledger.usecases.anchored import Against, Standing, confirm_restored, standing
from ledger.usecases.readiness import Answer, readiness
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.frame import Place, Told
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/check/upkeep"
RESTORED: Final = f"{PATH}/restored"


@page("upkeep.html")
@dataclass(frozen=True, kw_only=True)
class UpkeepPage(Page):
    """What readiness says, and the way on from a restore."""

    answers: tuple[Answer, ...]
    amiss: int
    """How many answers are not well."""
    held: str
    """Why nothing is written for now; empty where it is."""
    restored: Standing | None
    """Where it was put back from a backup and its owner can confirm that."""
    remark: str
    """What was typed already, before the password was asked for."""
    place: str
    """Where the anchor lies; empty where none is kept."""


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """How safe it is kept."""
    answers = readiness(ledger, actor).answers
    return render(
        UpkeepPage(
            frame=frame.at(Place.CHECK),
            answers=answers,
            amiss=sum(not each.well for each in answers),
            held=held_of(ledger),
            restored=_restored(ledger),
            remark=waiting.get("remark") if waiting and waiting.action == RESTORED else "",
            place=ledger.anchor.place if ledger.anchor is not None else "",
        )
    )


@router.post(RESTORED)
def confirm(request: Request, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep) -> Response:
    """The owner has seen what is missing; the password was given just now."""
    seq = confirm_restored(ledger, actor, posted.get("remark").strip())
    return go_to(request, PATH, Told(sentence=t("upkeep.restored.confirmed", seq=seq)))


def held_of(ledger: Ledger) -> str:
    """Why nothing is written to it for now."""
    return ledger.log.sentence if isinstance(ledger.log, HeldLog) and ledger.log.held else ""


def _restored(ledger: Ledger) -> Standing | None:
    if not held_of(ledger):
        return None
    found = standing(ledger)
    return found if found.against in (Against.BEHIND, Against.PUT_BACK) else None
