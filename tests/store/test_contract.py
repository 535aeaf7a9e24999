"""Every kind of store keeps the whole contract of a log."""

from tests.store.contract import WritingContract
from tests.store.cost_contract import CostsContract
from tests.store.reading_contract import BesideContract, ReadingContract, SealedContract


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
