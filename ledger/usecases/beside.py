"""What surrounds the books, for those who cannot do without: how each is cared for, plans, climate, wants, barcodes."""

from ledger.care import CareStore
from ledger.errors import ConflictError
from ledger.ports import Ledger

__all__ = ["care_store"]


def care_store(ledger: Ledger) -> CareStore:
    """Where it is kept.

    Raises: ConflictError for a ledger that is open for reading only.
    """
    if ledger.care is None:
        raise ConflictError(sentence="This ledger is open for reading only, and keeps nothing beside it.")
    return ledger.care
