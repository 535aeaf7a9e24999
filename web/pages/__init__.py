"""The pages: each file has the routes of one page and the frozen dataclass that its template reads.

A file that is in none of the lists is not served.
"""

from collections.abc import Sequence
from typing import Final

from fastapi import APIRouter

from web.pages import (
    arriving,
    batches,
    bench,
    board,
    book,
    check,
    collection,
    compare,
    condition,
    daybook,
    disclose,
    entry,
    feed,
    forecasts,
    hand_over,
    handed,
    hang,
    hanging_plan,
    heirs,
    home,
    insurance,
    join,
    keys,
    look,
    lot,
    marks,
    money,
    new_entry,
    new_key,
    original,
    outlook,
    password,
    phones,
    pictures,
    prospect,
    prospects,
    purchase,
    readings,
    receive,
    recipe,
    recipe_form,
    report,
    room_list,
    rooms,
    rules,
    settings,
    sign_in,
    signing_key,
    stamps,
    tags,
    tokens,
    tools,
    upkeep,
    value,
    value_sale,
    wall,
    worth,
)

__all__ = ["AT_THE_BENCH", "AT_THE_COMPUTER", "OPEN", "ROUTERS"]

OPEN: Final[Sequence[APIRouter]] = (sign_in.router, join.router, keys.router, feed.open_router, handed.router)
"""What answers anybody: nothing of the collection is in it but to who has a secret address."""

AT_THE_BENCH: Final[Sequence[APIRouter]] = (
    home.router,
    collection.router,
    forecasts.router,
    wall.router,
    hanging_plan.router,
    bench.router,
    board.router,
    tools.router,
    recipe_form.router,
    recipe.router,
    pictures.router,
    arriving.router,
    daybook.router,
    rules.router,
    book.router,
    condition.router,
    outlook.router,
    look.router,
    marks.router,
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
    stamps.router,
    upkeep.router,
    heirs.router,
    original.router,
    disclose.router,
    receive.router,
    hand_over.router,
    purchase.router,
    lot.router,
    value.router,
    value_sale.router,
    worth.router,
    money.router,
    insurance.router,
    batches.router,
    prospects.router,
    prospect.router,
    hang.router,
    room_list.router,
    rooms.router,
    settings.router,
    password.router,
    phones.router,
    tools.keeping,
    tokens.router,
    feed.router,
    signing_key.router,
    new_key.router,
)
"""What a paired phone is turned away from."""

ROUTERS: Final[Sequence[APIRouter]] = (*AT_THE_BENCH, *AT_THE_COMPUTER)
"""What answers only somebody who is signed in, whether its routes ask for that or not."""
