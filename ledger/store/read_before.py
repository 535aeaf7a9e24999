"""Entries and words that were read before: an entry whose row and values are as they were is not read a second time."""

from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from threading import Lock
from typing import Any, Final

from sqlalchemy import Row

from ledger.entry import Entry

__all__ = ["ReadBefore"]

MOST: Final = 1024
"""Entries kept at once."""

Found = Row[Any]


class KeptWords:
    """The words of the last size of the ledger that was asked about.

    Keeps: words that are sealed are among them; after an erasure nobody goes on with it.
    """

    def __init__(self) -> None:
        self._last: tuple[int, Sequence[str]] | None = None

    def at(self, size: int, read: Callable[[], Sequence[str]]) -> Sequence[str]:
        """The words of a ledger of that size.

        Requires: a state that is kept; one of a transaction under way may never come to be.
        """
        last = self._last
        if last is None or last[0] != size:
            last = self._last = (size, read())
        return last[1]


class ReadBefore:
    """Entries as they were read, the ones asked for last.

    Keeps: an entry is only ever given for the very bytes, columns and values it was read from, so damage is met as if
    nothing were kept. It holds values that are sealed: after an erasure nobody goes on with it.
    """

    def __init__(self, most: int = MOST) -> None:
        self._most, self._lock = most, Lock()
        self.words = KeptWords()
        self._of: OrderedDict[int, tuple[Found, Mapping[str, Found], Entry]] = OrderedDict()

    def entry(
        self, row: Found, sealed: Mapping[str, Found], read: Callable[[Found, Mapping[str, Found]], Entry]
    ) -> Entry:
        """The entry that this row and the rows of its sealed values say.

        Raises: what reading it raises.
        """
        with self._lock:
            found = self._of.get(row.seq)
            if found is not None and found[0] == row and found[1] == sealed:
                self._of.move_to_end(row.seq)
                return found[2]
        entry = read(row, sealed)
        with self._lock:
            self._of[row.seq] = (row, sealed, entry)
            self._of.move_to_end(row.seq)
            if len(self._of) > self._most:
                self._of.popitem(last=False)
        return entry
