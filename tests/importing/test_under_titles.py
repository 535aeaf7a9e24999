"""Rows without a title have the one above them, once somebody said that it is so."""

from datetime import date

from ledger.importing.columns import matched
from ledger.importing.reading import RowRead, RowReader, Ways
from ledger.importing.under_titles import under_titles
from ledger.importing.whole_row import ASK_UNTITLED, OF_SUMS

HEADS = ["No", "Title", "Paid"]


def rows_of(*rows: str) -> list[tuple[int, list[str]]]:
    return [(at, row.split("|")) for at, row in enumerate(("|".join(HEADS), *rows), start=1)]


def titles(*rows: str) -> list[str]:
    columns = matched(rows_of("14|Amber Anchor|2", "2|Copper Comet|3"))
    return [cells[1] for _, cells in under_titles(columns, rows_of(*rows))][1:]


def test_each_row_has_the_last_title_that_stands_above_it() -> None:
    found = titles("14|Amber Anchor|2", "15||2", '16|"|2', "17", "2|Copper Comet|3", "3| |3", "4|ditto|1")

    assert found == ["Amber Anchor"] * 4 + ["Copper Comet"] * 3


def test_what_has_no_title_above_it_stays_without_one() -> None:
    assert titles("14||2", "15|Amber Anchor|2", "|Total|4", "16||1") == ["", "Amber Anchor", "Total", ""]


def test_the_line_of_names_is_no_title() -> None:
    assert titles("14||2") == [""]


def test_the_line_of_names_at_the_head_of_each_page_is_no_title_either() -> None:
    assert titles("14|Amber Anchor|2", "No|Title|Paid", "15||2") == ["Amber Anchor", "Title", "Amber Anchor"]


def test_a_row_with_its_title_in_the_cell_of_its_number_has_that_one() -> None:
    columns = matched([(1, ["Title", "Title #", "Paid"]), (2, ["Amber Anchor", "Amber Anchor 14", "2"])])
    rows = [(2, ["Amber Anchor", "14", "2"]), (3, ["", "", "2"]), (4, ["", "Copper Comet 3", "2"]), (5, ["", "", "2"])]

    assert [cells[0] for _, cells in under_titles(columns, rows)] == ["Amber Anchor", "Amber Anchor", "", ""]


def test_a_line_of_sums_that_says_so_in_place_of_a_number_is_no_book_of_the_title_above() -> None:
    for text in ("Total", "Total: 12", "Subtotal"):
        (problem,) = read(f"{text}|Amber Anchor|45.00", "above").problems
        assert (problem.field, problem.sentence) == ("number", OF_SUMS)
    assert not read("14|Amber Anchor|45.00", "above").problems


def read(row: str, untitled: str | None = None, fields: tuple[str, ...] = ("number", "title", "price")) -> RowRead:
    ways = Ways(day=date(2026, 3, 4), currency="USD", untitled=untitled)  # type: ignore[arg-type]
    return RowReader(fields, ways).read(5, row.split("|"))


def test_a_row_without_a_title_is_asked_about_until_it_is_said_what_it_is() -> None:
    asked = read("14||2")

    assert [(each.field, each.rule) for each in asked.problems] == [("title", ASK_UNTITLED)]
    (missing,) = read("14||2", "missing").problems
    assert (missing.field, missing.rule) == ("title", "")
    assert not read("14|Amber Anchor|2").problems
    (short,) = read("14").problems
    assert (short.field, short.rule) == ("title", ASK_UNTITLED)


def test_a_table_without_a_column_of_titles_asks_nothing() -> None:
    (missing,) = read("14|2", fields=("number", "price")).problems

    assert missing.rule == ""


def test_a_title_alone_over_rows_that_have_it_is_no_book() -> None:
    columns = matched(rows_of("14|Amber Anchor|2", "2|Copper Comet|3"))
    rows = rows_of(
        "|Amber Anchor|", "14||2", "|Copper Comet|", "2|Copper Comet|3", "|Frozen Garden|", "7|Silver Kite|", "8|"
    )
    reader = RowReader(columns.fields, Ways(day=date(2026, 3, 4), currency="USD", untitled="above"))

    found = [reader.read(number, cells) for number, cells in under_titles(columns, rows)][1:]

    assert [row.aside for row in found] == ["Amber Anchor", "", "Copper Comet", "", "", "", ""]
    assert [(row.number, each.field) for row in found for each in row.problems] == [(6, "number")]
    assert not reader.read(
        2, next(cells for number, cells in under_titles(columns, rows) if number == 2), {"number": "1"}
    ).aside
