"""A page for those who come after the owner, made to be printed, filled in by hand, and kept with the will."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.usecases.heirs import ForHeirs, for_heirs
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place, Told
from web.heirs_told import heirs_told
from web.pages.upkeep import PATH as UPKEEP
from web.render import Page, page, render
from web.report_parts import Section
from web.report_sheet import data_of, source
from web.told import go_to
from web.wording import t

__all__ = ["PATH", "HeirsPage", "router"]

router = APIRouter()

PATH: Final = f"{UPKEEP}/heirs"
PDF: Final = f"{PATH}.pdf"
_NEVER: Final = datetime(1970, 1, 1, tzinfo=UTC)
"""The moment of a paper on a ledger without an entry."""


@page("heirs.html")
@dataclass(frozen=True, kw_only=True)
class HeirsPage(Page):
    """The paper, section after section."""

    sections: tuple[Section, ...]
    running: str
    pdf: str
    """Where it can be taken as a PDF; empty where none can be made."""


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """It as a page."""
    of = for_heirs(ledger, actor)
    at_hand = ledger.sheets is not None and ledger.sheets.at_hand
    shown = HeirsPage(
        frame=frame.at(Place.CHECK), sections=heirs_told(of), running=_running(of), pdf=PDF if at_hand else ""
    )
    return render(shown)


@router.get(PDF)
def pdf(request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """It as a PDF; the page again, with the reason, where none can be made."""
    if ledger.sheets is None or not ledger.sheets.at_hand:
        return go_to(request, PATH, Told(sentence=t("report.refused")))
    of = for_heirs(ledger, actor)
    data = data_of(title=t("heirs.title"), lede=t("heirs.lede"), running=_running(of), sections=heirs_told(of))
    made = ledger.sheets.pdf(source(), data, {}, of.recorded or _NEVER)
    headers = {"Content-Disposition": 'attachment; filename="slipsheet-for-heirs.pdf"'}
    return Response(made, media_type="application/pdf", headers=headers)


def _running(of: ForHeirs) -> str:
    return t("heirs.running", size=of.entries)
