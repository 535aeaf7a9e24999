"""A book as Linked Art: read in one moment, its sealed values told only where the owner wishes it."""

import json
from typing import Final

from ledger.actor import Actor, Permission
from ledger.linked.book import linked_book
from ledger.ports import Ledger
from ledger.usecases.look import look_at

__all__ = ["JSON_LD", "linked_art"]

JSON_LD: Final = "application/ld+json"
"""Source: JSON-LD 1.1, W3C Recommendation, section C."""


def linked_art(ledger: Ledger, actor: Actor, book: str, *, sealed: bool = False) -> bytes:
    """The document, in UTF-8. With `sealed` names, amounts and words that are sealed and were not erased are in it.

    Raises: NotFoundError; ForbiddenError for a wish that only somebody who may record has.
    """
    actor.require(Permission.READ)
    if sealed:
        actor.require(Permission.RECORD)
    seen = look_at(ledger, actor, book)
    told = linked_book(ledger.collection, seen.moments, seen.states, sealed=sealed)
    return json.dumps(told, ensure_ascii=False, indent=1).encode()
