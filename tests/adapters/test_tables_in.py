"""Tables on their way in: read as they are shown, held against their limits, and refused whole or kept whole."""

import io
import tracemalloc
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils.escape import unescape

from ledger.adapters.tables_in import FileTables
from ledger.errors import MalformedError, NotFoundError
from ledger.importing.tables import TableAsked, TableFacts
from tests.hostile.tables import HOSTILE, workbook

ROWS = [["Title", "No", "Price"], ["Caf\u00e9 Anchor", "14", "3,50"], ["Copper; Comet", "2", "1"]]
NAME = "a1"


@pytest.fixture
def tables(tmp_path: Path) -> FileTables:
    return FileTables(tmp_path / "bringing-in")


def kept(tables: FileTables, data: bytes, asked: TableAsked | None = None) -> tuple[TableFacts, list[list[str]]]:
    facts = tables.keep(NAME, data, asked or TableAsked())
    return facts, [cells for _, cells in tables.rows(NAME)]


def sheet_of(*rows: Sequence[object], formats: dict[str, str] | None = None) -> bytes:
    """A workbook as another library writes it."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for place, code in (formats or {}).items():
        book.active[place].number_format = code
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


@pytest.mark.parametrize(
    ("encoding", "found"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8"),
        ("utf-16", "utf-16"),
        ("utf-16-le", "utf-16"),
        ("utf-16-be", "utf-16"),
        ("cp1252", "cp1252"),
    ],
)
def test_an_encoding_is_found_out(tables: FileTables, encoding: str, found: str) -> None:
    text = "\r\n".join("\t".join(row) for row in ROWS)

    facts, rows = kept(tables, text.encode(encoding))

    assert (facts.encoding, facts.mark, facts.rows, facts.width) == (found, "tab", 3, 3)
    assert rows == ROWS


@pytest.mark.parametrize("encoding", ["mac-roman", "cp850", "shift_jis", "cp1250"])
def test_an_encoding_that_cannot_be_found_out_can_be_named(tables: FileTables, encoding: str) -> None:
    word = {"shift_jis": "\u30b3\u30df\u30c3\u30af", "cp1250": "P\u0159\u00edb\u011bh"}.get(encoding, "Caf\u00e9")
    data = f"Title;No\n{word};14\n".encode(encoding)

    facts, rows = kept(tables, data, TableAsked(encoding=encoding))

    assert facts.encoding == encoding
    assert rows[1] == [word, "14"]


@pytest.mark.parametrize(("mark", "name"), [("\t", "tab"), (";", "semicolon"), (",", "comma"), ("|", "bar")])
def test_what_sets_cells_apart_is_found_out(tables: FileTables, mark: str, name: str) -> None:
    lines = [mark.join(['"A, B; C"', "14", "VF/NM"]) for _ in range(5)]

    facts, rows = kept(tables, "\n".join(lines).encode())

    assert facts.mark == name
    assert rows[0] == ["A, B; C", "14", "VF/NM"]


def test_marks_in_a_few_lines_of_a_notebook_cut_none_of_them(tables: FileTables) -> None:
    lines = ["Amber Anchor #14 VF paid 40", "Copper Comet 3, torn, paid 8", "Frozen Garden #4"]

    _, rows = kept(tables, "\n".join(lines).encode())

    assert rows == [[line] for line in lines]


def test_many_lines_above_the_names_of_columns_do_not_hide_them(tables: FileTables) -> None:
    _, rows = kept(tables, b"My list\nof books\nby me\nTitle,No\nAmber,14\n")

    assert rows[3:] == [["Title", "No"], ["Amber", "14"]]


def test_cells_of_many_lines_are_cells_all_the_same(tables: FileTables) -> None:
    lines = ["Title,No,Note", *['Amber Anchor,14,"torn\nat the\nback cover"'] * 3]

    _, rows = kept(tables, "\n".join(lines).encode())

    assert rows[1] == ["Amber Anchor", "14", "torn\nat the\nback cover"]


def test_a_first_line_that_only_names_the_mark_is_no_row(tables: FileTables) -> None:
    facts, rows = kept(tables, b"sep=;\nTitle;No\nAmber;14\n")

    assert (facts.mark, rows) == ("semicolon", [["Title", "No"], ["Amber", "14"]])


def test_rows_keep_the_number_that_a_spreadsheet_gives_them(tables: FileTables) -> None:
    tables.keep(NAME, b'Title,No\n\n"two\nlines",14\n,,\nCopper,2\n', TableAsked())

    assert [number for number, _ in tables.rows(NAME)] == [1, 3, 5]
    assert tables.picked(NAME, {5, 9}) == {5: ["Copper", "2"]}


def test_a_sheet_is_read_as_it_is_shown(tables: FileTables) -> None:
    data = sheet_of(
        ["Title", "No", "Bought", "Grade", "Cover", "Slab", "Moment"],
        ["Amber", 14.0, date(1998, 4, 3), 9.2, date(1962, 11, 1), True, datetime.fromisoformat("1999-05-06T07:08")],
        formats={"E2": "mmm yyyy", "C2": "dd/mm/yyyy"},
    )

    facts, rows = kept(tables, data)

    assert (facts.kind, facts.sheet) == ("XLSX", "Sheet")
    assert rows[1] == ["Amber", "14", "1998-04-03", "9.2", "1962-11", "yes", "1999-05-06"]


def test_days_agree_with_those_of_another_library(tables: FileTables) -> None:
    days = [date(1900, 1, 1), date(1900, 2, 28), date(1900, 3, 1), date(1969, 12, 31), date(2026, 3, 4)]

    _, rows = kept(tables, sheet_of(*[[day] for day in days]))

    assert [row[0] for row in rows] == [day.isoformat() for day in days]


def test_a_formula_is_what_was_worked_out_or_is_marked_as_not_worked_out_and_never_run(tables: FileTables) -> None:
    saved = workbook(
        "<worksheet><sheetData><row><c><f>1+1</f><v>2</v></c>"
        '<c t="str"><f>IF(A1="","",A1)</f><v></v></c>'
        '<c><f>WEBSERVICE("http://127.0.0.1/")</f></c></row></sheetData></worksheet>'
    )

    _, rows = kept(tables, saved)

    assert rows == [["2", "", '#FORMULA! =WEBSERVICE("http://127.0.0.1/")']]


def test_a_formula_that_another_library_wrote_without_a_value_is_not_lost(tables: FileTables) -> None:
    assert kept(tables, sheet_of(["Amber", "=10+2"]))[1] == [["Amber", "#FORMULA! =10+2"]]


def test_a_text_formula_in_a_text_file_stays_text(tables: FileTables) -> None:
    _, rows = kept(tables, b"Title,No\n=cmd|' /C calc'!A0,14\n")

    assert rows[1][0] == "=cmd|' /C calc'!A0"


def test_of_several_sheets_the_first_with_rows_is_read_or_the_one_that_is_named(tables: FileTables) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Empty"
    book.create_sheet("Books").append(["Amber", 14])
    book.create_sheet("Wants").append(["Copper", 2])
    file = io.BytesIO()
    book.save(file)

    facts, rows = kept(tables, file.getvalue())
    named, others = kept(tables, file.getvalue(), TableAsked(sheet="Wants"))

    assert (facts.sheet, facts.sheets, rows) == ("Books", ("Empty", "Books", "Wants"), [["Amber", "14"]])
    assert (named.sheet, others) == ("Wants", [["Copper", "2"]])
    with pytest.raises(MalformedError, match="no sheet 'Sold'"):
        tables.keep(NAME, file.getvalue(), TableAsked(sheet="Sold"))


def test_a_hidden_sheet_is_read_only_where_no_other_has_rows_or_it_is_named(tables: FileTables) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Lists"
    book.active.append(["raw", "slabbed"])
    book.active.sheet_state = "hidden"
    book.create_sheet("Books").append(["Amber", 14])
    book.active = 1
    file = io.BytesIO()
    book.save(file)

    facts, rows = kept(tables, file.getvalue())

    assert (facts.sheet, facts.sheets, rows) == ("Books", ("Lists", "Books"), [["Amber", "14"]])
    assert kept(tables, file.getvalue(), TableAsked(sheet="Lists"))[1] == [["raw", "slabbed"]]


def test_characters_that_are_spelt_out_are_read_as_another_library_reads_them(tables: FileTables) -> None:
    spelt = ["two_x000D_\nlines", "a_x0041_b", "_x005F_x0041_"]

    assert kept(tables, sheet_of(spelt))[1] == [[unescape(each) for each in spelt]]


def test_texts_with_styles_inside_them_are_whole(tables: FileTables) -> None:
    sheet = (
        '<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData><x:row>'
        '<x:c t="inlineStr"><x:is><x:r><x:t>Am</x:t></x:r><x:r><x:t>ber</x:t></x:r>'
        "<x:rPh><x:t>spoken</x:t></x:rPh></x:is></x:c></x:row></x:sheetData></x:worksheet>"
    )

    assert kept(tables, workbook(sheet))[1] == [["Amber"]]


@pytest.mark.parametrize("what", HOSTILE)
def test_what_is_made_to_do_harm_is_refused_and_nothing_of_it_stays(tables: FileTables, what: str) -> None:
    made, says = HOSTILE[what]
    data = made()

    with pytest.raises(MalformedError) as refused:
        tables.keep(NAME, data, TableAsked())

    assert says in str(refused.value)
    assert len(str(refused.value)) < 400
    assert not list(tables.folder.glob("*"))


def test_a_cell_of_fifty_megabytes_costs_no_more_memory_than_the_file(tables: FileTables) -> None:
    data = HOSTILE["a cell of 50 MB in a sheet"][0]()
    tracemalloc.start()
    try:
        with pytest.raises(MalformedError):
            tables.keep(NAME, data, TableAsked())
        assert tracemalloc.get_traced_memory()[1] < 8_000_000
    finally:
        tracemalloc.stop()


def test_a_refused_file_leaves_the_one_before_it_as_it_was(tables: FileTables) -> None:
    _, before = kept(tables, b"Title,No\nAmber,14\n")

    with pytest.raises(MalformedError):
        tables.keep(NAME, b"Title,No\nAm\x00ber,15\n", TableAsked())

    assert [cells for _, cells in tables.rows(NAME)] == before


def test_what_was_dropped_is_gone(tables: FileTables) -> None:
    tables.keep(NAME, b"Title,No\n", TableAsked())
    tables.keep("b2", b"Title,No\n", TableAsked())

    tables.drop(NAME)
    tables.drop(NAME)
    with pytest.raises(NotFoundError):
        list(tables.rows(NAME))
    tables.drop_all()
    assert not list(tables.folder.glob("*"))


@pytest.mark.parametrize("name", ["../a", "A", "", "a/b", "a" * 41])
def test_a_name_that_is_none_finds_nothing(tables: FileTables, name: str) -> None:
    with pytest.raises(NotFoundError):
        list(tables.rows(name))


@pytest.mark.parametrize("data", [b"<html><table><tr><td>Title</td></tr></table>", b"\xef\xbb\xbf\r\n<!DOCTYPE html>"])
def test_a_page_of_the_web_is_no_table(tables: FileTables, data: bytes) -> None:
    with pytest.raises(MalformedError, match="page of the web"):
        tables.keep(NAME, data, TableAsked())
