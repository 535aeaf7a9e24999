"""Pages that are kept as they were made until the ledger has another entry; nothing erased is ever found among them."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date, datetime
from threading import Lock
from weakref import WeakKeyDictionary

from ledger.ports import Log
from web.frame import Frame

__all__ = ["KeptPages", "Key"]

MOST = 24
"""Pages kept at once of one ledger."""


@dataclass(frozen=True)
class Key:
    """All that a page depends on besides the entries themselves, of which the frame has the number."""

    of: Hashable
    """What the page shows, and to whom."""
    frame: Frame
    today: date
    signed: datetime | None
    """When the last checkpoint was signed."""


class KeptPages:
    """The bodies of pages made before.

    Keeps: with another number of entries every page is made anew, and the old ones are gone: an erasure is an entry.
    A page that tells a sentence once is never kept.
    """

    def __init__(self, most: int = MOST) -> None:
        self._most, self._lock = most, Lock()
        self._of: WeakKeyDictionary[Log, tuple[int | None, OrderedDict[Key, bytes]]] = WeakKeyDictionary()

    def body(self, log: Log, key: Key, make: Callable[[], bytes]) -> bytes:
        """The body made before under this key, or a new one."""
        with self._lock:
            size, kept = self._of.get(log, (None, OrderedDict()))
            if size != key.frame.entries:
                self._of[log] = (key.frame.entries, kept := OrderedDict())
            found = kept.get(key)
        if found is not None:
            return found
        made = make()
        if key.frame.told is None:
            with self._lock:
                kept[key] = made
                while len(kept) > self._most:
                    kept.popitem(last=False)
        return made

    def forget(self) -> None:
        """Nothing is kept any more."""
        with self._lock:
            self._of.clear()
