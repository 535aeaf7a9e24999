"""A ledger whose key lies in a file, to change the key of."""

from collections.abc import Iterator
from contextlib import contextmanager

from ledger.bootstrap import OWNER, open_ledger
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase


@contextmanager
def a_ledger(settings: Settings) -> Iterator[Ledger]:
    """With one book, and a checkpoint over it."""
    with open_ledger(settings) as opened:
        record(opened, OWNER, [Draft(event=a_purchase(), new_book=True)])
        sign_checkpoint(opened, OWNER)
        yield opened
