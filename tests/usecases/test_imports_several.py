"""Rows of several books come in as all of them; rows that are no books stay out; both are counted."""

import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from ledger.adapters.tables_in import FileTables
from ledger.errors import InvalidError
from ledger.importing.begun import Options, Source, begun_of, plain_begun, plain_source, source_of
from ledger.importing.identity import Why
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.spreadsheet_cells import read_sheet
from ledger.usecases.bring_in import bring_in
from ledger.usecases.import_fixing import file_to_fix
from ledger.usecases.import_kept import look_at_import
from ledger.usecases.imports import begin_import, check_import, choose_columns, decide_doubles, first_rows, mend_rows
from ledger.usecases.verify import verify_ledger
from tests.store.writing import OWNER
from tests.usecases.brought_in import begun, books, nobody

EACH = Options(currency="USD", several="each", here="no")
RUNS = b'Title,No,Qty,Paid\nAmber Anchor,"1-3, 7",1,4\nCopper Comet,12,2,5\nFrozen Garden,1,0,\n'


@pytest.fixture
def ledger(ledger: Ledger, tmp_path: Path) -> Ledger:
    return replace(ledger, tables=FileTables(tmp_path / "coming"))


def test_rows_of_several_books_are_asked_about_and_then_all_come_in(ledger: Ledger) -> None:
    asked = begun(ledger, RUNS)
    assert asked.found is not None
    assert asked.found.asks == {"ask.several": (2, "1-3, 7")}

    made = begun(ledger, RUNS, options=EACH)
    assert made.found is not None
    assert (made.found.rows, made.found.good, made.found.more, made.found.aside) == (3, 6, 4, 1)
    assert made.found.no_book == (4, "Copies: 0")
    done = bring_in(ledger, OWNER, made.id, nobody).done

    assert done is not None
    assert (done.books, done.entries, done.left) == (6, 6, 1)
    numbers = sorted(books(ledger))
    assert numbers == [*(("Amber Anchor", number) for number in "1237"), *[("Copper Comet", "12")] * 2]
    assert not verify_ledger(ledger, OWNER).findings
    again = begun(ledger, RUNS, options=EACH)
    assert again.found is not None
    assert (again.found.already, again.found.good) == (6, 0)


def test_what_a_dry_run_came_to_is_kept_whole(ledger: Ledger) -> None:
    made = begun(ledger, RUNS, options=EACH)

    assert begun_of(made.id, made.made, plain_begun(made)) == made == look_at_import(ledger, OWNER, made.id)


def test_a_mended_row_of_several_books_counts_as_all_of_them(ledger: Ledger) -> None:
    made = begun(ledger, b"Title,No,Cond\nAmber Anchor,1-4,lovely\nCopper Comet,2,9.0\n", options=EACH)

    mended = mend_rows(ledger, OWNER, made.id, {2: {"grade": "9.0"}})

    assert mended.found is not None
    assert (mended.found.good, mended.found.more) == (5, 3)


def test_a_file_with_one_row_more_asks_before_what_is_here_comes_in_again(ledger: Ledger) -> None:
    table = b"Title,No\nAmber Anchor,1-3\nCopper Comet,2\n"
    bring_in(ledger, OWNER, begun(ledger, table, options=EACH).id, nobody)

    more = begun(ledger, table + b"Frozen Garden,3\n", options=EACH)

    assert more.found is not None
    assert [(each.row, each.why) for each in more.found.doubles] == [(2, Why.ISSUE), (3, Why.ISSUE)]
    decided = decide_doubles(ledger, OWNER, more.id, rest="left")
    assert decided.found is not None
    assert decided.found.good == 1
    bring_in(ledger, OWNER, more.id, nobody)
    assert len(books(ledger)) == 5


def test_names_of_columns_that_stand_there_again_are_no_book(ledger: Ledger) -> None:
    made = begun(ledger, b"Title,No\nAmber Anchor,1\nTitle,No\nCopper Comet,2\n")

    assert made.found is not None
    assert (made.found.good, made.found.aside, made.found.no_book) == (2, 1, (4 - 1, "the names of the columns"))


def test_of_two_rows_of_one_own_number_one_that_is_not_here_is_no_matter(ledger: Ledger) -> None:
    made = begun(ledger, b"Own number,Title,No,Have\n17,A B,1,N\n17,A B,1,Y\n")

    assert made.found is not None
    assert (made.found.good, made.found.wrong, made.found.aside) == (1, (), 1)


