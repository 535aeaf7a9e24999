"""Printed catalogues: which books of the collection one has and what it shows of them, and how far it is."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from ledger.makings import Making, Makings
from ledger.views import ShelfQuery, ShelfRow

__all__ = ["Catalogue", "Catalogues", "Printed", "Printing", "Wish"]


@dataclass(frozen=True, kw_only=True)
class Wish:
    """Which books, and whether it is printed where each is; in which order they are asked for does not matter."""

    query: ShelfQuery
    places: bool


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """What is printed; `covers` are JPEG files by the digest of the clean copy, where that is at hand."""

    rows: tuple[ShelfRow, ...]
    covers: Mapping[str, bytes]
    size: int
    """Entries of the ledger as it was read."""
    recorded: datetime
    """When the last of them was written: the moment of the sheet, for nothing later is in it."""


@dataclass(frozen=True, kw_only=True)
class Printed:
    """What a catalogue came to."""

    size: int
    """Bytes of the PDF."""
    books: int
    entries: int
    """Entries of the ledger as it was read."""


@dataclass(frozen=True, kw_only=True)
class Printing(Making[Printed]):
    """One catalogue, counted by its books as their covers come to hand."""

    chosen: tuple[str, ...]
    """What was chosen, in words."""
    places: bool
    """It says where each book is."""


Catalogues = Makings[Printing, Printed]
