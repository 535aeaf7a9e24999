"""The pages: each file has the routes of one page and the frozen dataclass that its template reads.

A file that is not in one of the two lists is not served.
"""

from collections.abc import Sequence
from typing import Final

from fastapi import APIRouter

from web.pages import (
    bench,
    book,
    check,
    collection,
    compare,
    condition,
    daybook,
    entry,
    home,
    keys,
    new_entry,
    new_key,
    password,
    pictures,
    purchase,
    readings,
    report,
    rules,
    settings,
    sign_in,
    signing_key,
    tokens,
    upkeep,
    wall,
)

__all__ = ["OPEN", "ROUTERS"]

OPEN: Final[Sequence[APIRouter]] = (sign_in.router, keys.router)
"""What answers anybody: nothing of the collection is in it."""

ROUTERS: Final[Sequence[APIRouter]] = (
    home.router,
    collection.router,
    wall.router,
    bench.router,
    pictures.router,
    check.router,
    upkeep.router,
    daybook.router,
    rules.router,
    book.router,
    condition.router,
    report.router,
    compare.router,
    entry.router,
    new_entry.router,
    purchase.router,
    readings.router,
    settings.router,
    password.router,
    tokens.router,
    signing_key.router,
    new_key.router,
)
"""What answers only somebody who is signed in, whether its routes ask for that or not."""
