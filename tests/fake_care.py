"""What surrounds the books, in memory; a work that fails keeps nothing."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from ledger.care import CareReader, CareRow, CareWriter, Drawer

__all__ = ["FakeCare"]

T = TypeVar("T")


class FakeCare:
    """As `care.CareStore`."""

    def __init__(self) -> None:
        self._rows: dict[tuple[Drawer, str], CareRow] = {}

    @contextmanager
    def read(self) -> Iterator[CareReader]:
        yield self

    def write(self, work: Callable[[CareWriter], T]) -> T:
        before = dict(self._rows)
        try:
            return work(self)
        except BaseException:
            self._rows = before
            raise

    def rows(self, drawer: Drawer, prefix: str = "") -> list[CareRow]:
        found = [row for (place, own), row in self._rows.items() if place is drawer and own.startswith(prefix)]
        return sorted(found, key=lambda each: (each.made, each.id))

    def row(self, drawer: Drawer, own: str) -> CareRow | None:
        return self._rows.get((drawer, own))

    def put(self, drawer: Drawer, row: CareRow) -> None:
        self._rows[drawer, row.id] = row

    def take(self, drawer: Drawer, own: str) -> None:
        self._rows.pop((drawer, own), None)
