"""Which key signs: the one that the ledger names, wherever it was made here."""

from ledger.collection import Collection
from ledger.errors import LedgerError
from ledger.history import fold_collection, history
from ledger.ports import Ledger, Reader

__all__ = ["collection_state", "settle"]


def collection_state(ledger: Ledger, reader: Reader) -> Collection:
    """The collection itself: its keys, rooms and edited rules."""
    return fold_collection(ledger.collection, history(reader.of_collection(), ledger.codec))


def settle(ledger: Ledger) -> bool:
    """The key that the ledger names is the one at hand, or becomes it if it is kept beside; says whether it is now.

    So a new key takes over, also where a crash kept it from doing so.
    Keeps: it only ever goes forward. Where the key at hand is none that this ledger has ended, an older state was put
    back or the file is another ledger's, and somebody has to look; who confirms the restore, and starts a new key after
    that, has. A ledger that cannot be read is left to verify.
    """
    signer = ledger.signer
    try:
        with ledger.log.read() as reader:
            state = collection_state(ledger, reader)
    except LedgerError:
        return False
    if state.key is None:
        return False
    if signer.at_hand and signer.verifier.vkey == state.key.vkey:
        return True
    ended = {period.vkey for period in state.keys if period.ended_by is not None}
    looked_at = state.restores and state.restores[-1] < state.key.started_by
    if signer.at_hand and signer.verifier.vkey not in ended and not looked_at:
        return False
    return signer.use(state.key.vkey)
