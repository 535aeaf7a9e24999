"""The daily checkpoint: signed by the program itself, so that what was written yesterday is fixed today."""

from datetime import timedelta
from typing import Final

from ledger.actor import Actor, Permission
from ledger.ports import Ledger, StoredCheckpoint
from ledger.usecases.checkpoint import sign_checkpoint

__all__ = ["EVERY", "sign_if_due"]

EVERY: Final = timedelta(days=1)
_BY: Final = Actor(id="daily", scopes=frozenset({Permission.SIGN}))


def sign_if_due(ledger: Ledger) -> StoredCheckpoint | None:
    """The checkpoint, where entries wait for one that were written since the last, and that is a day ago; else None.

    Raises: ConflictError, HeldError, StoreError.
    """
    with ledger.log.read() as reader:
        size, last = reader.head().size, reader.last_checkpoint()
        if size == (last.size if last is not None else 0):
            return None
        since = last.signed if last is not None else reader.entry(1).recorded
    if ledger.clock.now() - since < EVERY:
        return None
    return sign_checkpoint(ledger, _BY)
