"""One line of the ledger, read: its envelope's facts and the event it says."""

from dataclasses import dataclass
from datetime import datetime

from ledger.events._base import At, Event


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One line of the ledger; `event` is what it says, `leaf` the hash of its bytes in lower hex."""

    seq: int
    book: str | None
    book_no: int | None
    book_seq: int | None
    act: str
    actor: str
    recorded: datetime
    leaf: str
    event: Event

    @property
    def at(self) -> At:
        """Where its event stands."""
        return At(seq=self.seq, recorded=self.recorded, leaf=self.leaf)
