"""Numbers of a workbook's cells have the currency and the digits that people see there."""

from pathlib import Path

import pytest

from ledger.adapters.tables_in import FileTables
from tests.adapters.test_tables_in import kept, sheet_of


@pytest.fixture
def tables(tmp_path: Path) -> FileTables:
    return FileTables(tmp_path / "bringing-in")


@pytest.mark.parametrize(
    ("code", "shown"),
    [
        ('"\u00a3"#,##0.00', "12.5 \u00a3"),
        ("[$\u00a3-809]#,##0.00;[Red]-[$\u00a3-809]#,##0.00", "12.5 \u00a3"),
        ('#,##0.00\\ "\u20ac"', "12.5 \u20ac"),
        ("[$\u20ac-2]\\ #,##0.00", "12.5 \u20ac"),
        ("[$CHF-807]\\ #,##0.00", "12.5 CHF"),
        ('_-"\u00a3"* #,##0.00_-;-"\u00a3"* #,##0.00_-;_-"\u00a3"* "-"??_-;_-@_-', "12.5 \u00a3"),
        ('"$"#,##0.00', "12.5 $"),
        ("$#,##0.00", "12.5 $"),
        ("#,##0.00 [$z\u0142-415]", "12.5 z\u0142"),
        ("#,##0.00", "12.5"),
        ('"about "0.00', "12.5"),
        ("[Red]0.00", "12.5"),
        ("General", "12.5"),
    ],
)
def test_an_amount_has_the_currency_that_its_cell_shows(tables: FileTables, code: str, shown: str) -> None:
    _, rows = kept(tables, sheet_of(["Title", "No", "Price"], ["A", 1, 12.5], formats={"C2": code}))

    assert rows[1][2] == shown


@pytest.mark.parametrize(
    ("number", "code", "shown"),
    [
        (12345678, "0000000000", "0012345678"),
        (14, '"#"0', "14"),
        (0.5, "# ?/?", "1/2"),
        (1.5, "# ?/?", "1 1/2"),
        (2, "# ?/?", "2"),
        (14.375, "#,##0.00", "14.38"),
        (12.5, '"\u00a3"0', "12.5 \u00a3"),
        (14.375, "General", "14.3750"),
        (9.4, "0.0", "9.4"),
        (-45.5, '"\u00a3"#,##0.00', "-45.5 \u00a3"),
    ],
)
def test_a_number_has_the_digits_that_its_cell_shows_and_no_cent_less(
    tables: FileTables, number: float, code: str, shown: str
) -> None:
    _, rows = kept(tables, sheet_of(["Title", "No", "Price"], ["A", 1, number], formats={"C2": code}))

    assert rows[1][2] == shown
