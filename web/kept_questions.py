"""Questions that were drawn before, kept for as long as the counts in them hold: until the next entry."""

from collections.abc import Callable
from dataclasses import replace
from threading import Lock
from typing import Final
from weakref import WeakKeyDictionary

from ledger.views import Tallies
from web.shelf_asked import Asked
from web.shelf_filters import Question, questions

__all__ = ["Drawer", "drawn_once"]

MOST: Final = 32
"""Ways to tick the answers that are kept at once."""

Steps = tuple[tuple[str, str], ...]
Drawer = Callable[[Asked, tuple[Question, ...], Steps], str]
_drawn: WeakKeyDictionary[Tallies, dict[Asked, str]] = WeakKeyDictionary()
_lock = Lock()


def drawn_once(draw: Drawer, *, asked: Asked, tallies: Tallies, steps: Steps) -> str:
    """The questions with what is ticked.

    Keeps: counts and names of places are gone with the counts they came from, and an erasure makes new ones.
    """
    key = replace(asked, q="", sort="title", descending=False, after="")
    with _lock:
        found = _drawn.get(tallies, {}).get(key)
    if found is not None:
        return found
    made = draw(asked, questions(asked, tallies), steps)
    with _lock:
        kept = _drawn.setdefault(tallies, {})
        if len(kept) >= MOST:
            kept.clear()
        kept[key] = made
    return made
