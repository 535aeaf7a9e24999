"""Tables over HTTP: each in both forms, with what could be a formula quoted."""

import io
from typing import Any

import openpyxl
import pytest

from ledger.adapters.workbooks import XlsxWorkbooks
from ledger.spreadsheet_cells import read_sheet
from ledger.usecases.tables_out import HEADS, Sheet
from tests.api.door import Door, problem


@pytest.mark.parametrize("sheet", Sheet)
def test_each_is_taken_in_both_forms(door: Door, sheet: Sheet) -> None:
    door.a_book(price={"minor": 125000, "currency": "EUR", "exponent": 2})
    answer = door.get(f"/tables/{sheet}")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert answer.headers["content-disposition"] == f'attachment; filename="slipsheet-{sheet}.csv"'
    rows = read_sheet(answer.text)
    assert rows[0] == list(HEADS[sheet])
    assert len(rows) > 1
    book = openpyxl.load_workbook(io.BytesIO(door.get(f"/tables/{sheet}?form=xlsx").content))
    found: Any = book[sheet.value]
    assert [cell.value for cell in found[1]] == list(HEADS[sheet])
    assert found.max_row == len(rows)


def test_what_could_be_a_formula_is_quoted(door: Door) -> None:
    issue = {"title": "=HYPERLINK(1)", "number": "1"}
    door.a_book(issue=issue)
    assert ",'=HYPERLINK(1)," in door.get("/tables/books").text


def test_another_table_or_form_there_is_not(door: Door) -> None:
    problem(door.get("/tables/people"), 404)
    problem(door.get("/tables/books?form=pdf"), 400)


def test_without_the_library_the_mend_is_said(door: Door) -> None:
    assert isinstance(door.ledger.workbooks, XlsxWorkbooks)
    object.__setattr__(door.ledger, "workbooks", None)
    assert "Take the table as CSV." in problem(door.get("/tables/books?form=xlsx"), 409)["detail"]
