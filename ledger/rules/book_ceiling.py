"""The best grade that all the defects of a book together allow: defects of a kind read as one lot, and many small ones.

The rule: the ceiling is the highest step such that no defect allows less, at most 3 allow exactly that step, at most 6
allow it or the one above, and at most 9 allow it or one of the two above. Our assumption.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import IntEnum
from functools import cached_property, reduce
from typing import Final

from ledger.rules.ceilings import BACK_KINDER_STEPS, Ceiling, UnmeasuredError, ceilings, unmeasured
from ledger.rules.defects import defect_type
from ledger.rules.grades import Grade, grades

__all__ = [
    "MOST_WITHIN",
    "NO_LIMIT",
    "Fault",
    "Held",
    "Left",
    "Lot",
    "book_ceiling",
    "ceiling_of",
    "lots_of",
    "read_off",
]

MOST_WITHIN: Final = (3, 6, 9)
"""How many may allow a step exactly, that or the one above, that or one of the two above. Our assumption."""
NO_LIMIT: Final = len(grades())
"""Stands above every step."""
SUMMED_LENGTHS: Final = frozenset({"bend"})
"""Types whose row goes by the total length on a face. Source: from memory of published ten-point handbooks."""
TENTH_MM: Final = Decimal("0.1")
"""Lengths are added in tenths of a millimetre, each rounded up: a rule is read to half a millimetre. Our assumption."""


class Left(IntEnum):
    """What a round of work leaves of a defect."""

    GONE = 0
    LESSENED = 1
    SAME = 2


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One defect as far as a ceiling depends on it. Units: as the names say."""

    id: str
    type: str
    face: str
    breaks_colour: bool | None
    """None is not known, and counts as a break."""
    size_mm: Decimal | None = None
    count: int | None = None
    """None is one."""
    share_percent: int | None = None
    word: str | None = None
    """What a paper is called, where that is its measure."""

    @property
    def nothing(self) -> bool:
        """It measures 0 of something, which is to say that it has gone."""
        return 0 in (self.size_mm, self.count, self.share_percent)

    def measured(self, by: str) -> Decimal | None:
        """What a row goes by; None where that was not measured, or is no number."""
        found = {"size_mm": self.size_mm, "count": self.count or 1, "share_percent": self.share_percent}.get(by)
        return None if found is None else Decimal(found)


@dataclass(frozen=True)
class Lot:
    """Defects that are read as one: those of one type on one face where its rows speak of how many or how long in all.

    However an owner writes them down, as one or as several, the lot allows the same. Any other defect is a lot of its
    own. What is there of a lot is told by one number a row, 0 where nothing is: a count, tenths of a millimetre, or the
    class of the largest.
    Keeps: a row for what breaks no colour counts what does as well where it counts, so that a break never raises it.
    """

    faults: tuple[Fault, ...]
    rows: tuple[Ceiling, ...]

    @cached_property
    def _tallies(self) -> tuple["_Tally", ...]:
        return tuple(_Tally(row) for row in self.rows)

    def part(self, fault: Fault, left: Left) -> tuple[int, ...]:
        """What one defect adds to each row's number, as work leaves it."""
        if left is Left.GONE or fault.nothing:
            return (0,) * len(self.rows)
        return tuple(each.number(fault, lessened=left is Left.LESSENED) for each in self._tallies)

    def joined(self, first: tuple[int, ...], second: tuple[int, ...]) -> tuple[int, ...]:
        """The numbers of two parts together."""
        if len(self._tallies) == 1:  # most lots have one row, and this is done more often than anything else
            return (self._tallies[0].join(first[0], second[0]),)
        return tuple([each.join(a, b) for each, a, b in zip(self._tallies, first, second, strict=True)])

    def limit(self, there: tuple[int, ...]) -> int:
        """The step that these numbers allow at best, `NO_LIMIT` where they set none; the back cover is a step kinder."""
        best = min((each.limit(number) for each, number in zip(self._tallies, there, strict=True)), default=NO_LIMIT)
        if best == NO_LIMIT or self.faults[0].face != "back":
            return best
        return min(best + BACK_KINDER_STEPS, NO_LIMIT - 1)

    def limit_as_it_is(self) -> int:
        """The step it allows as the defects lie now."""
        return self.limit(reduce(self.joined, (self.part(fault, Left.SAME) for fault in self.faults)))

    def binding(self) -> tuple[str, ...]:
        """Ids of those by which it has its limit: all that count in the row that sets it, or the largest."""
        parts = [self.part(fault, Left.SAME) for fault in self.faults]
        there = reduce(self.joined, parts)
        limits = [each.limit(number) for each, number in zip(self._tallies, there, strict=True)]
        setting = [place for place, limit in enumerate(limits) if limit == min(limits)]
        return tuple(
            fault.id
            for fault, part in zip(self.faults, parts, strict=True)
            if any(part[place] and (self._tallies[place].sums or part[place] == there[place]) for place in setting)
        )

    def flaw(self, fault: Fault) -> UnmeasuredError | None:
        """What is missing to read one of them."""
        missing = (row for row in self.rows if _speaks_of(row, fault) and _is_missing(row, fault))
        row = next(missing, None)
        return None if row is None or fault.nothing else unmeasured(row)


