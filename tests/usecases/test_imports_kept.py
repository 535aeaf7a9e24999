"""What is remembered of a source, what waits, and what is gone once a table is done, put away or erased."""

import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.tables_in import FileTables
from ledger.care import CareRow, Drawer
from ledger.errors import ConflictError, ForbiddenError, InvalidError, MalformedError, NotFoundError
from ledger.events.erasure import Erasure
from ledger.importing import trying
from ledger.importing.begun import Options
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.bring_in import bring_in, hindrance
from ledger.usecases.imports import (
    IMPORTS_MOST,
    begin_import,
    check_import,
    choose_columns,
    decide_doubles,
    first_rows,
    imports_of,
    look_at_import,
    mend_rows,
    put_away,
)
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, an_issue
from tests.store.writing import OWNER
from tests.usecases.brought_in import TABLE, USD, begun, books, mended, nobody


@pytest.fixture
def ledger(ledger: Ledger, tmp_path: Path) -> Ledger:
    return replace(ledger, tables=FileTables(tmp_path / "coming"))


def test_columns_ways_of_reading_and_the_source_are_remembered(ledger: Ledger) -> None:
    made = begin_import(ledger, OWNER, "C:\\lists\\boxes.csv", b"Comic,No,What it was\nAmber,14,3/4/98\n", TableAsked())
    assert (made.name, made.source) == ("boxes.csv", "boxes")
    fields = ("title", "number", "on")
    choose_columns(ledger, OWNER, made.id, fields, Options(order="dmy", currency="GBP"), "The long boxes")
    check_import(ledger, OWNER, made.id, nobody)
    bring_in(ledger, OWNER, made.id, nobody)

    later = begin_import(ledger, OWNER, "2027.csv", b"What it was,Comic,No\n5/6/99,Copper,2\n", TableAsked())

    assert later.source == "The long boxes"
    assert later.columns.fields == ("on", "title", "number")
    assert later.options == Options(order="dmy", currency="GBP")


def test_what_has_to_be_said_once_is_counted_with_one_of_the_cells(ledger: Ledger) -> None:
    table = b"Title,No,Bought,Paid\nA B,1,3/4/98,$5\nC D,2,5/6/99,$6\n"

    made = begun(ledger, table, options=Options())

    assert made.found is not None
    assert dict(made.found.asks) == {"ask.order": (2, "3/4/98"), "ask.currency": (2, "$5")}
    chosen = choose_columns(
        ledger, OWNER, made.id, made.columns.fields, Options(order="dmy", currency="USD"), made.source
    )
    assert chosen.found is None
    found = check_import(ledger, OWNER, made.id, nobody).found
    assert found is not None
    assert (found.asks, found.good) == ({}, 2)


@pytest.mark.parametrize(
    ("fields", "options", "source", "field"),
    [
        (("title", "title", None, None, None), USD, "x", "columns.1"),
        (("title", "nothing", None, None, None), USD, "x", "columns.1"),
        (("title", None, None, None, None), USD, "x", "number"),
        (("title",), USD, "x", "columns"),
        (("title", "number", None, None, None), USD, " ", "source"),
        (("title", "number", None, None, None), Options(currency="XQQ"), "x", "currency"),
    ],
)
def test_columns_that_cannot_be_so_are_refused_at_their_place(
    ledger: Ledger, fields: tuple[str | None, ...], options: Options, source: str, field: str
) -> None:
    made = begin_import(ledger, OWNER, "boxes.csv", TABLE, TableAsked())

    with pytest.raises(InvalidError) as refused:
        choose_columns(ledger, OWNER, made.id, fields, options, source)

    assert field in [each.field for each in refused.value.problems]


def test_a_refused_file_leaves_nothing_waiting(ledger: Ledger) -> None:
    with pytest.raises(MalformedError):
        begin_import(ledger, OWNER, "x.csv", b"Title\x00", TableAsked())

    assert imports_of(ledger, OWNER) == ()


def test_no_more_than_so_many_tables_wait(ledger: Ledger) -> None:
    for number in range(IMPORTS_MOST):
        begin_import(ledger, OWNER, f"{number}.csv", TABLE, TableAsked())

    with pytest.raises(ConflictError, match="wait already"):
        begin_import(ledger, OWNER, "more.csv", TABLE, TableAsked())


def test_the_first_rows_are_shown_as_they_are_read(ledger: Ledger) -> None:
    rows = first_rows(ledger, OWNER, begun(ledger).id)

    assert [row.number for row in rows] == [2, 3, 4, 5]
    assert rows[0].shown["grade"] == "VF/NM (9.0)"


def test_once_it_is_done_no_row_of_it_is_kept_and_it_cannot_be_done_again(ledger: Ledger) -> None:
    made = mended(ledger)
    done = bring_in(ledger, OWNER, made.id, nobody)

    assert done.mends == {}
    assert ledger.tables is not None
    with pytest.raises(NotFoundError):
        list(ledger.tables.rows(made.id))
    with pytest.raises(ConflictError, match="brought in already"):
        bring_in(ledger, OWNER, made.id, nobody)