GROUPS = b"Title,No,Paid\nAmber Anchor,,\n,14,4.00\n,15,5.00\nCopper Comet,2,lots\n,3,1.00\n"


def test_rows_under_a_title_are_asked_about_and_then_are_books_of_it(ledger: Ledger) -> None:
    asked = begun(ledger, GROUPS)
    assert asked.found is not None
    assert asked.found.asks == {"ask.untitled": (3, "")}

    made = begun(ledger, GROUPS, options=Options(currency="USD", untitled="above"))
    assert made.found is not None
    assert (made.found.good, made.found.wrong, made.found.no_book) == (3, (5,), (2, "Amber Anchor"))
    first = {row.number: row.shown.get("title") for row in first_rows(ledger, OWNER, made.id)}
    assert first == {2: "Amber Anchor", 3: "Amber Anchor", 4: "Amber Anchor", 5: "Copper Comet", 6: "Copper Comet"}
    mended = mend_rows(ledger, OWNER, made.id, {5: {"price": "3.00"}})
    assert mended.found is not None
    assert (mended.found.good, mended.found.wrong_count) == (4, 0)
    bring_in(ledger, OWNER, made.id, nobody)

    assert sorted(books(ledger)) == [
        ("Amber Anchor", "14"),
        ("Amber Anchor", "15"),
        ("Copper Comet", "2"),
        ("Copper Comet", "3"),
    ]


def test_a_row_that_turns_out_to_be_no_book_when_it_is_mended_is_named(ledger: Ledger) -> None:
    made = begun(ledger, b"Title,No,Copies\nAmber Anchor,14,1\nCopper Comet,2,some\n")
    assert made.found is not None
    assert (made.found.wrong, made.found.aside, made.found.no_book) == ((3,), 0, None)

    mended = mend_rows(ledger, OWNER, made.id, {3: {"copies": "0"}})

    assert mended.found is not None
    assert (mended.found.aside, mended.found.no_book) == (1, (3, "Copies: 0"))


def test_a_title_that_stands_over_no_row_is_told_and_not_passed_over(ledger: Ledger) -> None:
    table = b"Title,No,Paid\nAmber Anchor,,\n,14,4.00\nFrozen Garden,,\nCopper Comet,2,1.00\n"

    made = begun(ledger, table, options=Options(currency="USD", untitled="above"))

    assert made.found is not None
    assert (made.found.good, made.found.aside, made.found.wrong) == (2, 1, (4,))
    mend_rows(ledger, OWNER, made.id, {4: {"number": "1"}})
    bring_in(ledger, OWNER, made.id, nobody)
    assert sorted(books(ledger)) == [("Amber Anchor", "14"), ("Copper Comet", "2"), ("Frozen Garden", "1")]


def test_a_table_whose_titles_stand_over_rows_is_brought_in_once(ledger: Ledger) -> None:
    options = Options(currency="USD", untitled="above")
    bring_in(ledger, OWNER, mend_rows(ledger, OWNER, begun(ledger, GROUPS, options=options).id, {}, [5]).id, nobody)

    again = begin_import(ledger, OWNER, "boxes.csv", GROUPS, TableAsked())
    assert again.options == options
    found = check_import(ledger, OWNER, again.id, nobody).found

    assert found is not None
    assert (found.already, found.good, found.wrong, found.aside, found.doubles_count) == (3, 0, (5,), 1, 0)


def test_titles_merged_over_rows_and_titles_that_stand_once_go_together(ledger: Ledger) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (("Title", "No"), ("300", "1"), (None, "2"), (None, "3"), ("Copper Comet", None), (None, "2")):
        sheet.append(row)
    sheet.merge_cells("A2:A3")
    file = io.BytesIO()
    book.save(file)

    made = begun(ledger, file.getvalue(), name="boxes.xlsx", options=Options(untitled="above"))
    bring_in(ledger, OWNER, made.id, nobody)

    assert sorted(books(ledger)) == [("300", "1"), ("300", "2"), ("300", "3"), ("Copper Comet", "2")]


