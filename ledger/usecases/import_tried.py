"""Rows of a table on its way in, read and tried as the books they would become."""

from collections.abc import Callable, Collection, Iterable, Iterator

from ledger.importing.begun import Begun
from ledger.importing.identity import short
from ledger.importing.reading import RowReader
from ledger.importing.tables import Row
from ledger.importing.trying import Tried, tried_rows
from ledger.ports import Ledger
from ledger.usecases.import_kept import tables_of
from ledger.usecases.new_books import misfits
from ledger.when import When

__all__ = ["issues_of", "read_again", "reader_for", "tried", "tried_again"]


def reader_for(ledger: Ledger, begun: Begun) -> RowReader:
    """What reads its rows."""
    return RowReader(begun.columns.fields, begun.options.ways(ledger.clock.now()), begun.columns.heads)


def tried(ledger: Ledger, begun: Begun) -> Iterator[Tried]:
    """Every row that is not left out."""
    return _tried(ledger, begun, tables_of(ledger).rows(begun.id))


def read_again(ledger: Ledger, begun: Begun) -> Iterator[Tried]:
    """As `tried`, for somebody who writes them: what stands against each as a new book is seen by the writing itself."""
    reader = reader_for(ledger, begun)
    rows = tables_of(ledger).rows(begun.id)
    return tried_rows(begun, rows, When.of_day(reader.ways.day), reader, lambda _: ())


def tried_again(ledger: Ledger, begun: Begun, numbers: Collection[int]) -> list[Tried]:
    """The rows of these numbers."""
    picked = tables_of(ledger).picked(begun.id, numbers)
    return list(_tried(ledger, begun, sorted(picked.items())))


def issues_of(ledger: Ledger, begun: Begun, told: Callable[[int], None]) -> set[bytes]:
    """Short digests of the issues that its rows speak of; `told` hears of every row."""
    reader = reader_for(ledger, begun)
    found: set[bytes] = set()
    for number, cells in tables_of(ledger).rows(begun.id):
        told(number)
        row = reader.read(number, cells, begun.mends.get(number))
        found.update(short(row.read.get("title"), each) for each in row.books or (row.read.get("number"),))
    return found


def _tried(ledger: Ledger, begun: Begun, rows: Iterable[Row]) -> Iterator[Tried]:
    reader, codec = reader_for(ledger, begun), ledger.codec
    today = When.of_day(reader.ways.day)
    return tried_rows(begun, rows, today, reader, lambda events: misfits(events, codec))
