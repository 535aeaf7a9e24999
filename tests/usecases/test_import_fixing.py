"""Rows with problems go out as a file and come back mended."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.adapters.tables_in import FileTables
from ledger.errors import MalformedError
from ledger.ports import Ledger
from ledger.spreadsheet_cells import read_sheet
from ledger.usecases.bring_in import bring_in
from ledger.usecases.import_fixing import file_to_fix, take_fixed
from tests.store.writing import OWNER
from tests.usecases.brought_in import begun, books, nobody

TABLE = b"Title,No,Cond,Paid,Reason\nA B,1,lovely,3 USD,=SUM(A1)\nC D,2,NM,lots,why\nE F,3,NM,2 USD,x\n"


@pytest.fixture
def ledger(ledger: Ledger, tmp_path: Path) -> Ledger:
    return replace(ledger, tables=FileTables(tmp_path / "coming"))


def test_the_file_names_each_row_and_what_is_wrong_with_it_and_no_cell_is_a_formula(ledger: Ledger) -> None:
    made = begun(ledger, TABLE)

    text = file_to_fix(ledger, OWNER, made.id)

    lines = read_sheet(text)
    assert lines[0] == [
        "Row in the file",
        "What is wrong",
        "Series title",
        "Number",
        "Stated grade",
        "Price paid",
        "Reason",
    ]
    assert [(line[0], line[1].partition(":")[0]) for line in lines[1:]] == [("2", "Stated grade"), ("3", "Price paid")]
    assert lines[1][6] == "=SUM(A1)"
    assert ",'=SUM(A1)" in text


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_what_was_mended_in_it_comes_back_whatever_the_spreadsheet_made_of_it(ledger: Ledger, mark: str) -> None:
    made = begun(ledger, TABLE)
    lines = read_sheet(file_to_fix(ledger, OWNER, made.id))
    lines[1][4], lines[2][5] = "9.2", "7.50"
    back = "\n".join(mark.join(f'"{cell}"' for cell in line) for line in (lines[0], lines[2], lines[1]))

    after, count = take_fixed(ledger, OWNER, made.id, back.encode("utf-8-sig"))

    assert count == 2
    assert after.found is not None
    assert after.found.wrong == ()
    assert after.mends == {2: {"grade": "9.2"}, 3: {"price": "7.50"}}
    bring_in(ledger, OWNER, made.id, nobody)
    assert len(books(ledger)) == 3


def test_a_file_that_is_another_one_changes_nothing(ledger: Ledger) -> None:
    made = begun(ledger, TABLE)

    with pytest.raises(MalformedError, match="Row in the file"):
        take_fixed(ledger, OWNER, made.id, b"Title,No\nA,1\n")

    assert ledger.tables is not None
    assert set(ledger.tables.picked(made.id, {1})) == {1}


def test_rows_that_had_no_problem_are_passed_over(ledger: Ledger) -> None:
    made = begun(ledger, TABLE)

    after, count = take_fixed(ledger, OWNER, made.id, b"Row in the file,Series title\n4,Changed\n99,New\nx,Odd\n")

    assert (count, after.mends) == (0, {})


def test_what_is_wrong_with_a_part_of_one_line_has_a_column_of_its_own(ledger: Ledger) -> None:
    made = begun(ledger, b"Amber Anchor #14 VF paid 4.000\nCopper Comet 3 FN+ paid 8\n")

    names, line = read_sheet(file_to_fix(ledger, OWNER, made.id))
    assert names[2:] == ["Title and number", "Price paid"]
    mended = f"{names[0]},Title and number,Price paid\n{line[0]},{line[2]},4 USD\n"
    back, count = take_fixed(ledger, OWNER, made.id, mended.encode())

    assert count == 1
    assert back.found is not None
    assert (back.found.good, back.found.wrong_count) == (2, 0)
