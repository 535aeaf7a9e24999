"""imports: a spreadsheet sent, its columns chosen, its rows tried and mended, and then all of its books or none."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Request, Response

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, OwningBodyDep, OwningDep, an_id, owning
from api.documents import EVERYWHERE, failures, text_header
from api.import_answers import (
    ColumnsBody,
    DoublesBody,
    FileAsked,
    ImportAnswer,
    ImportList,
    MendedBody,
    ProblemsAsked,
    RowList,
    told_import,
    told_row,
)
from api.import_example import TO_FIX
from api.raw_bodies import file_from, is_table
from ledger.importing.begun import Begun
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases import imports as work
from ledger.usecases.bring_in import bring_in
from ledger.usecases.import_fixing import file_to_fix, take_fixed
from ledger.usecases.import_kept import tables_of

router = APIRouter(prefix="/imports", tags=["imports"])

_ID = "t5a2b4l6e3i5n2b4r6i3n5g2i4"
_WHAT = "table on its way in"
ROWS_MOST = 100
"""Rows with problems that are told at once."""

SheetId = Annotated[str, Path(description="Id of the table.", examples=[_ID])]
FileDep = Annotated[bytes, Depends(file_from(owning, is_table))]


@router.get("", summary="List the tables on their way in", responses=failures(409, *EVERYWHERE))
def list_imports(ledger: LedgerDep, actor: OwningDep) -> ImportList:
    """Those that wait and those that are done, until they are put away."""
    return ImportList(imports=[_told(ledger, each) for each in work.imports_of(ledger, actor)])


@router.post(
    "",
    summary="Send a spreadsheet",
    status_code=201,
    response_description="Read and kept, with what its columns are taken for.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/imports/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def send_import(  # noqa: PLR0913 - what a request brings along
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: OwningDep,
    asked: Annotated[FileAsked, Query()],
    data: FileDep,
) -> ImportAnswer:
    """One CSV, TSV or XLSX file as the body, up to 64 MiB and 200,000 rows. Nothing is written into the ledger by it."""
    how = TableAsked(encoding=asked.encoding, mark=asked.mark, sheet=asked.sheet)
    begun = work.begin_import(ledger, actor, asked.name, data, how)
    placed(request, response, f"/imports/{begun.id}")
    return _told(ledger, begun)


@router.get("/{sheet}", summary="Read a table on its way in", responses=failures(404, 409, *EVERYWHERE))
def read_import(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> ImportAnswer:
    """How far it is; while it is worked on, how much of it is done."""
    return _told(ledger, work.look_at_import(ledger, actor, an_id(_WHAT, sheet)))


@router.put("/{sheet}/columns", summary="Choose the columns", responses=failures(404, 409, 413, 415, 422, *EVERYWHERE))
def choose_import_columns(ledger: LedgerDep, actor: OwningDep, sheet: SheetId, data: OwningBodyDep) -> ImportAnswer:
    """How each column is read. What was tried is to be tried anew; it is remembered for the source once it is brought in."""
    asked = read_body(ColumnsBody, read_json(data))
    own = an_id(_WHAT, sheet)
    return _told(ledger, work.choose_columns(ledger, actor, own, asked.columns, asked.options(), asked.source))


@router.post("/{sheet}/trial", summary="Try every row", responses=failures(404, 409, *EVERYWHERE))
def try_import(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> ImportAnswer:
    """Every row is tried without writing any; the answer comes when it is done, and reading the table tells how far it is."""
    return _told(ledger, work.check_import(ledger, actor, an_id(_WHAT, sheet), _untold))


@router.get("/{sheet}/problems", summary="List the rows with problems", responses=failures(404, 409, 422, *EVERYWHERE))
def list_import_problems(
    ledger: LedgerDep, actor: OwningDep, sheet: SheetId, asked: Annotated[ProblemsAsked, Query()]
) -> RowList:
    """Each as it was written, as it was read, and with what is wrong."""
    rows = work.problem_rows(ledger, actor, an_id(_WHAT, sheet), after=asked.after, limit=ROWS_MOST)
    return RowList(rows=list(map(told_row, rows)))


@router.get(
    "/{sheet}/problems/file",
    summary="Take the rows with problems as a file",
    response_class=Response,
    response_description="The rows, each with its number and with what is wrong.",
    responses={200: {"content": TO_FIX}, **failures(404, 409, *EVERYWHERE)},
)
def take_import_problems(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> Response:
    """To be mended in a spreadsheet and sent back, its first line and the numbers of its rows as they are.

    A text that a spreadsheet could take for a formula has one apostrophe before it, which is taken away again.
    """
    text = file_to_fix(ledger, actor, an_id(_WHAT, sheet))
    headers = {"Content-Disposition": 'attachment; filename="rows-to-mend.csv"'}
    return Response(text.encode(), media_type="text/csv; charset=utf-8", headers=headers)


@router.put(
    "/{sheet}/problems/file",
    summary="Send that file mended",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def send_import_mended(ledger: LedgerDep, actor: OwningDep, sheet: SheetId, data: FileDep) -> ImportAnswer:
    """CSV, TSV or XLSX as the body. Cells that differ are written anew; rows that had no problem are passed over."""
    begun, _ = take_fixed(ledger, actor, an_id(_WHAT, sheet), data)
    return _told(ledger, begun)


@router.patch("/{sheet}/rows", summary="Mend rows", responses=failures(404, 409, 413, 415, 422, *EVERYWHERE))
def mend_import_rows(ledger: LedgerDep, actor: OwningDep, sheet: SheetId, data: OwningBodyDep) -> ImportAnswer:
    """Fields written anew, or rows left out; the file itself is not changed."""
    asked = read_body(MendedBody, read_json(data)).rows
    left = {each.row for each in asked if each.left_out}
    mends = {each.row: each.fields for each in asked if not each.left_out}
    return _told(ledger, work.mend_rows(ledger, actor, an_id(_WHAT, sheet), mends, left))


@router.patch(
    "/{sheet}/doubles", summary="Decide on likely doubles", responses=failures(404, 409, 413, 415, 422, *EVERYWHERE)
)
def decide_import_doubles(ledger: LedgerDep, actor: OwningDep, sheet: SheetId, data: OwningBodyDep) -> ImportAnswer:
    """Which rows are books of their own, and which are left out. It is remembered for the source."""
    asked = read_body(DoublesBody, read_json(data))
    own = an_id(_WHAT, sheet)
    return _told(ledger, work.decide_doubles(ledger, actor, own, real=asked.real, left=asked.left_out, rest=asked.rest))


@router.post("/{sheet}/books", summary="Bring the table in", responses=failures(404, 409, 422, *EVERYWHERE))
def bring_in_import(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> ImportAnswer:
    """All of its books or none; the answer comes when all is safe on the disk. A second time adds nothing.

    It needs no idempotency key: a row is known again by the number its source gave it, or by its place in the file.
    """
    return _told(ledger, bring_in(ledger, actor, an_id(_WHAT, sheet), _untold))


@router.delete(
    "/{sheet}/run",
    summary="Call off what is being done",
    status_code=204,
    response_description="It ends at its next row, if anything went on, and nothing of it is kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def call_off_import(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> None:
    """The request that waits for it is answered with a conflict."""
    tables_of(ledger).runs.call_off(work.look_at_import(ledger, actor, an_id(_WHAT, sheet)).id)


@router.delete(
    "/{sheet}",
    summary="Put a table away",
    status_code=204,
    response_description="Nothing of the file is kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def put_import_away(ledger: LedgerDep, actor: OwningDep, sheet: SheetId) -> None:
    """What was brought in of it stays."""
    work.put_away(ledger, actor, an_id(_WHAT, sheet))


def _told(ledger: Ledger, begun: Begun) -> ImportAnswer:
    return told_import(begun, tables_of(ledger).runs.of(begun.id))


def _untold(done: int, expected: int) -> None:
    """How far it is, is told by reading the table."""
