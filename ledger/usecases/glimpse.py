"""A photograph that is held against what is known for one look: held on the way in for a day at most, kept only if chosen.

Nobody but the session that brought it sees it, no backup has it, and no entry names it.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.actor import Actor, Permission
from ledger.arriving import PIECE_MOST, Glimpse
from ledger.errors import NotFoundError
from ledger.ports import Ledger
from ledger.usecases.arrive import add_piece, begin_arrival, how_far
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Recorded, Request

__all__ = ["Kept", "bring", "glimpse", "keep_it", "take_away"]


def bring(ledger: Ledger, actor: Actor, session: bytes, data: bytes) -> str:
    """The id under which the photograph is held; the same file again is held once.

    Raises: MalformedError for a file that is no picture; ConflictError where too much is on its way.
    """
    actor.require(Permission.BENCH)
    ledger.pictures.glimpse(data, 1)
    held = begin_arrival(ledger, actor, session, f"glimpse {hashlib.sha256(data).hexdigest()}", len(data))
    for start in range(held.held, len(data), PIECE_MOST):
        held = add_piece(ledger, actor, session, held.id, offset=start, data=data[start : start + PIECE_MOST])
    return held.id


def glimpse(ledger: Ledger, actor: Actor, session: bytes, name: str, width: int) -> Glimpse:
    """The photograph as it is shown.

    Units: width px.
    Raises: NotFoundError for one that was taken away, or is another session's.
    """
    return ledger.pictures.glimpse(_whole(ledger, actor, session, name), width)


@dataclass(frozen=True, kw_only=True)
class Kept:
    """What a photograph becomes when it is kept: of which book, what is said of it, and how the ledger is asked."""

    book: str
    said: Mapping[str, Any]
    request: Request


def keep_it(ledger: Ledger, actor: Actor, session: bytes, name: str, kept: Kept) -> Recorded:
    """It becomes a photograph of the book, and is no longer held.

    Raises: NotFoundError; what `photograph` raises, and then it is held still.
    """
    data = _whole(ledger, actor, session, name)
    recorded = photograph(ledger, actor, kept.book, [Shot(data=data, said=kept.said)], kept.request)
    ledger.pictures.partials.drop(session, name)
    return recorded


def take_away(ledger: Ledger, actor: Actor, session: bytes, name: str) -> None:
    """Nothing of it is held any more.

    Raises: NotFoundError.
    """
    how_far(ledger, actor, session, name)
    ledger.pictures.partials.drop(session, name)


def _whole(ledger: Ledger, actor: Actor, session: bytes, name: str) -> bytes:
    """All of its bytes; a file that is still on its way is no photograph yet."""
    if not how_far(ledger, actor, session, name).is_whole:
        raise NotFoundError(what="photograph", name=name)
    return ledger.pictures.partials.read(session, name)
