"""Two thousand books changed at once, shown and written, beside the same entries written one after another by the door."""

import random
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter
from typing import Final

from ledger.events.placement import Placement, Spot
from ledger.sealed import Sealed
from ledger.usecases.change_many import CHANGED_MOST, Add, preview, write_change
from ledger.usecases.drafts import ACT_MOST, Draft
from ledger.usecases.record import Request
from tests.bench.appending import a_log
from tests.bench.finding import _bought
from tests.bench.measuring import Ratio
from tests.store.writing import OWNER, Scribe

__all__ = ["ratios"]

GOAL: Final = 3.0
"""Each book is read and checked three times: shown, looked at once more before it is written, and by the door."""


def ratios() -> Iterator[Ratio]:
    """Units: s."""
    with tempfile.TemporaryDirectory() as place:
        log, chance = a_log(Path(place)), random.Random(3)
        scribe = Scribe(log)
        books = [f"b{number}" for number in range(CHANGED_MOST)]
        for first in range(0, CHANGED_MOST, ACT_MOST):
            scribe.write(*(_bought(book, chance) for book in books[first : first + ACT_MOST]))
        event = Placement(spot=Spot.BOX, place=Sealed.of("Box 9"))
        start = perf_counter()
        seen = preview(scribe.ledger, OWNER, books, Add(event=event), "moved").seen
        write_change(scribe.ledger, OWNER, books, Add(event=event), "moved", seen, Request())
        ours, start = perf_counter() - start, perf_counter()
        for first in range(0, CHANGED_MOST, ACT_MOST):
            scribe.write(*(Draft(event=event, book=book) for book in books[first : first + ACT_MOST]))
        theirs = perf_counter() - start
        log._store.close()
    what, reference = f"{CHANGED_MOST:,} books changed, shown first", "the same entries by the door alone"
    yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="s", goal=GOAL)
