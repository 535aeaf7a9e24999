"""The signing key: its verifier key for a reader, and its secret on paper for the owner."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.actor import Permission
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep
from web.frame import Place
from web.render import Page, page, render

router = APIRouter()


@page("settings/key.html")
@dataclass(frozen=True, kw_only=True)
class KeyPage(Page):
    """What a reader checks signatures with."""

    vkey: str


@page("settings/paper.html")
@dataclass(frozen=True, kw_only=True)
class PaperPage(Page):
    """The secret itself, to be printed."""

    vkey: str
    file_name: str
    lines: tuple[str, ...]


@router.get("/settings/key")
def look(frame: FrameDep, ledger: LedgerDep, _actor: ActorDep) -> Response:
    """The verifier key."""
    return render(KeyPage(frame=frame.at(Place.SETTINGS), vkey=ledger.signer.verifier.vkey))


@router.get("/settings/key/paper")
def paper(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """The paper copy; the password was given just now."""
    actor.require(Permission.KEYS)
    lines = tuple(ledger.signer.paper().splitlines())
    shown = PaperPage(
        frame=frame.at(Place.SETTINGS),
        vkey=ledger.signer.verifier.vkey,
        file_name=f"{ledger.collection}.key",
        lines=lines,
    )
    return render(shown)