def test_what_is_put_away_is_gone(ledger: Ledger) -> None:
    made = begun(ledger)

    put_away(ledger, OWNER, made.id)

    with pytest.raises(NotFoundError):
        look_at_import(ledger, OWNER, made.id)
    assert imports_of(ledger, OWNER) == ()


def test_an_erasure_puts_away_every_table_that_waits(ledger: Ledger) -> None:
    bring_in(ledger, OWNER, mended(ledger).id, nobody)
    waiting = begun(ledger, TABLE + b"Zinc Zebra,9,NM,5,2001\n")
    with ledger.log.read() as reader:
        book = reader.entry(1).book
    erased = Erasure(entry=1, names=("price",))

    record(ledger, OWNER, [Draft(event=erased, book=book)])

    assert ledger.tables is not None
    assert [each.done is not None for each in imports_of(ledger, OWNER)] == [True]
    with pytest.raises(NotFoundError):
        list(ledger.tables.rows(waiting.id))


def test_who_may_only_read_brings_nothing_in(ledger: Ledger) -> None:
    reader = Actor(id="owner", scopes={Permission.READ})

    with pytest.raises(ForbiddenError):
        begin_import(ledger, reader, "x.csv", TABLE, TableAsked())
    with pytest.raises(ForbiddenError):
        imports_of(ledger, reader)


def test_a_kept_row_that_was_tampered_with_is_passed_over(ledger: Ledger) -> None:
    assert ledger.care is not None
    row = CareRow(id="import/x", made=ledger.clock.now(), said={"name": 5})
    ledger.care.write(lambda writer: writer.put(Drawer.CARE, row))

    assert imports_of(ledger, OWNER) == ()
    with pytest.raises(NotFoundError):
        look_at_import(ledger, OWNER, "x")


def test_rows_of_two_sheets_of_one_file_are_told_apart(ledger: Ledger) -> None:
    book = openpyxl.Workbook()
    for name in ("Here", "There"):
        sheet = book.create_sheet(name)
        sheet.append(["Title", "No"])
        sheet.append([f"Amber {name}", 14])
    file = io.BytesIO()
    book.save(file)
    for name in ("Here", "There"):
        made = begin_import(ledger, OWNER, "two.xlsx", file.getvalue(), TableAsked(sheet=name))
        check_import(ledger, OWNER, made.id, nobody)
        bring_in(ledger, OWNER, made.id, nobody)

    assert len(books(ledger)) == 2


def test_a_row_that_was_right_and_is_written_anew_is_tried_anew(ledger: Ledger) -> None:
    made = begun(ledger, b"Title,No\nA B,1\nC D,2\n")

    changed = mend_rows(ledger, OWNER, made.id, {2: {"number": ""}})

    assert changed.found is None
    found = check_import(ledger, OWNER, made.id, nobody).found
    assert found is not None
    assert found.wrong == (2,)


def test_more_problems_and_doubles_than_are_listed_keep_it_from_being_brought_in(
    ledger: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(trying, "LISTED_MOST", 1)
    purchases = [a_purchase("1998", issue=an_issue(title="A B", number=str(number))) for number in (1, 2)]
    for purchase in purchases:
        record(ledger, OWNER, [Draft(event=purchase, new_book=True)])
    made = begun(ledger, b"Title,No,Bought,Cond\nA B,1,1998,\nA B,2,1998,\nC D,1,,odd\nC D,2,,odd\n")

    made = mend_rows(ledger, OWNER, made.id, {}, left={4})
    assert "try every row again" in (hindrance(made) or "")
    made = check_import(ledger, OWNER, made.id, nobody)
    made = mend_rows(ledger, OWNER, made.id, {}, left={5})
    made = decide_doubles(ledger, OWNER, made.id, real={2})
    assert "more" in (hindrance(made) or "").lower()
    made = check_import(ledger, OWNER, made.id, nobody)
    assert made.found is not None
    assert [each.row for each in made.found.doubles] == [3]
    assert hindrance(decide_doubles(ledger, OWNER, made.id, real={3})) is None
    bring_in(ledger, OWNER, made.id, nobody)

    assert len(books(ledger)) == 4


def test_of_two_columns_of_one_name_that_of_the_first_is_remembered(ledger: Ledger) -> None:
    first = begun(ledger, b"Title,No,,Title,No\nA B,1,,C D,7\n")
    bring_in(ledger, OWNER, first.id, nobody)

    again = begin_import(ledger, OWNER, first.name, b"Title,No,,Title,No\nA B,2,,C D,8\n", TableAsked())

    assert again.columns.fields == ("title", "number", None, None, None)
