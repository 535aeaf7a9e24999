"""Workbooks as XLSX, by the library openpyxl: a row at a time, text never a formula, numbers as they are."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from tempfile import TemporaryFile
from typing import Any, BinaryIO, Final

from ledger.errors import ConflictError
from ledger.spreadsheet_cells import cell, xml_text
from ledger.workbooks import CELL_MOST, Cell

__all__ = ["XlsxWorkbooks"]

ROWS_MOST: Final = 1_048_576
"""Of a sheet. Source: Microsoft, "Excel specifications and limits"."""
_TEXT: Final = "s"


class XlsxWorkbooks:
    """As `workbooks.Workbooks`."""

    def write(self, file: BinaryIO, name: str, rows: Iterable[Sequence[Cell]], made: datetime) -> None:
        """One sheet, its first row kept in sight."""
        from openpyxl import Workbook  # noqa: PLC0415 - a start loads what it needs

        book = Workbook(write_only=True)
        book.properties.creator = "Slipsheet"
        book.properties.created = book.properties.modified = made.replace(tzinfo=None)
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        try:
            for number, row in enumerate(rows, start=1):
                _need_room(number)
                sheet.append([_cell(sheet, value) for value in row])
        except BaseException:
            # Only saving takes the library's own passing file away, and everything is in it.
            with TemporaryFile() as nowhere:
                book.save(nowhere)
            raise
        book.save(file)


def _need_room(number: int) -> None:
    if number > ROWS_MOST:
        raise ConflictError(sentence=f"A sheet has {ROWS_MOST:,} rows, and there are more. Take it as CSV.")


def _cell(sheet: Any, value: Cell) -> Any:  # noqa: ANN401 - the library says nothing of its types
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415 - as above

    if not isinstance(value, str):
        return value
    text = xml_text(cell(value))
    if len(text) > CELL_MOST:
        problem = f"A text of {len(value):,} characters does not fit into a cell, which has {CELL_MOST:,}."
        raise ConflictError(sentence=f"{problem} Take the table as CSV.")
    made = WriteOnlyCell(sheet, value=text)
    # The library takes a text that begins with an equals sign for a formula, and some for an error.
    made.data_type = _TEXT
    return made
