"""Cells of a CSV file: none is taken for a formula, and all come back unchanged."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.spreadsheet_cells import cell, read_cell, read_sheet, read_xml_text, written_sheet, xml_text

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
RISKY = st.builds("{}{}".format, st.sampled_from("=+-@\t\r'"), TEXT)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("=1+1", "'=1+1"),
        ("+49 30", "'+49 30"),
        ("-x", "'-x"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("'tis", "''tis"),
        ("Captain Lantern", "Captain Lantern"),
        ("", ""),
    ],
)
def test_a_cell_that_could_be_a_formula_gets_an_apostrophe(text: str, written: str) -> None:
    assert cell(text) == written
    assert read_cell(written) == text


@pytest.mark.parametrize("number", ["-12.50", "-3", "0", "1250.00", "-0.05"])
def test_a_number_stays_a_number(number: str) -> None:
    assert cell(number) == number


@pytest.mark.parametrize("text", ["-", "--1", "-1+1", "-01", "-1.", "-.5", "-1e3", "-\u0661"])
def test_what_only_looks_like_a_number_does_not(text: str) -> None:
    assert cell(text) == "'" + text


@given(st.one_of(TEXT, RISKY))
def test_no_cell_begins_like_a_formula_unless_it_is_a_plain_number(text: str) -> None:
    written = cell(text)
    assert written == text or written[0] == "'"
    if written[:1] in ("=", "+", "@", "\t", "\r"):
        pytest.fail(f"{written!r} begins like a formula")


@given(st.lists(st.lists(st.one_of(TEXT, RISKY), min_size=1, max_size=4), max_size=5))
def test_a_file_comes_back_unchanged(rows: list[list[str]]) -> None:
    file = written_sheet(rows)
    assert read_sheet(file) == rows
    # The general library reads the very same cells.
    assert list(csv.reader(io.StringIO(file, newline=""))) == [[cell(each) for each in row] for row in rows]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("\x07", "_x0007_"),
        ("a\rb", "a_x000D_b"),
        ("_x0041_", "_x005F_x0041_"),
        ("two\nlines\t", "two\nlines\t"),
        ("_x", "_x"),
    ],
)
def test_what_xml_does_not_take_is_spelt_out(text: str, written: str) -> None:
    """ECMA-376 part 1 section 22.9.2.19: `_xHHHH_`, and `_x005F_` for the underscore that would begin one."""
    assert xml_text(text) == written
    assert read_xml_text(written) == text


@given(st.one_of(TEXT, st.text("_x0041FEfe\r\x00", max_size=30)))
def test_a_text_spelt_out_comes_back(text: str) -> None:
    assert read_xml_text(xml_text(text)) == text
