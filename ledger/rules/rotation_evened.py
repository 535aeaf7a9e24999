"""Exchanges that better a plan: the larger of two shares falls, or fewer books are moved and no share changes."""

from collections.abc import Iterator, Sequence
from typing import Final

from ledger.rules.rotation_counted import Counted, Line, Plan

__all__ = ["evened", "fewer_swaps"]

_TRIES_MOST: Final = 30_000
"""Exchanges that are tried before it is good enough; half a second of a small machine. Our assumption."""


def evened(counted: Counted, plan: Sequence[Line]) -> Plan:
    """A plan that keeps the wish as this one does, its shares as even as single exchanges can make them.

    Keeps: the largest share never grows; of the two books of an exchange the larger share falls.
    Source: our assumption that even shares are fairer where the largest cannot be lowered; exchanges of pairs are common
    practice in scheduling.
    """
    found, tries = list(plan), iter(range(_TRIES_MOST))
    while (better := _bettered(counted, found, tries)) is not None:
        found = better
    return found


def _bettered(counted: Counted, plan: Plan, tries: Iterator[int]) -> Plan | None:
    """The first exchange that helps, tried for the book of the largest share first."""
    loads = counted.loads(plan)
    for book in sorted(range(len(loads)), key=lambda each: -loads[each]):
        for period, line in enumerate(plan):
            if book not in line:
                continue
            for changed, other in _exchanges(line, line.index(book), len(loads)):
                if next(tries, None) is None:
                    return None
                if _helps(counted, loads, (period, line, changed), (book, other)):
                    made = [*plan[:period], changed, *plan[period + 1 :]]
                    if counted.line_fits(changed) and counted.totals_fit(made, (book, other)):
                        return made
    return None


def _exchanges(line: Line, spot: int, books: int) -> Iterator[tuple[Line, int]]:
    """The period with the book of that spot exchanged for another, which hangs elsewhere in it or not at all."""
    for other in range(books):
        if other == line[spot]:
            continue
        changed = list(line)
        if other in line:
            changed[line.index(other)] = line[spot]
        changed[spot] = other
        yield tuple(changed), other


def _helps(counted: Counted, loads: Sequence[int], exchange: tuple[int, Line, Line], books: tuple[int, int]) -> bool:
    period, before, after = exchange
    days = counted.wish.periods[period]

    def later(book: int) -> int:
        less = counted.a_day[before.index(book)][book] if book in before else 0
        more = counted.a_day[after.index(book)][book] if book in after else 0
        return loads[book] + (more - less) * days

    return max(map(later, books)) < max(loads[each] for each in books)


def fewer_swaps(counted: Counted, plan: Sequence[Line], now: Line) -> Plan:
    """The same plan with periods of one length, and spots of one light, in an order that moves fewer books.

    Keeps: every book's share, and every wish, for both look at whole periods and at the sum of them.
    Source: our assumption that a book is safest where it is not handled; the nearest next period first.
    """
    left = list(enumerate(plan))
    found: Plan = []
    before = now
    for days in counted.wish.periods:
        alike = [each for each in left if counted.wish.periods[each[0]] == days]
        settled = [(place, _settled(counted, line, before)) for place, line in alike]
        place, line = max(settled, key=lambda each: (_kept(each[1], before), -each[0]))
        left = [each for each in left if each[0] != place]
        found.append(line)
        before = line
    return found


def _kept(line: Line, before: Line) -> int:
    """Books that stay where they hang."""
    return sum(book == earlier for book, earlier in zip(line, before, strict=False))


def _settled(counted: Counted, line: Line, before: Line) -> Line:
    """Books that hung at a spot of the same light stay there."""
    made = list(line)
    for spot, earlier in enumerate(before):
        if earlier not in made or made[spot] == earlier:
            continue
        other = made.index(earlier)
        changed = list(made)
        changed[spot], changed[other] = made[other], made[spot]
        if counted.alike(spot, other) and counted.line_fits(tuple(changed)):
            made = changed
    return tuple(made)
