"""Cells that are merged over several rows, read in every row that they cover.

What may be an amount in such a cell is marked, for nobody knows how much of it is of which row.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, pairwise

from ledger.adapters.table_xml import Merged
from ledger.importing.loose_amounts import may_be_amount
from ledger.importing.tables import COLUMNS_MOST, MERGED, Row

__all__ = ["spread"]


def spread(rows: Iterable[Row], merged: Sequence[Merged]) -> Iterator[Row]:
    """The same rows, with what is merged in each of them; `merged` in the order of first rows.

    Keeps: no row is added that has no cell of its own; what stands hidden under a merged cell is not read.
    """
    ahead = iter(merged)
    coming = next(ahead, None)
    held: dict[int, tuple[int, str]] = {}
    for (number, cells), after in pairwise(chain(rows, (None,))):  # type: ignore[misc]
        while coming is not None and coming[0] <= number:
            first, last, column = coming
            text = cells[column] if first == number and column < len(cells) else ""
            held.pop(column, None)
            # Rows that hold nothing else are none: what is merged over them alone is of this one.
            if text and after is not None and after[0] <= last and column < COLUMNS_MOST:
                held[column] = last, MERGED + text if may_be_amount(text) else text
            coming = next(ahead, None)
        for column, (last, text) in list(held.items()):
            if last < number:
                del held[column]
                continue
            cells.extend([""] * (column + 1 - len(cells)))
            cells[column] = text
        yield number, cells
