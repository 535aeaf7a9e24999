"""What stands below the first line of another table is asked about, and is nothing that it was never said to be."""

from collections.abc import Sequence

import pytest

from ledger.importing.below import ASK_BELOW, Below, begins, told, with_below
from ledger.importing.columns import Columns, matched
from ledger.importing.reading import RowRead, RowReader, Ways
from tests.importing.test_reading import TODAY

TABLE = [
    "Title|No|Grade|Date|Price",
    "Amber Anchor|1|VF|1998-04-03|10 USD",
    "|",
    "Title|No|Grade|Date sold|Sold for",
    "Amber Anchor|9|VF|2005-01-02|99 USD",
    "Wants",
    "Amber Anchor|11|NM|2006-01-02|60 USD",
]


def table(*rows: str) -> tuple[Columns, list[tuple[int, list[str]]]]:
    numbered = [(number, row.split("|")) for number, row in enumerate(rows, start=1)]
    return with_below(matched(numbered), numbered), numbered


def read(rows: Sequence[str], chosen: Below | None) -> list[RowRead]:
    columns, numbered = table(*rows)
    reader = RowReader(columns.fields, Ways(day=TODAY))
    return [told(reader.read(number, cells), columns, cells, chosen) for number, cells in numbered[1:] if any(cells)]


def test_rows_below_other_names_of_columns_are_asked_about_and_not_read_by_the_first() -> None:
    first, names, sold, wants, wanted = read(TABLE, None)

    assert (first.problems, first.aside) == ((), "")
    assert (names.aside, wants.aside) == ("Title, No, Grade, Date sold, Sold for", "Wants")
    assert [[each.rule for each in row.problems] for row in (sold, wanted)] == [[ASK_BELOW]] * 2
    assert "below row 4" in sold.problems[0].sentence


def test_they_are_passed_over_or_read_as_those_above_where_that_is_said() -> None:
    assert [bool(row.aside) for row in read(TABLE, "pass_over")] == [False, True, True, True, True]

    above = read(TABLE, "as_above")
    assert [bool(row.aside) for row in above] == [False, True, False, True, False]
    assert above[2].shown["price"] == "99.00 USD"


def test_a_row_that_says_itself_whether_it_is_here_is_believed_under_the_same_columns() -> None:
    rows = ["Title|No|Have|Paid", "A B|1|yes|", "WANTED", "A B|2|have|5 USD", "A B|3||"]
    _, _, have, unsaid = read(rows, None)

    assert (have.problems, have.aside, have.shown["here"]) == ((), "", "yes")
    assert [each.rule for each in unsaid.problems] == [ASK_BELOW]
    columns, numbered = table(*rows)
    unsaid = RowReader(columns.fields, Ways(day=TODAY, here="yes")).read(*numbered[-1])
    assert [each.rule for each in told(unsaid, columns, numbered[-1][1], None).problems] == [ASK_BELOW]
    renamed = read([*rows, "Title|No|Sold|Price", "A B|4|yes|9 USD"], None)
    assert [each.rule for each in renamed[2].problems] == [ASK_BELOW]


@pytest.mark.parametrize(
    "row",
    [
        *("Series|Issue|Price|Bought", "No|Title|Price|Date", "Title|No", "Title|No|Grade wanted|Would pay|Notes"),
        *("SOLD", "--- WANTED ---", "Want list:", "Books sold 2010", "Comics I want", "* Still need *", "|||Sold"),
    ],
)
def test_another_table_begins_with_other_names_or_with_a_line_of_books_that_are_not_here(row: str) -> None:
    assert begins(table(TABLE[0])[0], row.split("|"))


@pytest.mark.parametrize(
    "row",
    [
        *("Title|No|Grade|Date|Price", "Amber Anchor", "Wanted|1|VF", "Title|1|VF", "Have|VF", "Sold on Sunday"),
        *("Name|Special|VF|1998|10", "", "For sale"),
    ],
)
def test_books_and_groups_of_books_begin_no_table(row: str) -> None:
    assert not begins(table(TABLE[0])[0], row.split("|"))


def test_a_longer_line_of_names_further_down_is_not_the_one_of_the_first_table() -> None:
    columns, _ = table(
        "Title|No|Paid", "Amber Anchor|1|10 USD", "Title|No|Grade|Date sold|Sold for", "A B|2|VF|1999|5 USD"
    )

    assert (columns.head_at, columns.below) == (1, 3)
