"""Goes through the entries as they lie in the store, right or wrong, a batch at a time."""

from collections.abc import Iterator, Sequence
from typing import Final

from ledger.damage import broken_tree
from ledger.entry import Entry
from ledger.errors import DamagedError, LedgerError, NotFoundError
from ledger.events.erasure import Erasure
from ledger.ports import Reader, StoredEntry
from ledger.proof.merkle import HASH_BYTES, NodeReader

BATCH: Final = 500
"""Numbers looked at in one read: memory stays flat however long the ledger is."""
LAST: Final = 2**53
"""No entry has a greater number."""


def size_said(reader: Reader) -> int | None:
    """How many entries the head says there are; None when the head is gone."""
    try:
        return reader.head().size
    except (NotFoundError, DamagedError):
        return None


def size_of(reader: Reader) -> int:
    """How many entries there are.

    Raises: DamagedError where the head and the last entry do not agree on it.
    """
    size = reader.head().size
    last = [row.seq for row in reader.stored(max(size, 1), 2)]
    if last != ([size] if size else []):
        raise DamagedError(what="The head", problem=f"it says that there are {size} entries, and that is not so")
    return size


def batches(reader: Reader) -> Iterator[tuple[int, list[StoredEntry]]]:
    """The stored entries of each run of BATCH numbers, with the first of these numbers; a gap does not end it.

    Keeps: it takes no longer for a gap of any width, and asks no head how far it has to go.
    """
    first: int | None = 1
    while first is not None:
        rows = reader.stored(first, BATCH)
        if rows:
            yield first, rows
        first = first + BATCH if rows else _next_after(reader, first + BATCH)


def _next_after(reader: Reader, first: int) -> int | None:
    """The number of the first entry stored from there on: looked for in runs that grow twice as wide each time."""
    width = BATCH
    while first <= LAST:
        rows = reader.stored(first, width)
        if rows:
            return rows[0].seq
        first, width = first + width, width * 2
    return None


def all_entries(reader: Reader) -> Iterator[StoredEntry]:
    """Every stored entry in the order of its number."""
    for _, rows in batches(reader):
        yield from rows


def readable(reader: Reader, kind: str) -> Iterator[Entry]:
    """Entries of one kind that can still be read; a walk over the bytes names the others."""
    for seq in reader.numbers_of(kind):
        try:
            yield reader.entry(seq)
        except LedgerError:
            continue


def erased(reader: Reader) -> set[tuple[int, str]]:
    """Every sealed field that an erasure took out for good: its entry, and its name."""
    events = (entry.event for entry in readable(reader, Erasure.kind))
    return {(place.entry, place.name) for event in events if isinstance(event, Erasure) for place in event.erased}


def nodes_of(reader: Reader, tree: str) -> NodeReader:
    """Nodes of a tree to build a proof on.

    Raises: DamagedError, when read, where one is missing or is none.
    """

    def read(which: Sequence[tuple[int, int]]) -> Sequence[bytes]:
        found = reader.nodes(tree, which)
        if any(len(each) != HASH_BYTES for each in found):
            raise broken_tree(tree)
        return found

    return read
