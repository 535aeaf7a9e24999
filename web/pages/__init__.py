"""The pages: each file has the routes of one page and the frozen dataclass that its template reads.

A file that is in none of the lists is not served.
"""

from collections.abc import Sequence
from typing import Final

from fastapi import APIRouter

from web.pages import (
    arriving,
    bench,
    book,
    check,
    collection,
    compare,
    condition,
    daybook,
    entry,
    feed,
    home,
    join,
    keys,
    new_entry,
    new_key,
    original,
    password,
    phones,
    pictures,
    purchase,
    readings,
    report,
    rules,
    settings,
    sign_in,
    signing_key,
    tags,
    tokens,
    upkeep,
    wall,
)

__all__ = ["AT_THE_BENCH", "AT_THE_COMPUTER", "OPEN", "ROUTERS"]

OPEN: Final[Sequence[APIRouter]] = (sign_in.router, join.router, keys.router, feed.open_router)
"""What answers anybody: nothing of the collection is in it."""

AT_THE_BENCH: Final[Sequence[APIRouter]] = (
    home.router,
    collection.router,
    wall.router,
    bench.router,
    pictures.router,
    arriving.router,
    daybook.router,
    rules.router,
    book.router,
    condition.router,
    report.router,
    compare.router,
    entry.router,
    new_entry.router,
    readings.router,
    tags.router,
)
"""What answers a paired phone too; what it may write there the ledger itself says, see `ledger/actor.py`."""

AT_THE_COMPUTER: Final[Sequence[APIRouter]] = (
    check.router,
    upkeep.router,
    original.router,
    purchase.router,
    settings.router,
    password.router,
    phones.router,
    tokens.router,
    feed.router,
    signing_key.router,
    new_key.router,
)
"""What a paired phone is turned away from."""

ROUTERS: Final[Sequence[APIRouter]] = (*AT_THE_BENCH, *AT_THE_COMPUTER)
"""What answers only somebody who is signed in, whether its routes ask for that or not."""
