"""The messy list is the same every time, and the program makes of it what its words say."""

from dataclasses import replace
from pathlib import Path

from ledger.adapters.tables_in import FileTables
from ledger.importing.begun import Options
from ledger.importing.columns import By
from ledger.importing.tables import TableAsked
from ledger.ports import Ledger
from ledger.usecases.imports import begin_import, check_import, choose_columns, problem_rows
from seeds.messy import MESSY_NAME, MESSY_ROWS, UNREADABLE, lay_messy, messy_table
from tests.store.writing import OWNER
from tests.usecases.brought_in import nobody


def test_it_is_the_same_every_time() -> None:
    assert messy_table() == messy_table()


def test_all_of_it_is_read_but_the_two_rows_that_nobody_can_read(ledger: Ledger, tmp_path: Path) -> None:
    ledger = replace(ledger, tables=FileTables(tmp_path / "coming"))
    begun = begin_import(ledger, OWNER, MESSY_NAME, messy_table(), TableAsked())

    assert (begun.facts.encoding, begun.facts.mark, begun.columns.head_at) == ("cp1252", "semicolon", 3)
    assert begun.columns.fields == (
        *("title_number", "grade", "on", "price", "currency"),
        *("place", "value", "seller", "note", None),
    )
    assert begun.columns.columns[0].by is By.CONTENT
    options = Options(order="dmy", marks="1.234,50", currency="EUR")
    choose_columns(ledger, OWNER, begun.id, begun.columns.fields, options, begun.source)
    found = check_import(ledger, OWNER, begun.id, nobody).found

    assert found is not None
    assert (found.rows, found.wrong, found.already, found.asks) == (MESSY_ROWS, tuple(UNREADABLE), 0, {})
    rows = problem_rows(ledger, OWNER, begun.id)
    assert [[each.field for each in row.problems] for row in rows] == [["grade"], ["price"]]


def test_days_in_doubt_are_asked_for(ledger: Ledger, tmp_path: Path) -> None:
    ledger = replace(ledger, tables=FileTables(tmp_path / "coming"))
    begun = begin_import(ledger, OWNER, MESSY_NAME, messy_table(), TableAsked())

    found = check_import(ledger, OWNER, begun.id, nobody).found

    assert found is not None
    assert "ask.order" in found.asks


def test_it_waits_in_the_demo(ledger: Ledger, tmp_path: Path) -> None:
    ledger = replace(ledger, tables=FileTables(tmp_path / "coming"))

    lay_messy(ledger, OWNER)

    assert len(list((tmp_path / "coming").glob("*.rows"))) == 1
