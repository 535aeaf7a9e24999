"""A table is taken in, tried, mended and brought in: all of it or nothing, and a second time nothing more."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.adapters.tables_in import FileTables
from ledger.errors import ConflictError
from ledger.importing.identity import Why
from ledger.importing.runs import CalledOffError
from ledger.ports import Ledger
from ledger.usecases.bring_in import bring_in, hindrance
from ledger.usecases.imports import (
    decide_doubles,
    mend_rows,
    problem_rows,
)
from ledger.usecases.record import Draft, record
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase, an_issue
from tests.store.writing import OWNER
from tests.usecases.brought_in import begun, books, mended, nobody, size


@pytest.fixture
def ledger(ledger: Ledger, tmp_path: Path) -> Ledger:
    return replace(ledger, tables=FileTables(tmp_path / "coming"))


def test_a_dry_run_tells_every_problem_by_row_and_field_and_writes_nothing(ledger: Ledger) -> None:
    made = begun(ledger)

    assert made.found is not None
    assert (made.found.rows, made.found.good, made.found.wrong) == (4, 2, (3, 5))
    rows = problem_rows(ledger, OWNER, made.id)
    assert [(row.number, [each.field for each in row.problems]) for row in rows] == [(3, ["grade"]), (5, ["price"])]
    assert [row.number for row in problem_rows(ledger, OWNER, made.id, after=3)] == [5]
    assert size(ledger) == 0
    assert hindrance(made) == "2 rows have a problem. Mend each, or leave it out."


def test_nothing_is_brought_in_while_a_row_has_a_problem(ledger: Ledger) -> None:
    made = begun(ledger)

    with pytest.raises(ConflictError, match="2 rows have a problem"):
        bring_in(ledger, OWNER, made.id, nobody)
    assert size(ledger) == 0


def test_rows_are_mended_or_left_out_and_then_all_of_it_is_written(ledger: Ledger) -> None:
    made = begun(ledger)
    made = mend_rows(ledger, OWNER, made.id, {3: {"grade": "9.0"}}, left={5})
    assert made.found is not None
    assert (made.found.wrong, made.found.good) == ((), 3)

    done = bring_in(ledger, OWNER, made.id, nobody).done

    assert done is not None
    assert (done.books, done.entries, done.already, done.left) == (3, 3, 0, 1)
    assert sorted(books(ledger)) == [("Amber Anchor", "14"), ("Amber Anchor", "14"), ("Copper Comet", "2")]
    assert not verify_ledger(ledger, OWNER).findings


def test_a_mend_that_is_wrong_too_leaves_the_row_among_those_with_problems(ledger: Ledger) -> None:
    made = mend_rows(ledger, OWNER, begun(ledger).id, {3: {"grade": "nice"}, 5: {"price": "7"}})

    assert made.found is not None
    assert (made.found.wrong, made.found.wrong_count, made.found.good) == ((3,), 1, 3)


def test_equal_rows_of_one_file_are_all_real_and_a_second_time_adds_nothing(ledger: Ledger) -> None:
    bring_in(ledger, OWNER, mended(ledger).id, nobody)
    before = size(ledger)
    assert books(ledger).count(("Amber Anchor", "14")) == 2

    again = begun(ledger)
    assert again.found is not None
    assert (again.found.already, again.found.good, again.found.doubles) == (4, 0, ())
    done = bring_in(ledger, OWNER, again.id, nobody).done

    assert done is not None
    assert (done.books, done.already) == (0, 4)
    assert size(ledger) == before


def test_a_row_that_its_source_numbered_is_known_again_in_another_file(ledger: Ledger) -> None:
    first = begun(ledger, b"Own number,Title,No\n17,Amber Anchor,14\n18,Copper Comet,2\n")
    bring_in(ledger, OWNER, first.id, nobody)

    later = begun(ledger, b"Own number,Title,No\n18,Copper Comet,2\n19,Frozen Garden,3\n17,Amber Anchor,14\n")

    assert later.found is not None
    assert (later.found.already, later.found.good) == (2, 1)
    bring_in(ledger, OWNER, later.id, nobody)
    assert len(books(ledger)) == 3


def test_one_own_number_on_two_rows_is_a_problem_of_the_second(ledger: Ledger) -> None:
    made = begun(ledger, b"Own number,Title,No\n17,Amber Anchor,14\n17,Copper Comet,2\n")

    assert made.found is not None
    assert made.found.wrong == (3,)


def test_likely_doubles_are_shown_and_the_decision_is_kept(ledger: Ledger) -> None:
    purchase = a_purchase("1998", issue=an_issue(title="Amber anchor", number="14"))
    record(ledger, OWNER, [Draft(event=purchase, new_book=True, id="here")])
    table = b"Own number,Title,No,Bought\n1,Amber Anchor,14,1998\n2,Copper Comet,2,1999\n"

    made = begun(ledger, table)

    assert made.found is not None
    assert [(each.row, each.book, each.why) for each in made.found.doubles] == [(2, "here", Why.DAY)]
    with pytest.raises(ConflictError, match="likely here already"):
        bring_in(ledger, OWNER, made.id, nobody)
    decided = decide_doubles(ledger, OWNER, made.id, rest="left")
    assert not decided.undecided
    bring_in(ledger, OWNER, made.id, nobody)
    assert len(books(ledger)) == 2

    again = begun(ledger, table + b"3,Frozen Garden,3,2000\n")
    assert again.found is not None
    assert not again.undecided
    assert (again.found.good, sorted(again.left)) == (1, [2])


def test_a_likely_double_that_is_a_book_of_its_own_comes_in(ledger: Ledger) -> None:
    record(ledger, OWNER, [Draft(event=a_purchase("1998", issue=an_issue(title="A B", number="1")), new_book=True)])
    made = begun(ledger, b"Title,No,Bought\nA B,1,1998\n")

    back = decide_doubles(ledger, OWNER, made.id, left={2})
    assert back.found is not None
    assert back.found.good == 0
    own = decide_doubles(ledger, OWNER, made.id, real={2})
    assert own.found is not None
    assert own.found.good == 1
    bring_in(ledger, OWNER, made.id, nobody)

    assert books(ledger) == [("A B", "1"), ("A B", "1")]


def test_a_work_that_is_called_off_leaves_nothing_and_can_be_begun_again(ledger: Ledger) -> None:
    rows = b"".join(b"Amber Anchor,%d\n" % number for number in range(1, 500))
    made = begun(ledger, b"Title,No\n" + rows)
    assert ledger.tables is not None
    tables = ledger.tables

    def told(done: int, expected: int) -> None:
        assert expected >= done
        if done >= 300:
            tables.runs.call_off(made.id)

    with pytest.raises(CalledOffError, match="nothing was written"):
        bring_in(ledger, OWNER, made.id, told)

    assert size(ledger) == 0
    assert tables.runs.of(made.id) is None
    assert not tables.runs.call_off(made.id)
    bring_in(ledger, OWNER, made.id, nobody)
    assert size(ledger) == 499


def test_only_one_work_on_a_table_goes_on_at_a_time(ledger: Ledger) -> None:
    made = mended(ledger)
    assert ledger.tables is not None

    with ledger.tables.runs.going(made.id), pytest.raises(ConflictError, match="being worked on"):
        bring_in(ledger, OWNER, made.id, nobody)
