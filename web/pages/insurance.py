"""Insurance: the schedule of all books with their values, and the report of one after damage, loss or theft."""

from collections.abc import Mapping
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor
from ledger.ports import Ledger
from ledger.usecases.cost_tables import schedule_csv
from ledger.usecases.costs import home_code
from ledger.usecases.insurance import loss_report, schedule
from ledger.usecases.report import report_pictures
from web.book_facts import issue_of
from web.deps import ActorDep, FrameDep, LedgerDep
from web.insurance_told import loss_told, schedule_told
from web.money_sheet import Sheet, as_page, as_pdf, as_table
from web.pages.money import PATH
from web.sheet_cells import sections_csv
from web.wording import t

router = APIRouter()

SCHEDULE: Final = f"{PATH}/insurance"
LOSS: Final = f"{PATH}/loss/{{book}}"
ON_PAPER: Final = 480
"""How wide a photograph is put on the sheet. Units: px."""


@router.get(SCHEDULE)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The schedule as of today."""
    return as_page(frame, ledger, _schedule(ledger, actor))


@router.get(f"{SCHEDULE}/pdf")
def schedule_pdf(request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same on paper."""
    return as_pdf(request, ledger, _schedule(ledger, actor))


@router.get(f"{SCHEDULE}/csv")
def schedule_table(ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same as a table."""
    return as_table(schedule_csv(schedule(ledger, actor, home_code(ledger, actor))), "slipsheet-insurance")


@router.get(LOSS)
def look_at_loss(book: str, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """What is known of a book for whoever settles a loss."""
    return as_page(frame, ledger, _loss(ledger, actor, book)[0])


@router.get(f"{LOSS}/pdf")
def loss_pdf(book: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same on paper, with the photographs."""
    sheet, pictures = _loss(ledger, actor, book)
    return as_pdf(request, ledger, sheet, pictures)


@router.get(f"{LOSS}/csv")
def loss_table(book: str, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The same as a table, a line for each fact."""
    sheet, _ = _loss(ledger, actor, book)
    return as_table(sections_csv(sheet.sections), sheet.file)


def _schedule(ledger: Ledger, actor: Actor) -> Sheet:
    return Sheet(
        at=SCHEDULE,
        file="slipsheet-insurance",
        title=t("money.insurance.title"),
        lede=t("money.insurance.lede"),
        sections=schedule_told(schedule(ledger, actor, home_code(ledger, actor))),
        back=PATH,
        back_words=t("money.back"),
        table=f"{SCHEDULE}/csv",
    )


def _loss(ledger: Ledger, actor: Actor, book: str) -> tuple[Sheet, Mapping[str, bytes]]:
    found = loss_report(ledger, actor, book)
    pictures = {f"{seq}.jpg": each for seq, each in report_pictures(ledger, actor, found.of, ON_PAPER).items()}
    files = {int(name.partition(".")[0]): name for name in pictures}
    title, number = issue_of(found.of.book)
    sheet = Sheet(
        at=f"{PATH}/loss/{book}",
        file=f"slipsheet-loss-book-{found.of.book.no}",
        title=t("money.loss.title", title=title, number=number),
        lede=t("money.loss.lede"),
        sections=loss_told(found, files),
        back=f"/books/{book}",
        back_words=t("money.book.back"),
        table=f"{PATH}/loss/{book}/csv",
    )
    return sheet, pictures
