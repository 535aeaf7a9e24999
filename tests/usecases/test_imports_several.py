"""Rows of several books come in as all of them; rows that are no books stay out; both are counted."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.adapters.tables_in import FileTables
from ledger.importing.begun import Options, begun_of, plain_begun
from ledger.importing.identity import Why
from ledger.ports import Ledger
from ledger.usecases.bring_in import bring_in
from ledger.usecases.import_kept import look_at_import
from ledger.usecases.imports import decide_doubles, first_rows, mend_rows
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
