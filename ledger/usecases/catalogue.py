"""A catalogue of the collection, or of a part of it: its rows in the order of titles, and a small copy of each cover."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from typing import Final

from ledger.actor import Actor, Permission
from ledger.catalogues import Catalogue
from ledger.errors import ConflictError, MalformedError, NotFoundError, StoreError
from ledger.ports import Ledger
from ledger.views import PAGE_MOST, ShelfQuery, ShelfRow

__all__ = ["BOOKS_MOST", "WIDTH", "catalogue"]

BOOKS_MOST: Final = 5_000
"""Books of one catalogue: the pages of five hundred are set in two seconds and take ten megabytes, as measured. Ours."""
WIDTH: Final = 240
"""How wide a cover is put on the sheet; there it is 26 mm, so that it has some 230 dots an inch. Units: px."""

AT_ONCE: Final = 4
"""Copies that are made at a time: the library leaves the others room while it decodes. Ours."""


def catalogue(ledger: Ledger, actor: Actor, query: ShelfQuery, progress: Callable[[int, int], None]) -> Catalogue:
    """The books that a query finds, in the order of titles; `progress` is told after each book's cover.

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
    covers = _covers(ledger, rows, progress)
    return Catalogue(rows=tuple(rows), covers=covers, size=size, recorded=recorded)


def _covers(ledger: Ledger, rows: Sequence[ShelfRow], progress: Callable[[int, int], None]) -> dict[str, bytes]:
    """A small copy of each cover that is at hand, several made at a time; a row names nothing but clean copies."""

    def small(digest: str) -> bytes | None:
        # Where it is not at hand its place is an outline; whether it should be there is the check's to say.
        with suppress(NotFoundError, StoreError, MalformedError):
            return ledger.pictures.small(digest, WIDTH)
        return None

    found: dict[str, bytes] = {}
    pool = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="covers of a catalogue")
    try:
        made = {digest: pool.submit(small, digest) for digest in dict.fromkeys(row.cover for row in rows) if digest}
        for done, row in enumerate(rows, start=1):
            cover = made[row.cover].result() if row.cover else None
            if row.cover and cover is not None:
                found[row.cover] = cover
            progress(done, len(rows))
    finally:
        # Where the work was told to end, what has not begun does not begin.
        pool.shutdown(cancel_futures=True)
    return found
