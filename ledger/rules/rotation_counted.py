"""A wish in whole numbers, so that shares are compared exactly and quickly: one unit for all shares, books by number."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import ceil, lcm

from ledger.rules.rotation import Hanging, Rows, Spot, Wish

__all__ = ["Counted", "Line", "Plan"]

Line = tuple[int, ...]
"""One period: the number of the book at each spot."""
Plan = list[Line]


@dataclass(frozen=True)
class Counted:
    """The wish, and what follows from it in whole numbers."""

    wish: Wish

    @cached_property
    def unit(self) -> int:
        """A whole share is so much."""
        parts = [each.share for each in self.wish.books]
        parts += [_a_day(spot, book) for spot in self.wish.spots for book in self.wish.books]
        return lcm(*(each.denominator for each in parts))

    @cached_property
    def light_unit(self) -> int:
        """A lux hour is so much."""
        limits = [each.most_lux_hours for each in self.wish.books if each.most_lux_hours is not None]
        return lcm(*(each.denominator for each in (*limits, *(spot.a_day for spot in self.wish.spots))))

    @cached_property
    def start(self) -> tuple[int, ...]:
        """Each book's share before the plan."""
        return tuple(int(each.share * self.unit) for each in self.wish.books)

    @cached_property
    def a_day(self) -> tuple[tuple[int, ...], ...]:
        """What a day at a spot adds to a book's share: spot by spot, book by book."""
        return tuple(tuple(int(_a_day(spot, book) * self.unit) for book in self.wish.books) for spot in self.wish.spots)

    @cached_property
    def light_a_day(self) -> tuple[int, ...]:
        """The light of a day, spot by spot."""
        return tuple(int(spot.a_day * self.light_unit) for spot in self.wish.spots)

    @cached_property
    def may_hang(self) -> tuple[tuple[int, ...], ...]:
        """The books that may hang at each spot at all."""
        return tuple(
            tuple(n for n, book in enumerate(self.wish.books) if book.pinned in (None, spot.id))
            for spot in self.wish.spots
        )

    @cached_property
    def always(self) -> frozenset[int]:
        """The books that hang in every period."""
        return frozenset(n for n, book in enumerate(self.wish.books) if book.always)

    @cached_property
    def foes(self) -> tuple[frozenset[int], ...]:
        """For each book those that never hang with it."""
        numbers = {book.id: n for n, book in enumerate(self.wish.books)}
        pairs = [(numbers[one], numbers[other]) for one, other in self.wish.apart]
        return tuple(
            frozenset(other for pair in pairs if n in pair for other in pair if other != n)
            for n in range(len(self.wish.books))
        )

    @cached_property
    def most_days(self) -> tuple[int, ...]:
        """Days each may hang: as many as the plan has, unless fewer are allowed."""
        whole = sum(self.wish.periods)
        return tuple(whole if each.most_days is None else min(whole, each.most_days) for each in self.wish.books)

    @cached_property
    def most_light(self) -> tuple[int | None, ...]:
        """The light each may take; None without a limit."""
        return tuple(
            None if each.most_lux_hours is None else int(each.most_lux_hours * self.light_unit)
            for each in self.wish.books
        )

    @cached_property
    def doses(self) -> tuple[tuple[Fraction, ...], ...]:
        """For each book the doses that may count; none where light does it nothing."""
        return tuple(
            tuple(dose for spot in self.wish.spots if (dose := book.dose(spot.id)) is not None)
            for book in self.wish.books
        )

    @cached_property
    def most_added(self) -> tuple[int | None, ...]:
        """More than that is never added to a share, by its limit of light; None without one."""
        return tuple(
            None if each.most_lux_hours is None or not doses else ceil(each.most_lux_hours / min(doses) * self.unit)
            for each, doses in zip(self.wish.books, self.doses, strict=True)
        )

    def alike(self, one: int, other: int) -> bool:
        """Two spots at which every book fares the same."""
        same = self.wish.spots[one].a_day == self.wish.spots[other].a_day
        return same and self.a_day[one] == self.a_day[other]

    def loads(self, plan: Sequence[Line]) -> list[int]:
        """Each book's share at the end."""
        found = list(self.start)
        for days, line in zip(self.wish.periods, plan, strict=True):
            for spot, book in enumerate(line):
                found[book] += self.a_day[spot][book] * days
        return found

    def line_fits(self, line: Line) -> bool:
        """It keeps what is asked of every period."""
        there = set(line)
        return (
            len(there) == len(line)
            and self.always <= there
            and all(book in self.may_hang[spot] for spot, book in enumerate(line))
            and not any(self.foes[book] & there for book in line)
        )

    def totals_fit(self, plan: Sequence[Line], books: Sequence[int]) -> bool:
        """These books keep their limits over the whole plan."""
        for book in books:
            days = sum(length for length, line in zip(self.wish.periods, plan, strict=True) if book in line)
            if days > self.most_days[book]:
                return False
            most = self.most_light[book]
            if most is not None and self._lit(plan, book) > most:
                return False
        return True

    def _lit(self, plan: Sequence[Line], book: int) -> int:
        return sum(
            self.light_a_day[line.index(book)] * length
            for length, line in zip(self.wish.periods, plan, strict=True)
            if book in line
        )

    def share(self, load: int) -> Fraction:
        """The share that a whole number stands for."""
        return Fraction(load, self.unit)

    def rows(self, plan: Sequence[Line]) -> Rows:
        """The plan with the books by their ids."""
        return tuple(tuple(self.wish.books[book].id for book in line) for line in plan)


def _a_day(spot: Spot, book: Hanging) -> Fraction:
    """The share that a day at the spot adds."""
    dose = book.dose(spot.id)
    return Fraction(0) if dose is None else spot.a_day / dose
