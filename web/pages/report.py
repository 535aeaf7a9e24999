"""The condition report of a book: a page that is made to be printed, and the same as a PDF where that can be made."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import MalformedError
from ledger.report import Report
from ledger.usecases.report import condition_report, report_pictures
from web.book_facts import issue_of
from web.deps import ActorDep, FrameDep, LedgerDep
from web.frame import Place, Told
from web.pages.entry import damaged
from web.render import Page, page, render
from web.report_parts import Section
from web.report_sheet import data_of, source
from web.report_told import report_told
from web.told import go_to
from web.wording import t

__all__ = ["ReportPage", "router"]

router = APIRouter()

ON_PAPER: Final = 480
"""How wide a photograph is put on the sheet: three times what it takes there at 150 dots an inch. Units: px."""


@page("report.html")
@dataclass(frozen=True, kw_only=True)
class ReportPage(Page):
    """The report, section after section."""

    book: str
    title: str
    number: str
    running: str
    sections: tuple[Section, ...]
    pdf: bool
    """It can be taken as a PDF."""


@router.get("/books/{book}/report")
def look(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The report as a page."""
    around = frame.at(Place.COLLECTION)
    try:
        of = condition_report(ledger, actor, book)
    except MalformedError as damage:
        return damaged(around, damage, t("entry.damaged.of_book"))
    files = _files(report_pictures(ledger, actor, of, ON_PAPER))
    title, number = issue_of(of.book)
    shown = ReportPage(
        frame=around,
        book=book,
        title=title,
        number=number,
        running=_running(of),
        sections=report_told(of, files),
        pdf=ledger.sheets is not None and ledger.sheets.at_hand,
    )
    return render(shown)


@router.get("/books/{book}/report.pdf")
def pdf(book: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The report as a PDF; the page again, with the reason, where none can be made."""
    if ledger.sheets is None or not ledger.sheets.at_hand:
        return go_to(request, f"/books/{book}/report", Told(sentence=t("report.refused")))
    of = condition_report(ledger, actor, book)
    pictures = report_pictures(ledger, actor, of, ON_PAPER)
    files = _files(pictures)
    title, number = issue_of(of.book)
    data = data_of(
        title=t("report.of", title=title, number=number),
        lede=t("report.lede"),
        running=_running(of),
        sections=report_told(of, files),
    )
    beside = {files[seq]: picture for seq, picture in pictures.items()}
    made = ledger.sheets.pdf(source(), data, beside, of.state.recorded)
    name = f"slipsheet-report-book-{of.book.no}.pdf"
    return Response(
        made, media_type="application/pdf", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


def _files(pictures: Mapping[int, bytes]) -> dict[int, str]:
    """What every copy is called beside the sheet."""
    return {seq: f"{seq}.jpg" for seq in pictures}


def _running(of: Report) -> str:
    return t("report.running", number=of.book.no, size=of.state.size)
