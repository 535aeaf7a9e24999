"""Every kind of store keeps the whole contract of a log."""

from tests.conftest import store
from tests.store.contract import WritingContract
from tests.store.cost_contract import CostsContract
from tests.store.reading_contract import BesideContract, ReadingContract, SealedContract

__all__ = ["store"]
"""The log in each kind of store; the other tests of this folder have a store with two collections."""


class TestWriting(WritingContract):
    """Works and entries."""


class TestReading(ReadingContract):
    """Reads."""


class TestSealed(SealedContract):
    """Sealed values."""


class TestBeside(BesideContract):
    """Receipts, checkpoints, tokens."""


class TestCosts(CostsContract):
    """Costs, added up."""
