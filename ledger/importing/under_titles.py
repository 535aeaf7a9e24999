"""Titles that stand once for a group of rows: those below have the one above them, where it was said that it is so."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, pairwise
from typing import Final

from ledger.importing.columns import Columns
from ledger.importing.tables import Over, Row
from ledger.importing.whole_row import of_sums_at, says_no_title

__all__ = ["under_titles"]

_TITLE: Final = "title"
_BOTH: Final = "title_number"


def under_titles(columns: Columns, rows: Iterable[Row]) -> Iterator[Row]:
    """The rows, each with the title that it is read by, as `Over` where that stands over the next one.

    Keeps: a title that was written anew is of its own row alone; below it counts what stands in the file. A row that has
    its title in one cell with its number is read by that.
    Requires: every row from the first on, in order; a column of titles
    """
    at = columns.fields.index(_TITLE)
    both = columns.fields.index(_BOTH) if _BOTH in columns.fields else None
    above = ""
    for (number, cells), after in pairwise(chain(rows, (None,))):  # type: ignore[misc]
        said = _text(cells, at)
        if number <= columns.head_at or (said == columns.columns[at].head and columns.names_again(cells)):
            yield number, cells
            continue
        if not says_no_title(said):
            # What stands under a line of sums belongs to no group.
            above = "" if of_sums_at({_TITLE: said}) else said
            if above and after is not None and _has_it(above, after[1], at, columns):
                yield number, Over(cells)
                continue
        elif both is not None and _text(cells, both):
            above = ""
        elif above:
            yield number, [*cells[:at], *[""] * (at - len(cells)), above, *cells[at + 1 :]]
            continue
        yield number, cells


def _has_it(above: str, cells: Sequence[str], at: int, columns: Columns) -> bool:
    said = _text(cells, at)
    return says_no_title(said) or said == above or columns.names_again(cells)


def _text(cells: Sequence[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""
