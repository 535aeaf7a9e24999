"""Adds a photograph: the file is safe before the entry that names it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.actor import Actor, Permission
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.usecases.record import Draft, Recorded, Request, record


@dataclass(frozen=True, kw_only=True)
class Shot:
    """A picture file and what is said of it, in the fields of a photograph."""

    data: bytes
    said: Mapping[str, Any]


def photograph(ledger: Ledger, actor: Actor, book: str, shots: list[Shot], request: Request | None = None) -> Recorded:
    """The photographs of one book as one act; original and clean copy are kept byte for byte before it is written.

    Raises: what `record` raises, and MalformedError for a file that is no picture.
    """
    actor.require(Permission.RECORD)
    drafts = []
    for shot in shots:
        kept = ledger.pictures.keep(shot.data)
        event = Photograph(
            original=kept.original, clean=kept.clean, width_px=kept.width, height_px=kept.height, **shot.said
        )
        drafts.append(Draft(event=event, book=book))
    return record(ledger, actor, drafts, request)
