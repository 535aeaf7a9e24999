"""A workbook holds text as text and numbers as numbers, whatever the text begins with, and comes back unchanged."""

import io
import zipfile
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.adapters import workbooks
from ledger.adapters.workbooks import XlsxWorkbooks
from ledger.errors import ConflictError
from ledger.spreadsheet_cells import read_cell, read_xml_text
from ledger.workbooks import CELL_MOST, Cell

MADE = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
FORMULAS = (
    "=1+1",
    '=HYPERLINK("http://example.org")',
    "+49 30",
    "-1+1",
    "@SUM(A1)",
    "\tx",
    "'tis",
    "''",
    "#REF!",
    "=",
    "1250.00",
    "TRUE",
    "_x0041_",
    "two\nlines",
    "\r",
    "\x07\x1f",
)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20)


def written(*rows: tuple[Cell, ...]) -> bytes:
    file = io.BytesIO()
    XlsxWorkbooks().write(file, "books", rows, MADE)
    return file.getvalue()


def read_back(data: bytes) -> list[list[Any]]:
    """By the general library: the values of its cells, text as the rule turns it round."""
    sheet = openpyxl.load_workbook(io.BytesIO(data), read_only=True)["books"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    return [[read_cell(read_xml_text(each)) if isinstance(each, str) else each for each in row] for row in rows]


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_is_a_formula_and_all_of_it_comes_back(text: str) -> None:
    data = written((text,))
    cell = openpyxl.load_workbook(io.BytesIO(data))["books"]["A1"]
    assert cell.data_type == "s"
    assert not cell.value.startswith(("=", "+", "@", "\t"))
    assert read_back(data) == [[text]]
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert b"<f>" not in parts.read("xl/worksheets/sheet1.xml")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(TEXT, st.builds("{}{}".format, st.sampled_from("=+-@\t\r'"), TEXT)), min_size=1, max_size=5))
def test_whatever_is_written_comes_back(texts: list[str]) -> None:
    assert read_back(written(tuple(texts))) == [texts]


def test_numbers_are_numbers_and_what_is_not_known_is_an_empty_cell() -> None:
    data = written((1, Decimal("1250.10"), Decimal("-0.05"), 2**40, None, "x"))
    sheet = openpyxl.load_workbook(io.BytesIO(data))["books"]
    assert [cell.data_type for cell in sheet[1]] == ["n", "n", "n", "n", "n", "s"]
    (row,) = read_back(data)
    assert row == [1, 1250.1, -0.05, 2**40, None, "x"]
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert b"<v>1250.1</v>" in parts.read("xl/worksheets/sheet1.xml")


def test_a_text_that_no_cell_holds_is_refused_and_not_cut() -> None:
    assert read_back(written(("x" * CELL_MOST,))) == [["x" * CELL_MOST]]
    for text in ("x" * (CELL_MOST + 1), "=" * CELL_MOST):
        with pytest.raises(ConflictError, match=r"does not fit into a cell.*Take the table as CSV"):
            written((text,))


def test_nothing_is_left_of_a_workbook_that_was_not_finished(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(ConflictError):
        written(("a",), ("x" * (CELL_MOST + 1),))
    written(("a",))
    assert list(tmp_path.iterdir()) == []


def test_more_rows_than_a_sheet_has_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbooks, "ROWS_MOST", 2)
    assert len(read_back(written(("a",), ("b",)))) == 2
    with pytest.raises(ConflictError, match="A sheet has 2 rows"):
        written(("a",), ("b",), ("c",))


def test_the_first_row_stays_in_sight_and_the_moment_is_that_of_the_ledger() -> None:
    book = openpyxl.load_workbook(io.BytesIO(written(("a",), ("b",))))
    assert book["books"].freeze_panes == "A2"
    assert book.properties.created == datetime(2026, 3, 1, 9, 30)  # noqa: DTZ001 - the library drops the zone
