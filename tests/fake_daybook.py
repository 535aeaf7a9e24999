"""The day book of the log in memory: days are compared as days, and lines counted one by one."""

from collections.abc import Mapping, Sequence

from ledger.errors import LedgerError
from ledger.events import Event
from ledger.ports import Codec, StoredEntry
from ledger.proof.envelope import Envelope
from ledger.rows import Listing
from ledger.store.joined import joined
from ledger.views import DaybookRow, EntryQuery
from ledger.when import When

__all__ = ["is_within", "line"]


def is_within(query: EntryQuery, stored: StoredEntry) -> bool:
    """The entry falls within the days of the query."""
    day = stored.recorded.date()
    if query.recorded_from is not None and day < query.recorded_from:
        return False
    if query.recorded_to is not None and day > query.recorded_to:
        return False
    if query.happened_from is None and query.happened_to is None:
        return True
    on = Envelope.from_bytes(stored.data).on
    if on is None:
        return False
    happened = When.parse(on)
    if query.happened_from is not None and happened.latest_day < query.happened_from:
        return False
    return query.happened_to is None or happened.earliest_day <= query.happened_to


def line(
    stored: StoredEntry, entries: Sequence[StoredEntry], listings: Mapping[str, Listing], codec: Codec
) -> DaybookRow:
    """One entry with what stands beside it."""
    own = listings.get(stored.book) if stored.book else None
    return DaybookRow(
        seq=stored.seq,
        recorded=stored.recorded,
        leaf=stored.leaf,
        kind=stored.kind,
        book=stored.book,
        title=own.row.title if own else None,
        number=own.row.number if own else None,
        act=stored.act,
        together=sum(each.act == stored.act for each in entries),
        event=_told(stored, codec),
    )


def _told(stored: StoredEntry, codec: Codec) -> Event | None:
    try:
        return joined(stored, {}, codec).event
    except LedgerError:
        return None
