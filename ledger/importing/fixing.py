"""Rows with problems as a file to mend in a spreadsheet, and that file when it comes back."""

from collections.abc import Iterable, Sequence
from typing import Final

from ledger.importing.begun import Begun
from ledger.importing.fields import BY_NAME, named
from ledger.importing.reading import RowRead, plain
from ledger.importing.tables import Row, refused
from ledger.spreadsheet_cells import read_cell, written_sheet

__all__ = ["PROBLEM", "ROW", "fixed_rows", "sheet_to_fix"]

ROW: Final = "Row in the file"
PROBLEM: Final = "What is wrong"


def sheet_to_fix(begun: Begun, rows: Iterable[RowRead]) -> str:
    """The rows as CSV: their numbers, what is wrong with each, and every cell that is read, as it was written."""
    fields = list(dict.fromkeys(field for field in begun.columns.fields if field is not None))
    rows = list(rows)
    at = {each.field for row in rows for each in row.problems if each.field in BY_NAME}
    more = sorted((at | {name for each in begun.mends.values() for name in each}) - set(fields))
    names = [*fields, *more]
    lines = [[ROW, PROBLEM, *(BY_NAME[name].title for name in names)]]
    for row in rows:
        wrong = " ".join(
            f"{BY_NAME[each.field].title}: {each.sentence}" if each.field in BY_NAME else each.sentence
            for each in row.problems
        )
        lines.append([str(row.number), wrong, *(row.said.get(name, "") for name in names)])
    return written_sheet(lines)


def fixed_rows(rows: Iterable[Row], before: Iterable[RowRead]) -> dict[int, dict[str, str]]:
    """What was written anew, by row and field; a row that is not among those with problems is passed over.

    Raises: MalformedError, where the file has no line of names or no numbers of rows.
    """
    asked = {row.number: row for row in before}
    places: Sequence[str | None] | None = None
    at = 0
    found: dict[int, dict[str, str]] = {}
    for _, cells in rows:
        if places is None:
            if ROW in cells:
                at = cells.index(ROW)
                places = [None if cell in (ROW, PROBLEM) else named(cell) for cell in cells]
            continue
        number = cells[at] if at < len(cells) else ""
        row = asked.get(int(number)) if number.isdecimal() and len(number) <= len(str(10**9)) else None
        if row is None:
            continue
        padded = [*cells, *[""] * (len(places) - len(cells))]
        said = {name: plain(read_cell(cell)) for name, cell in zip(places, padded, strict=False) if name is not None}
        changed = {name: text for name, text in said.items() if text != row.said.get(name, "")}
        if changed:
            found[row.number] = changed
    if places is None:
        raise refused(
            f"no column of it is called {ROW}", "Mend the file that was given out here, and keep its first line."
        )
    return found
