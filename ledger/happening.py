"""The order in which the entries of one chain are taken to have happened, where their dates leave a choice."""

from collections.abc import Callable, Iterator, Sequence
from heapq import heappop, heappush
from itertools import pairwise

from ledger.events.correction import Correction
from ledger.events.erasure import Erasure
from ledger.events.withdrawal import Withdrawal
from ledger.mended import Moment
from ledger.when import When, as_happened, positions

__all__ = ["MOST_WALKED", "by_date", "dated", "moved", "places", "settled"]

MOST_WALKED = 50_000
"""Moments looked at in search of an order; beyond it the best that was found counts."""


def by_date(moments: Sequence[Moment]) -> list[Moment]:
    """In the order that dates and recording alone give."""
    return [moments[index] for index in as_happened([_on(moment) for moment in moments])]


def settled(moments: list[Moment], wrong: Callable[[Sequence[Moment]], Sequence[int]]) -> list[Moment]:
    """The moments in an order in which no entry is wrong, where their dates allow one; else with the fewest wrong.

    `wrong` tells the numbers of the entries that break a rule in an order.
    Keeps: what is right by date and recording stays as it is. Else few are moved, and each as little as will do: the
    one that is wrong sooner than another, one of vague date sooner than one that says the day, and last of all one
    without a date, for of that no more is known than where it was written down. Neither clock nor chance has a say. In
    so long a history that `MOST_WALKED` ends the search, the best order found is taken.
    Requires: moments in the order that `by_date` gives.
    """
    if not _leave_a_choice(moments):
        return moments
    found = wrong(moments)
    best, least, turn = moments, len(found), 0
    waiting = [(least, 0, turn, moments, found)]
    seen = {_numbers(moments)}
    left = MOST_WALKED // max(len(moments), 1)
    while least and waiting:
        _, moves, _, order, found = heappop(waiting)
        for other in _moves(order, found):
            if _numbers(other) in seen:
                continue
            if not left:
                return best
            left, turn = left - 1, turn + 1
            seen.add(_numbers(other))
            found = wrong(other)
            heappush(waiting, (len(found), moves + 1, turn, other, found))
            if len(found) < least:
                best, least = other, len(found)
            if not least:
                break
    return best


def _leave_a_choice(moments: Sequence[Moment]) -> bool:
    """Two of them that may be moved are not in a certain order."""
    dates = [_on(moment) for moment in moments if _may_move(moment)]
    return not all(first and then and first.certainly_before(then) for first, then in pairwise(dates))


def _moves(moments: list[Moment], wrong: Sequence[int]) -> Iterator[list[Moment]]:
    """The moments with one of them at every other place its date allows, the latest first."""

    def rank(index: int) -> int:
        if moments[index].entry.seq in wrong:
            return 0
        return 3 if _on(moments[index]) is None else 1 + dated(moments[index])

    free = (index for index, moment in enumerate(moments) if _may_move(moment))
    for own in sorted(free, key=rank):
        for place in reversed(places(moments, own, by_the_day=False)):
            if place != own:
                yield moved(moments, own, place)


def _may_move(moment: Moment) -> bool:
    """It is in force, and its place hangs on its date and not on where it was written down."""
    mending = isinstance(moment.event, Correction | Withdrawal | Erasure)
    return moment.in_force and not moment.event.as_recorded and not mending


def _numbers(moments: Sequence[Moment]) -> tuple[int, ...]:
    return tuple(moment.entry.seq for moment in moments)


def places(moments: Sequence[Moment], own: int, *, by_the_day: bool) -> range:
    """Every place the date of one moment allows among the others.

    Keeps: `by_the_day` what is dated to the day stays as it was recorded beside what else is dated to the day: people
    write things down in the order in which they did them, unless they forgot one.
    """
    others = [index for index in range(len(moments)) if index != own]
    dates = [_on(moment) for moment in moments]
    allowed = positions(others, dates, dates[own])
    if by_the_day and dated(moments[own]):
        before = [place for place in others[:own] if dated(moments[place])]
        after = [place for place in others[own:] if dated(moments[place])]
        allowed = range(max(allowed.start, before[-1] + 1 if before else 0), allowed.stop)
        allowed = range(allowed.start, min(allowed.stop, after[0] if after else len(moments)))
    return allowed


def moved(moments: Sequence[Moment], own: int, place: int) -> list[Moment]:
    """The moments with one of them at another place."""
    others = [moment for index, moment in enumerate(moments) if index != own]
    return [*others[:place], moments[own], *others[place:]]


def dated(moment: Moment) -> bool:
    """Its date says the day, if not the moment."""
    return moment.event.on is not None and moment.event.on.precision in ("day", "instant")


def _on(moment: Moment) -> When | None:
    """The date by which it is put in order."""
    return None if moment.event.as_recorded else moment.event.on
