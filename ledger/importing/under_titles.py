"""Titles that stand once for a group of rows: those below have the one above them, where it was said that it is so."""

from collections.abc import Iterable, Iterator
from typing import Final

from ledger.importing.columns import Columns
from ledger.importing.tables import Row
from ledger.importing.whole_row import is_of_sums, says_no_title

__all__ = ["under_titles"]

_TITLE: Final = "title"


def under_titles(columns: Columns, rows: Iterable[Row]) -> Iterator[Row]:
    """The rows, each with the title that it is read by.

    Keeps: a title that was written anew is of its own row alone; below it counts what stands in the file.
    Requires: every row from the first on, in order; a column of titles
    """
    at = columns.fields.index(_TITLE)
    above = ""
    for number, cells in rows:
        if number <= columns.head_at:
            yield number, cells
            continue
        said = cells[at].strip() if at < len(cells) else ""
        if not says_no_title(said):
            # What stands under a line of sums belongs to no group.
            above = "" if is_of_sums({_TITLE: said}) else said
        elif above:
            yield number, [*cells[:at], *[""] * (at - len(cells)), above, *cells[at + 1 :]]
            continue
        yield number, cells
