"""Short ways to write to a ledger and to look at what was written."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.errors import LedgerError
from ledger.events import Event
from ledger.ports import ENTRIES, HEADS, Ledger, LogHead
from ledger.usecases.record import Draft, Recorded, Request, record
from tests.builders import a_purchase

OWNER = Actor(id="owner")


@dataclass
class Teller:
    """One person who writes to one ledger."""

    ledger: Ledger

    def tell(self, *drafts: Draft, **asked: Any) -> Recorded:
        """One act; `asked` are fields of a request."""
        return record(self.ledger, OWNER, drafts, Request(**asked) if asked else None)

    def buy(self, book: str | None = None, **changes: Any) -> str:
        """The id of a new book."""
        bought = self.tell(Draft(event=a_purchase(**changes), new_book=True, id=book))
        return str(bought.entries[0].book)

    def add(self, book: str | None, event: Event) -> Entry:
        """One more entry of a book, or of the collection."""
        return self.tell(Draft(event=event, book=book)).entries[0]

    def refused(self, *drafts: Draft, error: type[LedgerError], **asked: Any) -> Any:
        """The error of an act that is not written, of which nothing was kept."""
        before = self.kept()
        with pytest.raises(error) as caught:
            self.tell(*drafts, **asked)
        assert type(caught.value) is error
        assert self.kept() == before
        return caught.value

    def nothing_written(self, work: Callable[[], object], error: type[LedgerError]) -> Any:
        """The error of a work that writes nothing."""
        before = self.kept()
        with pytest.raises(error) as caught:
            work()
        assert self.kept() == before
        return caught.value

    @property
    def head(self) -> LogHead:
        """How much was written."""
        with self.ledger.log.read() as reader:
            return reader.head()

    def kept(self) -> object:
        """All that an act writes, in a form that can be compared."""
        with self.ledger.log.read() as reader:
            sealed = reader.sealed_between(1, 1_000_000)
            trees = [reader.node_count(tree) for tree in (ENTRIES, HEADS)]
            heads, rows = reader.book_heads(), list(reader.listings())
            return reader.head(), reader.stored(1, 1_000_000), sealed, trees, heads, rows, reader.checkpoints()
