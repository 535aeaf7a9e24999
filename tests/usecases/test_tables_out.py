"""Books, events and costs as tables: every line, numbers as numbers, and each cell read back as it was."""

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from ledger.actor import Actor, Permission
from ledger.bootstrap import OWNER, open_ledger
from ledger.errors import ForbiddenError
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.spreadsheet_cells import read_cell, read_sheet, read_xml_text
from ledger.usecases import tables_out
from ledger.usecases.record import Draft, record
from ledger.usecases.tables_out import HEADS, Sheet, SheetForm, sheet_pieces, sheet_rows
from ledger.workbooks import Cell
from tests.builders import a_purchase, a_slab, an_issue, usd

RISKY = '=HYPERLINK("http://example.org"; "x")'
LINES = '\'tis\n+1, "two" lines'


@pytest.fixture(scope="module")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ledger]:
    """Three books: one slabbed and placed with all kinds of risky texts, one raw, one in another currency."""
    folder = tmp_path_factory.mktemp("tables")
    with open_ledger(Settings(folder=str(folder / "data"), keys=str(folder / "keys"))) as opened:
        _fill(opened)
        yield opened


def _fill(ledger: Ledger) -> None:
    slab = a_slab(
        issue=an_issue(title=RISKY, number="-1", publisher="@harbour"),
        price=Sealed.of(usd("1250.10")),
        seller=Sealed.of("+49 30 Ölm"),
    )
    book = record(ledger, OWNER, [Draft(event=slab, new_book=True)]).entries[0].book
    place = Placement(spot=Spot.BOX, place=Sealed.of("=Box 4"))
    note = record(ledger, OWNER, [Draft(event=Note(words=Sealed.of(LINES)), book=book)]).entries[0]
    record(ledger, OWNER, [Draft(event=place, book=book)])
    record(ledger, OWNER, [Draft(event=Withdrawal(entry=note.seq, reason=Sealed.of("by mistake")), book=book)])
    record(ledger, OWNER, [Draft(event=a_purchase("1998", price=Sealed.of(usd("0.05"))), new_book=True)])
    record(ledger, OWNER, [Draft(event=a_purchase(None), new_book=True)])


def as_csv(ledger: Ledger, sheet: Sheet) -> list[list[str]]:
    data = b"".join(sheet_pieces(ledger, OWNER, sheet, SheetForm.CSV))
    return read_sheet(data.decode("utf-8"))


def as_xlsx(ledger: Ledger, sheet: Sheet) -> list[list[Any]]:
    data = b"".join(sheet_pieces(ledger, OWNER, sheet, SheetForm.XLSX))
    found = openpyxl.load_workbook(io.BytesIO(data), read_only=True)[sheet.value]
    rows = [[cell.value for cell in row] for row in found.iter_rows(max_col=len(HEADS[sheet]))]
    return [[read_cell(read_xml_text(each)) if isinstance(each, str) else each for each in row] for row in rows]


def in_words(value: Cell) -> str:
    return "" if value is None else f"{value:f}" if isinstance(value, Decimal) else str(value)


def as_number(value: Cell) -> Any:
    return float(value) if isinstance(value, Decimal) else value


def line(ledger: Ledger, sheet: Sheet, number: int) -> dict[str, Cell]:
    rows = list(sheet_rows(ledger, OWNER, sheet))
    return dict(zip(HEADS[sheet], rows[number], strict=True))


@pytest.mark.parametrize("sheet", Sheet)
def test_as_csv_each_cell_comes_back_as_it_was(ledger: Ledger, sheet: Sheet) -> None:
    rows = [[in_words(each) for each in row] for row in sheet_rows(ledger, OWNER, sheet)]
    assert len(rows) > 2
    assert as_csv(ledger, sheet) == rows


@pytest.mark.parametrize("sheet", Sheet)
def test_as_xlsx_each_cell_comes_back_as_it_was_and_numbers_are_numbers(ledger: Ledger, sheet: Sheet) -> None:
    rows = [[as_number(each) for each in row] for row in sheet_rows(ledger, OWNER, sheet)]
    assert as_xlsx(ledger, sheet) == rows


