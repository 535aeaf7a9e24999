"""The plan itself: a good one by hand-rules, bettered by exchanges, then proven or beaten by branch and bound.

1. Period by period, the longest first, and at each the brightest spot first, the book hangs whose share would come to
   least (the longest-processing-time rule of scheduling).
2. A book is exchanged for another, in a period or between two spots, as long as the larger of the two shares falls.
3. Branch and bound: every way of hanging is tried in the same order, and left as soon as it cannot be better than the
   best so far (`rotation_bound.py`), was met before with the same shares, or breaks a wish. Where it comes to its end the
   plan is the best there is, and that is said. It is given up after a fixed number of steps: then the plan is the best
   that was found, and stands beside the least that any plan could reach.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.rules.rotation import Rows, Wish
from ledger.rules.rotation_bound import Light, least_possible
from ledger.rules.rotation_counted import Counted, Line, Plan
from ledger.rules.rotation_evened import evened, fewer_swaps

__all__ = ["STEPS_MOST", "NoPlan", "Proposal", "propose"]

STEPS_MOST: Final = 60_000
"""Books tried at a spot before the search is given up: about two seconds of a small machine. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A plan, what it comes to, and how good it is known to be."""

    rows: Rows
    largest: Fraction
    """The largest share over all books at its end."""
    least_possible: Fraction
    """No plan can come below this."""
    exact: bool
    """No plan is better."""


@dataclass(frozen=True, kw_only=True)
class NoPlan:
    """No plan was found."""

    proven: bool
    """There is none; otherwise the search was given up."""


def propose(wish: Wish, *, now: tuple[str | None, ...] = (), steps_most: int = STEPS_MOST) -> Proposal | NoPlan:
    """The plan whose largest share is the smallest, of all that keep the wish.

    Requires: the wish has no flaw; `now` is what hangs at each spot, so that little is moved at first
    Source: R. L. Graham 1969, "Bounds on multiprocessing timing anomalies", for the longest-first rule, from memory; branch
    and bound as in any textbook of scheduling. That it is the least is proven by trying, in tests against every plan.
    """
    counted = Counted(wish)
    search = _Search(counted, steps_most)
    search.run()
    if search.best is None:
        return NoPlan(proven=search.finished)
    plan = evened(counted, search.best)
    largest = max(counted.loads(plan))
    least = least_possible(counted, largest)
    numbers = {book.id: n for n, book in enumerate(wish.books)}
    plan = fewer_swaps(counted, plan, tuple(numbers.get(each or "", -1) for each in now))
    return Proposal(
        rows=counted.rows(plan),
        largest=counted.share(largest),
        least_possible=counted.share(largest if search.finished else least),
        exact=search.finished or least == largest,
    )


class _Search:
    """Branch and bound over periods, the longest first, and over spots, the brightest first."""

    def __init__(self, counted: Counted, steps_most: int) -> None:
        self._counted, self._steps_left = counted, steps_most
        wish = counted.wish
        self._order = sorted(range(len(wish.periods)), key=lambda each: -wish.periods[each])
        self._spots = sorted(range(len(wish.spots)), key=lambda each: (-wish.spots[each].a_day, each))
        self._light = Light(counted, self._order)
        self._loads = list(counted.start)
        self._days_left = list(counted.most_days)
        self._lit = [0] * len(wish.books)
        self._limited = [n for n, most in enumerate(counted.most_light) if most is not None]
        self._lines: dict[int, Line] = {}
        self._seen: set[tuple[int, tuple[int, ...], tuple[int, ...], tuple[int, ...]]] = set()
        self.best: Plan | None = None
        self.best_load: int | None = None
        self.finished = False
        self._least: int | None = None

    def run(self) -> None:
        """To its end, or until the steps are used up; periods are a stack of ways to fill them, not of calls."""
        stack = [self._ways(0)]
        taken: list[tuple[int, Line]] = []
        while stack:
            line = next(stack[-1], None)
            if line is None:
                stack.pop()
                if taken:
                    self._hang(*taken.pop(), -1)
                continue
            period = self._order[len(stack) - 1]
            self._hang(period, line, 1)
            taken.append((period, line))
            self._lines[period] = line
            if len(stack) == len(self._order):
                self._keep()
                self._hang(*taken.pop(), -1)
                if self._is_least():
                    self.finished = True
                    return
            else:
                stack.append(self._ways(len(stack)))
        self.finished = self._steps_left > 0

    def _hang(self, period: int, line: Line, way: int) -> None:
        days = self._counted.wish.periods[period] * way
        for spot, book in enumerate(line):
            self._loads[book] += self._counted.a_day[spot][book] * days
            self._days_left[book] -= days
            self._lit[book] += self._counted.light_a_day[spot] * days

    def _keep(self) -> None:
        load = max(self._loads)
        if self.best_load is None or load < self.best_load:
            plan = [self._lines[each] for each in range(len(self._order))]
            if self.best is None:
                plan = evened(self._counted, plan)
                load = max(self._counted.loads(plan))
            self.best, self.best_load = plan, load

    def _is_least(self) -> bool:
        """Nothing can be better than the best at hand."""
        assert self.best_load is not None
        if self._least is None:
            self._least = least_possible(self._counted, self.best_load)
        return self.best_load <= self._least

    def _ways(self, place: int) -> Iterator[Line]:
        """The ways to fill that period that could still be better, the most even first."""
        lit = tuple(self._lit[each] for each in self._limited)
        state = (place, tuple(self._loads), tuple(self._days_left), lit)
        if state in self._seen or self._hopeless(place):
            return
        self._seen.add(state)
        yield from self._filled(self._order[place], 0, {})

    def _hopeless(self, place: int) -> bool:
        most = self.best_load
        if most is None:
            return False
        fits = self._light.fits_below(most - 1, place, self._loads, self._days_left)
        return not fits or max(self._loads) >= most

    def _filled(self, period: int, place: int, hung: dict[int, int]) -> Iterator[Line]:
        """The period's spots from that one on, given which book hangs at each before it."""
        counted = self._counted
        if place == len(self._spots):
            line = tuple(hung[each] for each in range(len(self._spots)))
            if counted.line_fits(line):
                yield line
            return
        if len(counted.always - set(hung.values())) > len(self._spots) - place:
            return
        spot = self._spots[place]
        for book in self._choices(period, spot, place, hung):
            self._steps_left -= 1
            if self._steps_left <= 0:
                return
            hung[spot] = book
            yield from self._filled(period, place + 1, hung)
            del hung[spot]

    def _choices(self, period: int, spot: int, place: int, hung: dict[int, int]) -> list[int]:
        counted, days = self._counted, self._counted.wish.periods[period]
        there = set(hung.values())
        after = self._after_alike(spot, place, hung)
        found = []
        for book in counted.may_hang[spot]:
            load = self._loads[book] + counted.a_day[spot][book] * days
            most = counted.most_light[book]
            if book in there or book <= after or counted.foes[book] & there or days > self._days_left[book]:
                continue
            if most is not None and self._lit[book] + counted.light_a_day[spot] * days > most:
                continue
            if self.best_load is None or load < self.best_load:
                found.append((load, book))
        return [book for _, book in sorted(found)]

    def _after_alike(self, spot: int, place: int, hung: dict[int, int]) -> int:
        """Two spots of the same light are filled in one order only, unless a book is pinned to one."""
        before = self._spots[place - 1] if place else None
        counted = self._counted
        if before is None or not counted.alike(before, spot):
            return -1
        return hung[before] if counted.may_hang[before] == counted.may_hang[spot] else -1
