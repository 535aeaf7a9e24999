"""What this collector's work and books came to so far: read from every book that was worked on or graded."""

from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Final
from weakref import WeakKeyDictionary

from ledger.errors import DamagedError
from ledger.graded import Graded, graded_of
from ledger.history import history
from ledger.learned import Came, came_of
from ledger.ports import Ledger, Log, Reader
from ledger.precedents import Case, cases_of
from ledger.rules.ceilings import Ceiling
from ledger.views import PAGE_MOST, EntryQuery

__all__ = ["OfBook", "OwnResults", "own_results"]

KINDS: Final = ("intervention", "slab")
"""Kinds without which a book has no result of either sort."""


@dataclass(frozen=True, kw_only=True)
class OfBook:
    """The results of one book."""

    came: tuple[Came, ...]
    graded: tuple[Graded, ...]
    cases: tuple[Case, ...]
    """The grades with what lay on the book before and after the work that led to them."""


@dataclass(frozen=True, kw_only=True)
class OwnResults:
    """All of them, by book, in the order in which the first of each was recorded."""

    of: Mapping[str, OfBook]
    damaged: tuple[str, ...] = ()
    """Books whose entries cannot be read; a verification says what is wrong with them."""

    @property
    def came(self) -> tuple[Came, ...]:
        """Every defect that a round of work reached, of all books."""
        return tuple(each for book in self.of.values() for each in book.came)

    @property
    def graded(self) -> tuple[Graded, ...]:
        """Every grade given, of all books, in the order in which they were recorded."""
        return tuple(sorted((each for book in self.of.values() for each in book.graded), key=lambda each: each.seq))

    @property
    def cases(self) -> tuple[Case, ...]:
        """Every grade given, of all books, with what lay on the book before and after the work."""
        return tuple(each for book in self.of.values() for each in book.cases)


@dataclass(frozen=True)
class _Kept:
    """What was read of one book, and of which state of it and of the table."""

    leaf: str
    rows: tuple[Ceiling, ...]
    found: OfBook


class _Memory:
    """Results read before, of ledgers that are still open.

    Keeps: a book that has another entry since is read anew, an erasure among them.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._of: WeakKeyDictionary[Log, dict[str, _Kept]] = WeakKeyDictionary()

    def find(self, log: Log, book: str) -> _Kept | None:
        with self._lock:
            return self._of.get(log, {}).get(book)

    def keep(self, log: Log, kept: Mapping[str, _Kept]) -> None:
        with self._lock:
            self._of[log] = dict(kept)


_MEMORY: Final = _Memory()


def own_results(ledger: Ledger, reader: Reader, rows: tuple[Ceiling, ...]) -> OwnResults:
    """The results of every book with work or an outcome of a submission; `rows` are the ceilings that count.

    Keeps: all of it is of the moment of the reader. A book that is damaged is named, and the others count.
    """
    kept: dict[str, _Kept] = {}
    damaged = []
    for book in _books(reader):
        try:
            kept[book] = _one(ledger, reader, book, rows)
        except DamagedError:
            damaged.append(book)
    _MEMORY.keep(ledger.log, kept)
    return OwnResults(of={book: each.found for book, each in kept.items()}, damaged=tuple(damaged))


def _one(ledger: Ledger, reader: Reader, book: str, rows: tuple[Ceiling, ...]) -> _Kept:
    leaf, before = reader.book_head(book).leaf, _MEMORY.find(ledger.log, book)
    if before is not None and before.leaf == leaf and before.rows == rows:
        return before
    moments = history(reader.of_book(book), ledger.codec)
    graded = graded_of(book, moments, rows)
    return _Kept(leaf, rows, OfBook(came=came_of(moments), graded=graded, cases=cases_of(moments, graded)))


def _books(reader: Reader) -> list[str]:
    found: dict[str, None] = {}
    after = "0"
    while after:
        page = reader.daybook(EntryQuery(kinds=KINDS, after=int(after), limit=PAGE_MOST))
        found |= dict.fromkeys(each.book for each in page.rows if each.book is not None)
        after = page.after or ""
    return list(found)
