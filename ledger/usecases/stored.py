"""Goes through the entries as they lie in the store, right or wrong, a batch at a time."""

from collections.abc import Iterator, Sequence
from typing import Final

from ledger.entry import Entry
from ledger.errors import ConflictError, LedgerError, NotFoundError
from ledger.ports import Reader, StoredEntry
from ledger.proof.merkle import NodeReader

BATCH: Final = 500
"""Numbers looked at in one read: memory stays flat however long the ledger is."""
LAST: Final = 2**53
"""No entry has a greater number."""


def size_said(reader: Reader) -> int | None:
    """How many entries the head says there are; None when the head is gone."""
    try:
        return reader.head().size
    except NotFoundError:
        return None


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
    for row in all_entries(reader):
        if row.kind == kind:
            try:
                yield reader.entry(row.seq)
            except LedgerError:
                continue


def nodes_of(reader: Reader, tree: str) -> NodeReader:
    """Nodes of a tree to build a proof on.

    Raises: ConflictError, when read, where one is missing.
    """

    def read(which: Sequence[tuple[int, int]]) -> Sequence[bytes]:
        found = reader.nodes(tree, which)
        if not all(found):
            raise ConflictError(sentence=f"Nodes of the tree of {tree} are missing. Run verify, then rebuild.")
        return found

    return read
