"""How likely each ceiling is after a whole round of work: exact, by dynamic programming over counts and lengths."""

from collections.abc import Mapping, Sequence
from math import gcd, prod
from types import MappingProxyType
from typing import Final

from ledger.rules.book_ceiling import MOST_WITHIN, NO_LIMIT, Fault, Left, Lot, lots_of
from ledger.rules.ceilings import Ceiling
from ledger.rules.chances import Chances, chance_row
from ledger.rules.distributions import Distribution

__all__ = ["ceiling_chances", "shipped_chances", "with_chances"]

_AT: Final = (0x111, 0x011, 0x001)
"""What one more limit at a step, one above it or two above it adds to how many lie within 0, 1 and 2 steps."""


def shipped_chances(faults: Sequence[Fault]) -> Mapping[str, Chances]:
    """The chances of each defect by its id, as the shipped table has them."""
    return MappingProxyType(
        {each.id: chance_row(each.type, breaks_colour=each.breaks_colour).chances for each in faults}
    )


def with_chances(chances: Mapping[str, Chances], name: str, instead: Chances) -> Mapping[str, Chances]:
    """The chances with those of one defect changed; what that does to an outlook is what they are worth.

    Raises: KeyError, for a defect that has none.
    """
    if name not in chances:
        raise KeyError(name)
    return MappingProxyType({**chances, name: instead})


def ceiling_chances(
    faults: Sequence[Fault], chances: Mapping[str, Chances], rows: Sequence[Ceiling] | None = None
) -> Distribution:
    """The chance of each ceiling once every defect has gone, lessened or stayed, each by itself.

    Of defects in a lot, how many or how long the rest is in all is carried along, each sum with its weight; of lots,
    how many allow a step, the one above and the one above that, up to where the rule bars the step. All weights are
    whole numbers over one denominator, so nothing is rounded.
    Keeps: what raises a defect's chance of gone at the cost of the same never lowers the chance of any step or better.
    A defect that cannot be read is left out; `lots_of` names it.
    Requires: chances for every defect. Raises: KeyError.
    Source: sums of independent numbers by convolution, exact; the rule of `book_ceiling.book_ceiling`.
    """
    spreads = [_spread(lot, chances) for lot in lots_of(faults, rows)[0]]
    whole = prod(sum(each.values()) for each in spreads)
    reached = [_not_barred(spreads, step) for step in range(1, NO_LIMIT)]
    from_step_up = [whole, *reached, 0]
    return Distribution.over({step: weight - from_step_up[step + 1] for step, weight in enumerate(from_step_up[:-1])})


def _spread(lot: Lot, chances: Mapping[str, Chances]) -> dict[int, int]:
    """The weight of each limit that a lot may come to."""
    sums = {(0,) * len(lot.rows): 1}
    for fault in lot.faults:
        after: dict[tuple[int, ...], int] = {}
        for part, weight in _outcomes(lot, fault, chances[fault.id]):
            for there, so_far in sums.items():
                joined = lot.joined(there, part)
                after[joined] = after.get(joined, 0) + so_far * weight
        sums = after
    found: dict[int, int] = {}
    for there, weight in sums.items():
        limit = lot.limit(there)
        found[limit] = found.get(limit, 0) + weight
    return found


def _outcomes(lot: Lot, fault: Fault, chances: Chances) -> list[tuple[tuple[int, ...], int]]:
    """What may be left of a defect, each with its weight in the smallest whole numbers."""
    common = gcd(chances.gone, chances.lessened, chances.same)
    weights = {Left.GONE: chances.gone, Left.LESSENED: chances.lessened, Left.SAME: chances.same}
    return [(lot.part(fault, left), weight // common) for left, weight in weights.items() if weight]


def _not_barred(spreads: Sequence[Mapping[int, int]], step: int) -> int:
    """The weight of all that leaves this step allowed, out of the product of all weights."""
    apart, counted = 1, []
    for spread in spreads:
        within = [spread.get(step + reach, 0) if step + reach < NO_LIMIT else 0 for reach in range(len(_AT))]
        above = sum(weight for limit, weight in spread.items() if limit >= step) - sum(within)
        if any(within):
            counted.append([(0, above), *zip(_AT, within, strict=True)])
        else:
            apart *= above
    if apart == 0:
        return 0
    states = {0: 1}
    for moves in counted:
        after: dict[int, int] = {}
        for add, weight in moves:
            if weight:
                for state, so_far in states.items():
                    if (key := state + add) in _ALLOWED:
                        after[key] = after.get(key, 0) + so_far * weight
        states = after
    return apart * sum(states.values())


def _allowed() -> frozenset[int]:
    """How many may lie within 0, 1 and 2 steps above one, as one number with a digit of 16 each."""
    one, two, three = MOST_WITHIN
    return frozenset(
        first * 0x100 + second * 0x10 + third
        for first in range(one + 1)
        for second in range(first, two + 1)
        for third in range(second, three + 1)
    )


_ALLOWED: Final = _allowed()
