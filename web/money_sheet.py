"""One sheet about money: a page that is made to be printed, and the same as a PDF where that can be made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import Request, Response

from ledger.ports import Ledger
from web.frame import Frame, Place, Told
from web.render import Page, page, render
from web.report_parts import Section
from web.report_sheet import data_of, source
from web.told import go_to
from web.wording import t

__all__ = ["CSV_TYPE", "Sheet", "as_page", "as_pdf", "as_table"]

CSV_TYPE: Final = "text/csv"


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What stands on it, and where it is found; `table` is empty where there is none."""

    at: str
    file: str
    title: str
    lede: str
    sections: Sequence[Section]
    back: str
    back_words: str
    table: str = ""


@page("money_sheet.html")
@dataclass(frozen=True, kw_only=True)
class MoneySheetPage(Page):
    """The sheet as a page."""

    title: str
    lede: str
    running: str
    back: str
    back_words: str
    pdf: str
    table: str
    sections: Sequence[Section]


def as_page(frame: Frame, ledger: Ledger, sheet: Sheet) -> Response:
    """The sheet on the screen."""
    at_hand = ledger.sheets is not None and ledger.sheets.at_hand
    return render(
        MoneySheetPage(
            frame=frame.at(Place.COLLECTION),
            title=sheet.title,
            lede=sheet.lede,
            running=_running(ledger),
            back=sheet.back,
            back_words=sheet.back_words,
            pdf=f"{sheet.at}/pdf" if at_hand else "",
            table=sheet.table,
            sections=sheet.sections,
        )
    )


def as_pdf(request: Request, ledger: Ledger, sheet: Sheet, pictures: Mapping[str, bytes] | None = None) -> Response:
    """The sheet as a PDF; the page again, with the reason, where none can be made."""
    if ledger.sheets is None or not ledger.sheets.at_hand:
        return go_to(request, sheet.at, Told(sentence=t("report.refused")))
    data = data_of(title=sheet.title, lede=sheet.lede, running=_running(ledger), sections=sheet.sections)
    made = ledger.sheets.pdf(source(), data, pictures or {}, ledger.clock.now())
    return _file(made, "application/pdf", f"{sheet.file}.pdf")


def as_table(text: str, file: str) -> Response:
    """A table as a file."""
    return _file(text.encode(), CSV_TYPE, f"{file}.csv")


def _file(content: bytes, kind: str, name: str) -> Response:
    return Response(content, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})


def _running(ledger: Ledger) -> str:
    with ledger.log.read() as reader:
        return t("money.running", size=reader.head().size)
