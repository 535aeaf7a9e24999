"""What is told of books, kept as it was drawn until the book has another entry; nothing erased is ever found in it."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date
from threading import Lock
from typing import Final
from weakref import WeakKeyDictionary

from ledger.ports import Log
from web.book_told import BookTold

__all__ = ["BookKey", "KeptBooks", "ShownBook"]

MOST: Final = 24
"""Books kept at once of one ledger."""
FURTHEST: Final = 100
"""Entries that are looked at to see which books have grown; after more of them nothing is kept."""

Drawer = Callable[[BookTold], str]


@dataclass(frozen=True)
class BookKey:
    """All that the telling of a book depends on besides the entries."""

    book: str
    of: Hashable
    """Whom it is told to."""
    today: date


class ShownBook:
    """One book as it is told: drawn once, and from then on only the drawing is there."""

    def __init__(self, told: BookTold) -> None:
        self.title, self.number = told.heading.title, told.heading.number
        self._told: BookTold | None = told
        self._drawn, self._lock = "", Lock()

    def drawn(self, draw: Drawer) -> str:
        """It as markup."""
        with self._lock:
            if self._told is not None:
                self._drawn, self._told = draw(self._told), None
            return self._drawn


class _Kept:
    """What was told of a ledger of one size."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.of: OrderedDict[BookKey, ShownBook] = OrderedDict()


class KeptBooks:
    """Books told before.

    Keeps: with another entry of a book what was told of it is gone, with one of the collection itself all of it is. An
    erasure and what it erases are of one book, or both of the collection.
    """

    def __init__(self, most: int = MOST) -> None:
        self._most, self._lock = most, Lock()
        self._of: WeakKeyDictionary[Log, _Kept] = WeakKeyDictionary()

    def shown(self, log: Log, size: int, key: BookKey, make: Callable[[], ShownBook]) -> ShownBook:
        """The book as it was told before, or is told now, of a ledger that has at least so many entries."""
        with self._lock:
            kept = self._of.get(log) or _Kept(size)
            if kept.size < size:
                kept = _grown(kept, log, size)
            self._of[log] = kept
            found = kept.of.get(key)
        if found is not None:
            return found
        made = make()
        with self._lock:
            # What was made while the ledger grew may be of the state before, and is not kept.
            if self._of.get(log) is kept:
                kept.of[key] = made
                if len(kept.of) > self._most:
                    kept.of.popitem(last=False)
        return made

    def forget(self) -> None:
        """Nothing is kept any more."""
        with self._lock:
            self._of.clear()


def _grown(kept: _Kept, log: Log, size: int) -> _Kept:
    """What still holds in a ledger of that size."""
    grown, more = _Kept(size), size - kept.size
    if kept.of and more <= FURTHEST:
        with log.read() as reader:
            spoken_of = {each.book for each in reader.stored(kept.size + 1, more)}
        if None not in spoken_of:
            grown.of.update((key, shown) for key, shown in kept.of.items() if key.book not in spoken_of)
    return grown
