"""Tables on their way in, in memory: read and refused as the program reads them, kept in a dict."""

from collections.abc import Collection, Iterator

from ledger.adapters.tables_in import read_whole
from ledger.errors import NotFoundError
from ledger.importing.runs import Runs
from ledger.importing.tables import Row, TableAsked, TableFacts

__all__ = ["FakeTables"]


class FakeTables:
    """As `importing.tables.Tables`."""

    def __init__(self) -> None:
        self.runs = Runs()
        self._rows: dict[str, list[Row]] = {}

    def keep(self, name: str, data: bytes, asked: TableAsked) -> TableFacts:
        kept: list[Row] = []
        facts = read_whole(data, asked, lambda number, cells: kept.append((number, cells)))
        self._rows[name] = kept
        return facts

    def rows(self, name: str) -> Iterator[Row]:
        if name not in self._rows:
            raise NotFoundError(what="table on its way in", name=name)
        yield from self._rows[name]

    def picked(self, name: str, numbers: Collection[int]) -> dict[int, list[str]]:
        return {number: cells for number, cells in self.rows(name) if number in numbers}

    def here(self, name: str) -> bool:
        return name in self._rows

    def drop(self, name: str) -> None:
        self._rows.pop(name, None)

    def drop_all(self) -> None:
        self._rows.clear()
