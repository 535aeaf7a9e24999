"""Below what no plan can bring the largest share: all the light that falls, poured evenly over the books.

Like water that is poured into vessels: every book takes light until it stands as high as the others, one that stands
higher from before takes none, and none takes more than it may or than one spot at a time can give it. A plan hands light
out in whole periods, so it can be no better than this.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import lcm

from ledger.rules.rotation_counted import Counted

__all__ = ["Light", "least_possible"]


class Light:
    """The light that is still to be handed out from each period on, and what each book may take of it."""

    def __init__(self, counted: Counted, order: Sequence[int]) -> None:
        """`order` is that in which the periods are filled."""
        self._counted = counted
        wish = counted.wish
        a_day = sum((spot.a_day for spot in wish.spots), Fraction(0))
        doses = [dose for each in counted.doses for dose in each]
        whole = lcm(*(each.denominator for each in (*doses, *(spot.a_day for spot in wish.spots))))
        # Where its doses differ from spot to spot, a book is taken to meet the largest: the bound only gets lower.
        self._fades = [int(max(each) * whole) if each else None for each in counted.doses]
        self._most_light_a_day = [
            max(
                (int(spot.a_day * whole) for n, spot in enumerate(wish.spots) if book in counted.may_hang[n]), default=0
            )
            * counted.unit
            for book in range(len(wish.books))
        ]
        days = [sum(wish.periods[each] for each in order[place:]) for place in range(len(order) + 1)]
        self.days = days
        self._to_hand_out = [int(a_day * whole) * counted.unit * each for each in days]
        self._most_a_day = [
            max((counted.a_day[spot][n] for spot in range(len(wish.spots)) if n in counted.may_hang[spot]), default=0)
            for n in range(len(wish.books))
        ]
        self._least_a_day = [
            min((counted.a_day[spot][n] for spot in range(len(wish.spots)) if n in counted.may_hang[spot]), default=0)
            for n in range(len(wish.books))
        ]

    def fits_below(self, most: int, place: int, loads: Sequence[int], days_left: Sequence[int]) -> bool:
        """All light from that period on could be handed out so that no book that takes any comes to more than `most`."""
        days, room = self.days[place], 0
        for book, load in enumerate(loads):
            if book in self._counted.always and load + self._least_a_day[book] * days > most:
                return False
            hangs = min(days, days_left[book])
            fade, light = self._fades[book], self._most_light_a_day[book] * hangs
            if fade is not None:
                may = min(most - load, self._most_a_day[book] * hangs)
                limit = self._counted.most_added[book]
                if limit is not None:
                    may = min(may, self._counted.start[book] + limit - load)
                light = min(light, may * fade)
            room += max(0, light)
        return room >= self._to_hand_out[place]


def least_possible(counted: Counted, no_more_than: int) -> int:
    """The least that the largest share can be, in the counted unit; at most the share of a plan that is at hand.

    Source: water-filling, the continuous relaxation of handing out whole periods; found by halving.
    """
    light = Light(counted, range(len(counted.wish.periods)))
    low, high = max(counted.start), no_more_than
    while low < high:
        middle = (low + high) // 2
        if light.fits_below(middle, 0, counted.start, counted.most_days):
            high = middle
        else:
            low = middle + 1
    return low
