"""A table on its way in: what may be taken at all, what is known of one that was taken, and where its rows wait."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Final, Protocol

from ledger.importing.runs import Runs
from ledger.proof.report import MalformedError

__all__ = [
    "BYTES_MOST",
    "CELL_MOST",
    "COLUMNS_MOST",
    "ENCODINGS",
    "KEPT_MOST",
    "LINE_MOST",
    "MARKS",
    "MERGED",
    "NOT_WORKED_OUT",
    "ROWS_MOST",
    "SHEETS_MOST",
    "Over",
    "Row",
    "TableAsked",
    "TableFacts",
    "Tables",
    "need_row",
    "refused",
]

BYTES_MOST: Final = 64 * 1024 * 1024
"""Bytes of a file. Our assumption: several times what a hundred thousand rows take."""
ROWS_MOST: Final = 200_000
COLUMNS_MOST: Final = 120
CELL_MOST: Final = 10_000
"""Characters of one cell."""
LINE_MOST: Final = 200_000
"""Characters of one line of text."""
SHEETS_MOST: Final = 200
KEPT_MOST: Final = 256 * 1024 * 1024
"""Characters of all cells together: one text can stand in many of them. Our assumption."""

ENCODINGS: Final = ("utf-8", "utf-16", "cp1252", "cp1250", "cp850", "mac-roman", "shift_jis")
"""Encodings that can be asked for; the first three are found out by themselves."""
MARKS: Final = {"tab": "\t", "semicolon": ";", "comma": ",", "bar": "|"}
"""What may set cells apart, by its name."""
NOT_WORKED_OUT: Final = "#FORMULA!"
"""Stands before the text of a formula that no program worked out, as spreadsheets mark what came to nothing. Ours."""
MERGED: Final = "#MERGED! "
"""Stands before what may be an amount, whose cell is merged over several rows, in each of them. Ours."""

Row = tuple[int, list[str]]
"""The number of a row in its file, as a spreadsheet counts it, and its cells."""


class Over(list[str]):
    """Cells of a row whose title stands over the row below, which has it too."""


@dataclass(frozen=True, kw_only=True)
class TableAsked:
    """How a file is to be read, where somebody says so; None is found out."""

    encoding: str | None = None
    mark: str | None = None
    sheet: str | None = None


@dataclass(frozen=True, kw_only=True)
class TableFacts:
    """What is known of a table that was taken."""

    sha256: str
    """Of the file as it was sent."""
    kind: str
    """text or XLSX."""
    encoding: str = ""
    mark: str = ""
    """By its name; empty for XLSX, as is the encoding."""
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    rows: int = 0
    """Rows that are not empty."""
    width: int = 0
    """Columns."""


class Tables(Protocol):
    """Rows of tables on their way in, each table under a name; they are no part of the ledger and no backup has them.

    Keeps: what cannot be read whole is refused, and nothing of it stays.
    Raises: MalformedError for what is no table or more than may be; NotFoundError for a name that is not there.
    """

    @property
    def runs(self) -> Runs: ...
    def keep(self, name: str, data: bytes, asked: TableAsked) -> TableFacts: ...
    def rows(self, name: str) -> Iterator[Row]: ...
    def picked(self, name: str, numbers: Collection[int]) -> dict[int, list[str]]: ...
    def here(self, name: str) -> bool: ...
    def drop(self, name: str) -> None: ...
    def drop_all(self) -> None: ...


def need_row(number: int, cells: list[str], count: int) -> None:
    """The row is not more than may be taken.

    Raises: MalformedError.
    """
    if count > ROWS_MOST:
        raise refused(f"it has more than {ROWS_MOST:,} rows", "Send it in parts.")
    if len(cells) > COLUMNS_MOST:
        raise refused(
            f"row {number} has {len(cells):,} columns and there may be {COLUMNS_MOST}",
            "Leave out columns that say nothing of a book.",
        )
    for at, cell in enumerate(cells, start=1):
        if len(cell) > CELL_MOST:
            raise refused(
                f"the cell in row {number}, column {at} has more than {CELL_MOST:,} characters", "Shorten it."
            )
        if "\x00" in cell:
            raise refused(f"row {number} holds a character that is none", "Save it again as UTF-8 or XLSX.")


def refused(problem: str, mend: str) -> MalformedError:
    """Why a file is not taken, and what would be."""
    return MalformedError(what="The file", problem=problem, mend=mend)