@pytest.mark.parametrize("sheet", Sheet)
def test_no_cell_of_the_file_begins_like_a_formula(ledger: Ledger, sheet: Sheet) -> None:
    """Read by the general library, without our rule."""
    data = b"".join(sheet_pieces(ledger, OWNER, sheet, SheetForm.CSV)).decode("utf-8")
    cells = [each for row in csv.reader(io.StringIO(data, newline="")) for each in row]
    begins = [each for each in cells if each.startswith(("=", "+", "@", "\t", "\r"))]
    assert begins == []
    assert any(each.startswith("'") for each in cells)


def test_books_have_one_line_each_with_their_place_and_grade(ledger: Ledger) -> None:
    rows = list(sheet_rows(ledger, OWNER, Sheet.BOOKS))
    assert len(rows) == 4
    (slab,) = [dict(zip(HEADS[Sheet.BOOKS], row, strict=True)) for row in rows if row[1] == RISKY]
    assert (slab["issue number"], slab["publisher"], slab["place"]) == ("-1", "@harbour", "=Box 4")
    assert (slab["grade as written"], slab["grade from"], slab["grade to"]) == ("9.0", Decimal("9.0"), Decimal("9.0"))
    assert (slab["holding"], slab["entries"], slab["start year"]) == ("slabbed", 4, 1962)


def test_events_have_one_line_each_with_what_is_sealed_in_them(ledger: Ledger) -> None:
    rows = list(sheet_rows(ledger, OWNER, Sheet.EVENTS))
    assert [row[0] for row in rows[1:]] == list(range(1, len(rows)))
    bought = line(ledger, Sheet.EVENTS, 2)
    assert (bought["kind"], bought["title"], bought["book number"]) == ("purchase", RISKY, 1)
    assert bought["sealed"] == "price: 1250.10 USD\nseller: +49 30 Ölm"
    note = line(ledger, Sheet.EVENTS, 3)
    assert (note["sealed"], note["withdrawn by entry"]) == (f"words: {LINES}", 5)


def test_costs_have_every_sum_and_what_is_not_known(ledger: Ledger) -> None:
    rows = [dict(zip(HEADS[Sheet.COSTS], row, strict=True)) for row in list(sheet_rows(ledger, OWNER, Sheet.COSTS))[1:]]
    prices = {
        row["title"]: (row["amount"], row["currency"]) for row in rows if row["what"] == "price" and row["amount"]
    }
    assert prices == {RISKY: (Decimal("1250.10"), "USD"), "Captain Lantern": (Decimal("0.05"), "USD")}
    assert any(row["not known because"] for row in rows if not row["currency"])


def test_pages_of_a_long_list_are_put_together(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = {sheet: list(sheet_rows(ledger, OWNER, sheet)) for sheet in Sheet}
    monkeypatch.setattr(tables_out, "PAGE_MOST", 2)
    monkeypatch.setattr(tables_out, "_BOOKS_AHEAD", 1)
    assert {sheet: list(sheet_rows(ledger, OWNER, sheet)) for sheet in Sheet} == whole


def test_who_may_not_read_gets_no_table(ledger: Ledger) -> None:
    other = Actor(id="x", scopes={Permission.SIGN})
    for form in SheetForm:
        with pytest.raises(ForbiddenError):
            sheet_pieces(ledger, other, Sheet.BOOKS, form)


def test_an_empty_ledger_gives_the_heads_and_its_own_entry(tmp_path: Path) -> None:
    with open_ledger(Settings(folder=str(tmp_path / "data"), keys=str(tmp_path / "keys"))) as opened:
        assert as_csv(opened, Sheet.BOOKS) == [list(HEADS[Sheet.BOOKS])]
        assert as_csv(opened, Sheet.COSTS) == [list(HEADS[Sheet.COSTS])]
        assert len(as_xlsx(opened, Sheet.EVENTS)) == 2
