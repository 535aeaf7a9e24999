"""Rows of a table on its way in, read and tried as the books they would become."""

from collections.abc import Callable, Collection, Iterable, Iterator
from itertools import takewhile

from ledger.importing.begun import Begun
from ledger.importing.identity import short
from ledger.importing.reading import RowReader
from ledger.importing.tables import Row
from ledger.importing.trying import Tried, tried_rows
from ledger.importing.under_titles import under_titles
from ledger.ports import Ledger
from ledger.usecases.import_kept import tables_of
from ledger.usecases.new_books import misfits
from ledger.when import When

__all__ = ["issues_of", "picked_rows", "read_again", "reader_for", "tried", "tried_again"]


def reader_for(ledger: Ledger, begun: Begun) -> RowReader:
    """What reads its rows."""
    return RowReader(begun.columns.fields, begun.options.ways(ledger.clock.today()), begun.columns.heads)


def all_rows(ledger: Ledger, begun: Begun) -> Iterator[Row]:
    """Its rows as they are read: those without a title under the one above them, where that was said."""
    rows = tables_of(ledger).rows(begun.id)
    is_grouped = begun.options.untitled == "above" and "title" in begun.columns.fields
    return under_titles(begun.columns, rows) if is_grouped else rows


def picked_rows(ledger: Ledger, begun: Begun, numbers: Collection[int]) -> dict[int, list[str]]:
    """The rows of these numbers that are there, as `all_rows` has them."""
    if begun.options.untitled != "above":
        return tables_of(ledger).picked(begun.id, numbers)
    wanted, last = set(numbers), max(numbers, default=0)
    as_read = takewhile(lambda row: row[0] <= last, all_rows(ledger, begun))
    return {number: cells for number, cells in as_read if number in wanted}


def tried(ledger: Ledger, begun: Begun) -> Iterator[Tried]:
    """Every row that is not left out."""
    return _tried(ledger, begun, all_rows(ledger, begun))


def read_again(ledger: Ledger, begun: Begun) -> Iterator[Tried]:
    """As `tried`, for somebody who writes them: what stands against each as a new book is seen by the writing itself."""
    reader = reader_for(ledger, begun)
    return tried_rows(begun, all_rows(ledger, begun), When.of_day(reader.ways.day), reader, lambda _: ())


def tried_again(ledger: Ledger, begun: Begun, numbers: Collection[int]) -> list[Tried]:
    """The rows of these numbers."""
    picked = picked_rows(ledger, begun, numbers)
    return list(_tried(ledger, begun, sorted(picked.items())))


def issues_of(ledger: Ledger, begun: Begun, told: Callable[[int], None]) -> set[bytes]:
    """Short digests of the issues that its rows speak of; `told` hears of every row."""
    reader = reader_for(ledger, begun)
    found: set[bytes] = set()
    for number, cells in all_rows(ledger, begun):
        told(number)
        row = reader.read(number, cells, begun.mends.get(number))
        found.update(short(row.read.get("title"), each) for each in row.books or (row.read.get("number"),))
    return found


def _tried(ledger: Ledger, begun: Begun, rows: Iterable[Row]) -> Iterator[Tried]:
    reader, codec = reader_for(ledger, begun), ledger.codec
    today = When.of_day(reader.ways.day)
    return tried_rows(begun, rows, today, reader, lambda events: misfits(events, codec))
