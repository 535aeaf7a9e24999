"""tables: books, events and costs for a spreadsheet, as CSV or XLSX."""

from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Query
from fastapi.responses import StreamingResponse
from pydantic import Field

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from ledger.errors import NotFoundError
from ledger.usecases.tables_out import Sheet, SheetForm, sheet_pieces

router = APIRouter(prefix="/tables", tags=["exports"])

_KINDS: Final = {
    SheetForm.CSV: "text/csv; charset=utf-8",
    SheetForm.XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_CONTENT: Final[dict[str, Any]] = {
    "text/csv": {
        "schema": {"type": "string"},
        "example": "book number,title,issue number,start year,period,what,day,amount,currency,not known because,still here,"
        "entry,book id\r\n1,The Copper Lantern,14,1962,1,price,2026-02-14,1250.00,EUR,,yes,2,b7q2m4x6n5k3j8h2g4f6d5s3a7\r\n",
    },
    _KINDS[SheetForm.XLSX]: {"schema": {"type": "string", "format": "binary"}, "example": "PK"},
}


class TableAsked(Asked):
    """In which form."""

    form: Literal["csv", "xlsx"] = Field(
        "csv", description="CSV (RFC 4180, UTF-8) or a workbook of one sheet.", examples=["csv"]
    )


@router.get(
    "/{sheet}",
    summary="Take a table for a spreadsheet",
    response_class=StreamingResponse,
    response_description="The table, its first line the names of its columns.",
    responses={200: {"content": _CONTENT}, **failures(404, 409, *EVERYWHERE)},
)
def take_table(
    ledger: LedgerDep,
    actor: ReadingDep,
    sheet: Annotated[str, Path(description="books, events or costs.", examples=["books"])],
    asked: Annotated[TableAsked, Query()],
) -> StreamingResponse:
    """One line a book, an entry, or a sum; numbers are numbers.

    A text that a spreadsheet could take for a formula, or that begins with an apostrophe, has one apostrophe before it;
    take it away again when you read. What XML does not take is spelt `_xHHHH_` in a workbook.
    """
    if sheet not in set(Sheet):
        raise NotFoundError(what="table", name=sheet)
    form = SheetForm(asked.form)
    pieces = sheet_pieces(ledger, actor, Sheet(sheet), form)
    headers = {"Content-Disposition": f'attachment; filename="slipsheet-{sheet}.{form}"'}
    return StreamingResponse(pieces, media_type=_KINDS[form], headers=headers)
