"""Looks through the collection: its list, its walls, and small copies of its photographs."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import NotFoundError
from ledger.events.photograph import Crop
from ledger.events.room import Room
from ledger.events.ruling import Ruling
from ledger.hanging import HOLDER, Reach, reach_of
from ledger.history import fold_collection, history
from ledger.ports import Ledger, Reader
from ledger.views import HungRow, Page, ShelfQuery, ShelfRow, Tallies

__all__ = [
    "HUNG_MOST",
    "NEAREST_MOST",
    "WIDTHS",
    "Shelf",
    "Walls",
    "clean_picture",
    "look_through",
    "look_up",
    "prospect_pictures",
    "small_picture",
]

WIDTHS: Final = (160, 480, 1200)
"""Of the small copies of a photograph. Units: px."""

NEAREST_MOST: Final = 5
"""Titles that are named where a search finds nothing."""

HUNG_MOST: Final = 400
"""Books that are drawn on walls; a house with more has them in the list."""


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """One page of the list, and the whole collection counted."""

    page: Page[ShelfRow]
    tallies: Tallies
    nearest: Sequence[str] = ()
    """Titles most like the words asked for, where they are found nowhere."""


@dataclass(frozen=True, kw_only=True)
class Walls:
    """What hangs, the rooms as they are now by their ids, and the whole collection counted."""

    hung: list[HungRow]
    rooms: dict[str, Room]
    tallies: Tallies
    reach: Reach
    """How far a holder reaches beyond its book here."""


def look_through(ledger: Ledger, actor: Actor, query: ShelfQuery) -> Shelf:
    """The rows that a query lets through.

    Raises: InvalidError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        page = reader.shelf(query)
        asked = query.text if not page.rows and not query.after else None
        nearest = reader.nearest_titles(asked, NEAREST_MOST) if asked else ()
        return Shelf(page=page, tallies=reader.tallies(), nearest=nearest)


def look_up(ledger: Ledger, actor: Actor) -> Walls:
    """What hangs on the walls."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        hung = reader.hung(HUNG_MOST)
        rooms, reach = _rooms(ledger, reader) if hung else ({}, reach_of())
        return Walls(hung=hung, rooms=rooms, tallies=reader.tallies(), reach=reach)


def small_picture(ledger: Ledger, actor: Actor, sha256: str, width: int, part: Crop | None = None) -> bytes:
    """A photograph's clean copy, or one part of it and nothing else, no wider than this; never the original.

    Requires: one of `WIDTHS`; a part that lies inside the picture.
    Raises: NotFoundError for a digest that is not that of a clean copy.
    """
    actor.require(Permission.READ)
    fits = width in WIDTHS and (part is None or part.lies_inside)
    if not fits or not _is_shown(ledger, sha256):
        raise NotFoundError(what="photograph", name=sha256)
    return ledger.pictures.small(sha256, width, part)


def clean_picture(ledger: Ledger, actor: Actor, sha256: str) -> bytes:
    """A photograph's clean copy as large as it is; never the original.

    Raises: NotFoundError for a digest that is not that of a clean copy.
    """
    actor.require(Permission.READ)
    if not _is_shown(ledger, sha256):
        raise NotFoundError(what="photograph", name=sha256)
    return ledger.pictures.read(sha256)


def prospect_pictures(ledger: Ledger) -> set[str]:
    """The digests of the clean copies that prospects name."""
    if ledger.market is None:
        return set()
    with ledger.market.read() as market:
        return {sha256 for each in market.prospects() for sha256 in each.pictures}


def _is_shown(ledger: Ledger, sha256: str) -> bool:
    """It is a clean copy that an entry or a prospect names."""
    with ledger.log.read() as reader:
        is_clean = reader.is_clean(sha256)
    return is_clean or sha256 in prospect_pictures(ledger)


def _rooms(ledger: Ledger, reader: Reader) -> tuple[dict[str, Room], Reach]:
    """Each room as its last entry in force states it; and the reach of a holder, as it was ruled last."""
    moments = history(reader.of_collection(), ledger.codec)
    events = {moment.entry.seq: moment.event for moment in moments}
    stated = fold_collection(reader.collection, moments)
    ruled = events.get(stated.rulings.get(HOLDER, 0))
    said = [(each.field, each.value) for each in ruled.values] if isinstance(ruled, Ruling) else []
    rooms = {room: event for room, seq in stated.rooms.items() if isinstance(event := events[seq], Room)}
    return rooms, reach_of(said)