class _Tally:
    """One row, as whole numbers that are quickly put together."""

    def __init__(self, row: Ceiling) -> None:
        self.row = row
        self.sums = _sums(row)
        self._ends = [None if each.up_to is None else _units(row, each.up_to) for each in row.classes]
        self._steps = [NO_LIMIT if each.allows is None else each.allows.step for each in row.classes]
        self._most = max((end for end in self._ends if end is not None), default=0) + 1
        self.join: Callable[[int, int], int] = self._added if self.sums else max

    def _added(self, first: int, second: int) -> int:
        """Beyond the last class that ends there is nothing to tell apart."""
        return min(first + second, self._most)

    def number(self, fault: Fault, *, lessened: bool) -> int:
        """What the defect adds: 0 where the row does not speak of it."""
        if not _speaks_of(self.row, fault):
            return 0
        size = fault.measured(self.row.by)
        place = 0 if size is None else self._class(size)
        if not self.sums:
            return 1 + (max(place - 1, 0) if lessened else place)
        assert size is not None  # a row that sums goes by a number, and what has none is not read
        smaller = self.row.classes[place - 1].up_to if lessened and place > 0 else None
        return min(_units(self.row, size if smaller is None else smaller), self._most)

    def _class(self, size: Decimal) -> int:
        return next(place for place, each in enumerate(self.row.classes) if each.up_to is None or size <= each.up_to)

    def limit(self, number: int) -> int:
        """What that many, that long or that class allows."""
        if number == 0:
            return NO_LIMIT
        if not self.sums:
            return self._steps[number - 1]
        return next(step for end, step in zip(self._ends, self._steps, strict=True) if end is None or number <= end)


def _sums(row: Ceiling) -> bool:
    """The row speaks of how many there are, or how long they are in all."""
    return row.by == "count" or (row.by == "size_mm" and row.type in SUMMED_LENGTHS)


def _units(row: Ceiling, size: Decimal) -> int:
    if row.by == "count":
        return int(size)
    return int((size / TENTH_MM).to_integral_value(ROUND_CEILING))


def _speaks_of(row: Ceiling, fault: Fault) -> bool:
    if row.word is not None and row.word != fault.word:
        return False
    told = "no" if fault.breaks_colour is False else "yes"
    return row.breaks_colour in ("any", told) or (row.breaks_colour == "no" and _sums(row))


def _is_missing(row: Ceiling, fault: Fault) -> bool:
    by_number = row.by in ("size_mm", "share_percent")
    return by_number and not (row.unmeasured_is_least and not _sums(row)) and fault.measured(row.by) is None


def lots_of(
    faults: Sequence[Fault], rows: Sequence[Ceiling] | None = None
) -> tuple[tuple[Lot, ...], tuple[tuple[Fault, UnmeasuredError], ...]]:
    """Every defect in its lot, and apart those that cannot be read, with what should be measured.

    Raises: DefectTypeError, for a type not in the table.
    """
    by_type: dict[str, tuple[Ceiling, ...]] = {}
    groups: dict[tuple[str, str, str], list[Fault]] = {}
    unread = []
    for fault in faults:
        if fault.type not in by_type:
            known = defect_type(fault.type).id
            by_type[known] = tuple(row for row in (ceilings() if rows is None else rows) if row.type == known)
        own = by_type[fault.type]
        flaw = Lot((fault,), own).flaw(fault)
        if flaw is not None:
            unread.append((fault, flaw))
            continue
        together = any(map(_sums, own))
        groups.setdefault((fault.type, fault.face, "" if together else fault.id), []).append(fault)
    return tuple(Lot(tuple(found), by_type[key[0]]) for key, found in groups.items()), tuple(unread)


def book_ceiling(limits: Sequence[int]) -> Grade:
    """The highest step that lots with these limits allow together; a limit of `NO_LIMIT` is none.

    Keeps: raising a limit, or taking one away, never lowers it. Every book has the lowest step, whatever is wrong with it.
    Source: our assumption, the rule at the head of this file.
    """
    return next((grade for grade in grades()[:0:-1] if not _against(grade.step, limits)), grades()[0])


def _against(step: int, limits: Sequence[int]) -> set[int]:
    """The limits that stand in the way of a step; none where it is allowed."""
    found = {limit for limit in limits if limit < step}
    for reach, most in enumerate(MOST_WITHIN):
        within = [limit for limit in limits if step <= limit <= min(step + reach, NO_LIMIT - 1)]
        if len(within) > most:
            found.update(within)
    return found


@dataclass(frozen=True, kw_only=True)
class Held:
    """The ceiling of a book as its defects lie, and which of them hold it there."""

    grade: Grade
    by: tuple[str, ...]
    """Ids of the defects without which the next step would not be barred as it is; none at the top of the scale."""
    unread: tuple[tuple[Fault, UnmeasuredError], ...]
    """Defects that could not be read: where there are any, the ceiling may be lower."""


def read_off(faults: Sequence[Fault], rows: Sequence[Ceiling] | None = None) -> Held:
    """The ceiling as the defects lie, with what holds it there."""
    lots, unread = lots_of(faults, rows)
    limits = [lot.limit_as_it_is() for lot in lots]
    best = book_ceiling(limits)
    barring = _against(best.step + 1, limits) if best.step + 1 < NO_LIMIT else set()
    by = {name for lot, limit in zip(lots, limits, strict=True) if limit in barring for name in lot.binding()}
    return Held(grade=best, by=tuple(each.id for each in faults if each.id in by), unread=unread)


def ceiling_of(
    faults: Sequence[Fault], left: Mapping[str, Left] | None = None, rows: Sequence[Ceiling] | None = None
) -> Grade:
    """The ceiling once work has left each defect as told by its id; what is not named is the same.

    Keeps: a defect that cannot be read is left out; `lots_of` names it.
    Source: the rule of `book_ceiling`, our assumption; the rows' own sources.
    """
    after = left or {}
    return book_ceiling(
        [
            lot.limit(reduce(lot.joined, (lot.part(each, after.get(each.id, Left.SAME)) for each in lot.faults)))
            for lot in lots_of(faults, rows)[0]
        ]
    )
