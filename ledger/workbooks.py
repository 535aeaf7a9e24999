"""What the tables that are taken out need of a library: a workbook of sheets, written a row at a time."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import BinaryIO, Final, Protocol

__all__ = ["CELL_MOST", "Cell", "Workbooks"]

Cell = str | int | Decimal | None
"""Text stays text and a number a number; None is an empty cell."""

CELL_MOST: Final = 32_767
"""Characters of a cell. Source: Microsoft, "Excel specifications and limits", total number of characters in a cell."""


class Workbooks(Protocol):
    """Writes one sheet of these rows as XLSX; text is never a formula there.

    Raises: ConflictError for a text that no cell holds, or more rows than a sheet has.
    """

    def write(self, file: BinaryIO, name: str, rows: Iterable[Sequence[Cell]], made: datetime) -> None: ...
