"""What is kept of a book's surroundings beside the ledger: how each is cared for, plans of rotation, climate logs.

Their rows are plain JSON under an id; what is in them is told by the files that read and write each kind.
"""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Protocol, TypeVar

__all__ = ["CareReader", "CareRow", "CareStore", "CareWriter", "Drawer"]

T = TypeVar("T")


class Drawer(StrEnum):
    """Where a row lies."""

    CARE = "care"
    """One row a book, under its id: what the collector holds of it otherwise than the tables do, and what is due.

    A barcode has a row too, under an id that begins with `barcode/`: which issue it was seen on."""
    ROTATION = "rotation"
    """Plans of who hangs when."""
    CLIMATE = "climate"
    """One row a channel of a logger's file: where it lay, and what is in it."""
    CLIMATE_PART = "climate_part"
    """Readings of one channel, one row a month, under the channel's id, a stroke, and the month."""


@dataclass(frozen=True, kw_only=True)
class CareRow:
    """One row: its id, when it was kept, and what it says."""

    id: str
    made: datetime
    said: Mapping[str, Any]


class CareReader(Protocol):
    """What is kept at this moment, in the order it was made; a row that was harmed says nothing."""

    def rows(self, drawer: Drawer, prefix: str = "") -> list[CareRow]:
        """All whose id begins so."""
        ...

    def row(self, drawer: Drawer, own: str) -> CareRow | None: ...


class CareWriter(CareReader, Protocol):
    """All of it is kept or none; a row takes the place of one of the same id."""

    def put(self, drawer: Drawer, row: CareRow) -> None: ...
    def take(self, drawer: Drawer, own: str) -> None: ...


class CareStore(Protocol):
    """Where it is kept."""

    def read(self) -> AbstractContextManager[CareReader]: ...
    def write(self, work: Callable[[CareWriter], T]) -> T: ...
