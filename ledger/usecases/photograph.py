"""Adds a photograph: the file is safe before the entry that names it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.events.photograph import Photograph
from ledger.ports import KeptPicture, Ledger
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
    actor.require(Permission.BENCH)
    drafts = [Draft(event=_event(ledger.pictures.keep(shot.data), shot.said), book=book) for shot in shots]
    return record(ledger, actor, drafts, request)


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One of the books that a group picture shows, and what is said of it there, `region` among it."""

    book: str
    said: Mapping[str, Any]


def photograph_group(
    ledger: Ledger, actor: Actor, data: bytes, shown: Sequence[Shown], request: Request | None = None
) -> Recorded:
    """One picture of several books as one act: an entry for each book, which says where in the picture it is.

    Keeps: a book that is one of several is never shown by the whole picture.
    Raises: what `photograph` raises; InvalidError for a book without its part.
    """
    actor.require(Permission.BENCH)
    without = tuple(
        Problem(field=f"events.{place}.region" if len(shown) > 1 else "region", sentence=NO_PART)
        for place, each in enumerate(shown)
        if each.said.get("region") is None
    )
    if without:
        raise InvalidError(problems=without)
    kept = ledger.pictures.keep(data)
    return record(ledger, actor, [Draft(event=_event(kept, each.said), book=each.book) for each in shown], request)


NO_PART = "Say which part of the picture shows this book: left, top, width and height in per cent."


def _event(kept: KeptPicture, said: Mapping[str, Any]) -> Photograph:
    return Photograph(original=kept.original, clean=kept.clean, width_px=kept.width, height_px=kept.height, **said)
