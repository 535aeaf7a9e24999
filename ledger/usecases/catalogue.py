"""A catalogue of the collection, or of a part of it: its rows in the order of titles, and a small copy of each cover."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, MalformedError, NotFoundError, StoreError
from ledger.ports import Ledger
from ledger.usecases.browse import WIDTHS, small_picture
from ledger.views import PAGE_MOST, ShelfQuery, ShelfRow

__all__ = ["BOOKS_MOST", "Catalogue", "catalogue"]

BOOKS_MOST: Final = 5_000
"""Books of one catalogue: five hundred take some three seconds and thirty megabytes, as measured. Our limit."""
WIDTH: Final = WIDTHS[1]
"""How wide a cover is put on the sheet; there it is 26 mm, so that it has some 470 dots an inch. Units: px."""


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """What is printed; `covers` are JPEG files by the digest of the clean copy, where that is at hand."""

    rows: tuple[ShelfRow, ...]
    covers: Mapping[str, bytes]
    size: int
    """Entries of the ledger as it was read."""
    recorded: datetime
    """When the last of them was written: the moment of the sheet, for nothing later is in it."""


def catalogue(ledger: Ledger, actor: Actor, query: ShelfQuery, progress: Callable[[int, int], None]) -> Catalogue:
    """The books that a query finds, in the order of titles; `progress` is told after each cover.

    Raises: InvalidError for a search or filter that there is not; ConflictError where too many books are found.
    """
    actor.require(Permission.READ)
    rows: list[ShelfRow] = []
    with ledger.log.read() as reader:
        asked: ShelfQuery | None = replace(query, sort="title", descending=False, after=None, limit=PAGE_MOST)
        while asked is not None:
            page = reader.shelf(asked)
            rows += page.rows
            asked = replace(asked, after=page.after) if page.after is not None else None
            if len(rows) > BOOKS_MOST:
                raise ConflictError(
                    sentence=f"A catalogue has up to {BOOKS_MOST:,} books. Choose fewer, series by series."
                )
        size = reader.head().size
        recorded = reader.entry(size).recorded
    covers: dict[str, bytes] = {}
    for done, row in enumerate(rows, start=1):
        if row.cover is not None and row.cover not in covers:
            # Where it is not at hand its place is an outline; whether it should be there is the check's to say.
            with suppress(NotFoundError, StoreError, MalformedError):
                covers[row.cover] = small_picture(ledger, actor, row.cover, WIDTH)
        progress(done, len(rows))
    return Catalogue(rows=tuple(rows), covers=covers, size=size, recorded=recorded)
