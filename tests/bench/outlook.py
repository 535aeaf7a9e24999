"""The outlook of a book with 40 defects against the bare convolution of as many coins over the same whole numbers."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Final

from ledger.outlooks import computed
from ledger.rules.book_ceiling import Fault
from ledger.rules.ceiling_chances import shipped_chances
from ledger.rules.chances import Chances
from ledger.rules.graders import grader_row
from tests.bench.measuring import Ratio, compared

DEFECTS: Final = 40
STEPS: Final = 25
TIMES: Final = 60
GOAL: Final = 0.45
"""Of the time of the reference, which took 45 ms where the goal was set: there it is 20 ms."""
KINDS: Final = (
    ("spine-tick", "spine", False),
    ("spine-tick", "spine", True),
    ("bend", "front", False),
    ("bend", "back", False),
    ("crease", "front", True),
    ("edge-dent", "edges", False),
    ("corner-blunting", "front", False),
    ("fold", "back", False),
)
"""Types and faces as they are met on a worn book, taken in turn: five of each."""


def ratios() -> Iterator[Ratio]:
    """One row."""
    found = worn_book()
    chances, kernel = shipped_chances(found), grader_row().kernel
    ours, theirs = compared(lambda: computed(found, chances, kernel), lambda: bare(chances), times=TIMES)
    what = f"the outlook of a book with {DEFECTS} defects"
    reference = f"{DEFECTS} defects convolved over {STEPS} counts, plainly"
    yield Ratio(what=what, ours=ours, reference=reference, theirs=theirs, unit="ms", goal=GOAL)


def worn_book() -> tuple[Fault, ...]:
    """Forty defects of eight kinds, no two of a kind of one size."""
    return tuple(
        Fault(
            id=f"d{number}",
            type=KINDS[number % len(KINDS)][0],
            face=KINDS[number % len(KINDS)][1],
            breaks_colour=KINDS[number % len(KINDS)][2],
            size_mm=Decimal(5 + 3 * number) / 10,
            count=1 + number % 2,
        )
        for number in range(DEFECTS)
    )


def bare(chances: Mapping[str, Chances]) -> list[dict[int, int]]:
    """The least that an exact distribution at every step takes: each defect's three weights folded into counts, in turn.

    No row is read, nothing is put into lots, and nothing is spread: what is left is a plain loop over whole numbers.
    """
    found = []
    for _ in range(STEPS):
        states = {0: 1}
        for each in chances.values():
            after: dict[int, int] = {}
            for add, weight in enumerate((each.gone, each.lessened, each.same)):
                for state, so_far in states.items():
                    after[state + add] = after.get(state + add, 0) + so_far * weight
            states = after
        found.append(states)
    return found
