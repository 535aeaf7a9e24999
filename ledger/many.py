"""Many new books at once: what is written of some of them in one go, every book from its first entry on."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.book import Book
from ledger.kept import BookHead, Receipt, SealedValue, StoredEntry
from ledger.mended import Moment

__all__ = ["ManyBooks"]

Node = tuple[int, int, bytes]


@dataclass(frozen=True, kw_only=True)
class ManyBooks:
    """Some books that are new, each with all of its entries, and everything that proves and lists them.

    Keeps: entries follow one another and the last one there is; each book has one head, that of its last entry.
    """

    entries: Sequence[StoredEntry]
    sealed: Sequence[SealedValue]
    entry_nodes: Sequence[Node]
    head_nodes: Sequence[Node]
    heads: Sequence[BookHead]
    receipts: Sequence[Receipt]
    books: Sequence[tuple[Book, Sequence[Moment]]]
    """Each folded, with its moments in the order of happening."""
