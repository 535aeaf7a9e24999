"""One row of the table, and how a time is taken: the middle one of many, ours and the reference's turn about."""

import gc
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter

__all__ = ["Ratio", "compared"]


@dataclass(frozen=True, kw_only=True)
class Ratio:
    """What the program takes and what the reference takes, in one unit, and how many times as much it may be."""

    what: str
    ours: float
    reference: str
    theirs: float
    unit: str
    goal: float

    @property
    def ratio(self) -> float:
        """How many times as much."""
        return self.ours / self.theirs

    @property
    def met(self) -> bool:
        """It is no more than the goal."""
        return self.ratio <= self.goal

    def __str__(self) -> str:
        verdict = "" if self.met else "  not met"
        numbers = f"{self.ours:9.3f} {self.theirs:9.3f} {self.unit:3} {self.ratio:6.2f} {self.goal:5.2f}{verdict}"
        return f"{self.what:52} {self.reference:46} {numbers}"


HEAD = f"{'what':52} {'reference':46} {'ours':>9} {'theirs':>9} {'':3} {'ratio':>6} {'goal':>5}"


def compared(
    ours: Callable[[], object],
    theirs: Callable[[], object],
    *,
    times: int,
    before: Callable[[], object] | None = None,
) -> tuple[float, float]:
    """The middle time of either, each done once before and then in turns, so that a busy machine is busy for both.

    What is done `before` each of ours is not timed.
    Units: ms.
    """
    ready = before or (lambda: None)
    ready(), ours(), theirs()
    mine, other = [], []
    for _ in range(times):
        ready()
        mine.append(_seconds(ours))
        other.append(_seconds(theirs))
    return median(mine) * 1000, median(other) * 1000


def _seconds(work: Callable[[], object]) -> float:
    gc.disable()
    try:
        start = perf_counter()
        work()
        return perf_counter() - start
    finally:
        gc.enable()