def test_several_columns_may_say_that_a_book_is_not_here_and_no_other_thing(ledger: Ledger) -> None:
    table = b"Title,No,Sold for,Wanted,Paid\nAmber Anchor,14,25,,lots\nAmber Anchor,15,,x,2\nCopper Comet,2,,,lots\n"
    made = begun(ledger, table)
    assert made.found is not None
    assert (made.found.good, made.found.aside, made.found.wrong) == (0, 2, (4,))

    assert read_sheet(file_to_fix(ledger, OWNER, made.id))[0][2:] == [
        "Series title",
        "Number",
        "Sold or wanted",
        "Price paid",
    ]
    with pytest.raises(InvalidError) as refused:
        choose_columns(ledger, OWNER, made.id, ("title", "number", "gone", "gone", "title"), made.options, made.source)
    assert [each.field for each in refused.value.problems] == ["columns.4"]


def test_what_an_older_program_kept_of_a_table_and_of_its_source_is_read(ledger: Ledger) -> None:
    made = begun(ledger, RUNS, options=Options(currency="USD", order="dmy"))
    source = Source(name="boxes", options=made.options)
    said, known = plain_begun(made), plain_source(source)
    for each in (said, known):
        each["options"] = {name: each["options"][name] for name in ("order", "marks", "currency")}

    assert begun_of(made.id, made.made, said) == made
    assert source_of(known) == source


def test_a_second_table_below_the_first_is_asked_about_once_and_its_sales_are_no_purchases(ledger: Ledger) -> None:
    table = b"Title,No,Date,Price\nA B,1,1998,5\n\nTitle,No,Date sold,Sold for\nA B,2,1999,90\nA B,3,1999,80\n"
    asked = begun(ledger, table)
    assert asked.found is not None
    assert (asked.found.good, asked.found.asks) == (1, {"ask.below": (2, "")})
    assert [row.number for row in first_rows(ledger, OWNER, asked.id)] == [2]

    made = begun(ledger, table, options=Options(currency="USD", below="pass_over"))
    assert made.found is not None
    assert (made.found.good, made.found.aside, made.found.no_book) == (1, 3, (4, "Title, No, Date sold, Sold for"))
    assert begun_of(made.id, made.made, plain_begun(made)) == made
    bring_in(ledger, OWNER, made.id, nobody)

    assert books(ledger) == [("A B", "1")]


def test_a_mended_row_that_is_likely_here_already_is_asked_about_like_any_other(ledger: Ledger) -> None:
    table = b"Title,No,Paid,Cond\nA B,1,5,NM\nC D,2,6,lovely\nC D,3,6,fair enough\n"
    first = mend_rows(ledger, OWNER, begun(ledger, table).id, {3: {"grade": "VF"}, 4: {"grade": "FR"}})
    bring_in(ledger, OWNER, first.id, nobody)

    grown = begun(ledger, table + b"E F,3,7,NM\n")
    mend_rows(ledger, OWNER, grown.id, {3: {"grade": "VF"}})
    mended = mend_rows(ledger, OWNER, grown.id, {4: {"grade": "FR"}})

    assert mended.found is not None
    assert [(each.row, each.why) for each in mended.found.doubles] == [(row, Why.PRICE) for row in (2, 3, 4)]
    assert (mended.found.good, mended.found.doubles_count) == (4, 3)
    done = bring_in(ledger, OWNER, decide_doubles(ledger, OWNER, grown.id, rest="left").id, nobody).done
    assert done is not None
    assert (done.books, len(books(ledger))) == (1, 4)


def test_a_mended_row_whose_books_were_brought_in_before_is_not_counted_as_new(ledger: Ledger) -> None:
    table = b"Title,No,Paid\nA B,1-2,lots\n"
    for already in (0, 2):
        made = mend_rows(ledger, OWNER, begun(ledger, table, options=EACH).id, {2: {"price": "9 USD"}})
        assert made.found is not None
        assert (made.found.good, made.found.already) == (2 - already, already)
        bring_in(ledger, OWNER, made.id, nobody)

    assert len(books(ledger)) == 2


def test_what_was_asked_is_asked_no_more_once_every_row_is_mended(ledger: Ledger) -> None:
    asked = begun(ledger, b"Title,No,Paid,Bought\nA B,1,5,3/4/98\n")
    mended = mend_rows(ledger, OWNER, asked.id, {2: {"on": "3 April 1998"}})

    assert mended.found is not None
    assert (mended.found.asks, mended.found.good) == ({}, 1)
