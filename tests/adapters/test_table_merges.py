"""A cell that is merged over several rows is read in every row that it covers, and what is made to do harm is refused."""

import io
import tracemalloc
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from time import process_time

import openpyxl
import pytest

from ledger.adapters.table_merges import spread
from ledger.adapters.table_xml import MERGED_MOST
from ledger.adapters.tables_in import FileTables
from ledger.errors import MalformedError
from ledger.importing.reading import RowReader, Ways
from ledger.importing.tables import MERGED, TableAsked
from tests.hostile.tables import workbook

ROW = '<row r="{0}"><c r="B{0}"><v>{0}</v></c></row>'


def as_kept(tmp_path: Path, data: bytes) -> list[tuple[int, list[str]]]:
    tables = FileTables(tmp_path / "bringing-in")
    tables.keep("a1", data, TableAsked())
    return list(tables.rows("a1"))


def merged_book(rows: Sequence[Sequence[object]], *merged: str) -> bytes:
    """A workbook with merged cells, as another library writes it."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for each in merged:
        book.active.merge_cells(each)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def a_sheet(rows: str, merged: str) -> bytes:
    return workbook(f"<worksheet><sheetData>{rows}</sheetData><mergeCells>{merged}</mergeCells></worksheet>")


def test_a_title_over_several_rows_is_that_of_each(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Title", "No"],
        ["Amber Anchor", 1],
        [None, 2],
        [None, 3],
        ["Copper Comet", 4],
        ["Harbor Lamp", 5],
        [None, 6],
    ]

    kept = as_kept(tmp_path, merged_book(rows, "A2:A4", "A6:A7"))

    titles = ["Title", "Amber Anchor", "Amber Anchor", "Amber Anchor", "Copper Comet", "Harbor Lamp", "Harbor Lamp"]
    assert [cells[0] for _, cells in kept] == titles
    assert [cells[1] for _, cells in kept] == ["No", "1", "2", "3", "4", "5", "6"]


def test_any_column_and_several_at_once_are_read(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Amber", 1, date(1998, 4, 3), "A fair"],
        [None, 2, None, None],
        [None, 3, None, "A shop"],
    ]

    kept = as_kept(tmp_path, merged_book(rows, "A1:A3", "C1:C3", "D1:D2"))

    assert [cells[2:] for _, cells in kept] == [
        ["1998-04-03", "A fair"],
        ["1998-04-03", "A fair"],
        ["1998-04-03", "A shop"],
    ]


def test_of_what_is_merged_over_columns_only_the_first_is_read(tmp_path: Path) -> None:
    rows: list[list[object]] = [["My books"], [None, None, None, "seen"], ["Title", "No", "Price", ""]]

    assert as_kept(tmp_path, merged_book(rows, "A1:C2", "A3:B3")) == [
        (1, ["My books"]),
        (2, ["My books", "", "", "seen"]),
        (3, ["Title", "", "Price"]),
    ]


def test_rows_without_a_cell_of_their_own_stay_empty(tmp_path: Path) -> None:
    kept = as_kept(tmp_path, merged_book([["Amber", 1, 12.5], [], ["Copper", 2]], "A1:A2", "B1:B2", "C1:C2"))

    assert kept == [(1, ["Amber", "1", "12.5"]), (3, ["Copper", "2"])]


def test_an_amount_over_several_rows_is_marked_in_each(tmp_path: Path) -> None:
    kept = as_kept(tmp_path, merged_book([["Amber", 1, 30], [None, 2], ["Copper", 3, 5]], "A1:A2", "C1:C2"))

    assert [cells[2] for _, cells in kept] == [f"{MERGED}30", f"{MERGED}30", "5"]


@pytest.mark.parametrize(
    "text",
    ["30", "$30", "30 bucks", "12 dollars each", "50 kr", "25c", "5,-", "Rs. 500/-", "US$ 12", "($5)", "5 euros"],
)
def test_however_such_an_amount_is_written_no_row_takes_all_of_it(tmp_path: Path, text: str) -> None:
    kept = as_kept(tmp_path, merged_book([["Amber", "1", text], [None, "2"]], "A1:A2", "C1:C2"))

    for currency in ("USD", "SEK", "INR"):
        reader = RowReader(("title", "number", "price"), Ways(day=date(2026, 3, 4), currency=currency))
        for number, cells in kept:
            found = reader.read(number, cells)
            assert "price" not in found.read
            assert "in one cell for several rows" in found.problems[0].sentence


def test_what_stands_hidden_under_a_merged_cell_is_not_read(tmp_path: Path) -> None:
    rows = "".join(
        f'<row r="{at}"><c r="A{at}" t="inlineStr"><is><t>{text}</t></is></c><c r="B{at}"><v>{at}</v></c></row>'
        for at, text in enumerate(("Amber", "hidden"), 1)
    )

    assert [cells[0] for _, cells in as_kept(tmp_path, a_sheet(rows, '<mergeCell ref="A1:A2"/>'))] == ["Amber", "Amber"]


def test_a_range_to_the_end_of_all_rows_costs_nothing(tmp_path: Path) -> None:
    rows = '<row r="1"><c r="A1" t="inlineStr"><is><t>Amber</t></is></c></row>' + ROW.format(1_000_000)

    kept = as_kept(tmp_path, a_sheet(rows, '<mergeCell ref="A1:XFD1048576"/>'))

    assert kept == [(1, ["Amber"]), (1_000_000, ["Amber", "1000000"])]


def test_ranges_that_lie_over_each_other_end_where_the_later_begins() -> None:
    rows = [(1, ["Amber", "1"]), (2, ["Copper", "2"]), (3, ["", "3"]), (4, ["", "4"])]

    titles = [cells[0] for _, cells in spread(rows, [(1, 4, 0), (2, 3, 0)])]

    assert titles == ["Amber", "Copper", "Copper", ""]


@pytest.mark.parametrize("ref", ["", "A", "1:2", "A1:A2:A3", "a1:a2", "A1:A99999999", "../x"])
def test_a_range_without_a_place_is_refused(tmp_path: Path, ref: str) -> None:
    with pytest.raises(MalformedError, match="no place"):
        as_kept(tmp_path, a_sheet(ROW.format(1), f'<mergeCell ref="{ref}"/>'))


def test_a_million_merged_cells_are_refused_at_little_cost(tmp_path: Path) -> None:
    ranges = "".join(f'<mergeCell ref="A{at}:B{at + 1}"/>' for at in range(1, 1_000_000, 2)) * 2
    data = a_sheet(ROW.format(1), ranges)
    tracemalloc.start()
    try:
        start = process_time()
        with pytest.raises(MalformedError, match="Take the merging away"):
            as_kept(tmp_path, data)
        assert process_time() - start < 5
        assert tracemalloc.get_traced_memory()[1] < 16_000_000
    finally:
        tracemalloc.stop()


def test_what_is_merged_on_a_sheet_that_is_not_asked_for_hinders_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(merged_book([["Amber", 1], [None, 2]], "A1:A2", "C1:C2")))
    book.create_sheet("Own").append(["Copper", 3])
    file = io.BytesIO()
    book.save(file)
    monkeypatch.setattr("ledger.adapters.table_xml.MERGED_MOST", 1)
    tables = FileTables(tmp_path / "bringing-in")

    tables.keep("a1", file.getvalue(), TableAsked(sheet="Own"))

    assert list(tables.rows("a1")) == [(1, ["Copper", "3"])]


def test_as_many_as_may_be_are_read(tmp_path: Path) -> None:
    rows = "".join(
        f'<row r="{at}"><c r="A{at}" t="inlineStr"><is><t>T{at}</t></is></c><c r="B{at}"><v>1</v></c></row>'
        f"{ROW.format(at + 1)}"
        for at in range(1, 2 * MERGED_MOST, 2)
    )
    ranges = "".join(f'<mergeCell ref="A{at}:A{at + 1}"/>' for at in range(1, 2 * MERGED_MOST, 2))

    kept = as_kept(tmp_path, a_sheet(rows, ranges))

    assert kept[-1] == (2 * MERGED_MOST, [f"T{2 * MERGED_MOST - 1}", str(2 * MERGED_MOST)])


def test_one_text_in_more_cells_than_may_be_held_is_refused(tmp_path: Path) -> None:
    long = f'<row r="1"><c r="A1" t="inlineStr"><is><t>{"x" * 9_999}</t></is></c></row>'
    rows = long + "".join(ROW.format(at) for at in range(2, 30_000))

    with pytest.raises(MalformedError, match="more text"):
        as_kept(tmp_path, a_sheet(rows, '<mergeCell ref="A1:A1048576"/>'))


def test_the_word_is_found_in_every_encoding_of_xml(tmp_path: Path) -> None:
    sheet = (
        '<?xml version="1.0" encoding="UTF-16"?><worksheet><sheetData>'
        '<row r="1"><c r="A1" t="inlineStr"><is><t>Amber</t></is></c><c r="B1"><v>1</v></c></row>'
        f'{ROW.format(2)}</sheetData><mergeCells><mergeCell ref="A1:A2"/></mergeCells></worksheet>'
    )

    kept = as_kept(tmp_path, workbook(sheet.encode("utf-16")))  # type: ignore[arg-type]

    assert [cells[0] for _, cells in kept] == ["Amber", "Amber"]
