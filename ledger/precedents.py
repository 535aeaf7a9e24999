"""The graded books of this collector that had defects like those of a book at hand: what was done, and what they got."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from ledger.book import WorkDone
from ledger.events._parts import Issue
from ledger.graded import Graded, faults_at
from ledger.history import Moment, fold
from ledger.looks import LookSeen, looks_of
from ledger.rules.book_ceiling import Fault

__all__ = ["MOST", "NEAR", "Alike", "Precedent", "cases_of", "is_like", "pairs_of", "precedents"]

NEAR: Final = 2
"""A size is near another that is at most so many times as much. Our assumption."""
MOST: Final = 12
"""So many are shown. Our assumption."""


@dataclass(frozen=True)
class Alike:
    """A defect of the book at hand, and one like it of another book."""

    ours: Fault
    theirs: Fault


@dataclass(frozen=True, kw_only=True)
class Case:
    """One grade that was given to a book, with what lay on the book before the work that led to it."""

    graded: Graded
    issue: Issue | None
    before: int
    """The entry of the look before that work; where there was none, the last look before it was sent."""
    faults: tuple[Fault, ...]
    """As that look knew them."""
    after: int
    """The entry of the last look before it was sent."""
    left: tuple[Fault, ...]
    """As that look knew them."""
    work: tuple[WorkDone, ...]
    """Between that look and the sending."""


@dataclass(frozen=True, kw_only=True)
class Precedent:
    """One such case, held against the book at hand."""

    case: Case
    alike: tuple[Alike, ...]
    only_ours: tuple[Fault, ...]
    """Defects of the book at hand with none like them there."""
    only_theirs: tuple[Fault, ...]
    apart: Decimal
    """How far apart the sizes of like defects are in all: of each pair the larger over the smaller, less one."""


def is_like(first: Fault, second: Fault) -> bool:
    """Same type, face and colour break, and near in size where both were measured.

    Keeps: a break that is not known counts as one. Either one is like the other, or neither is.
    """
    if (first.type, first.face, first.breaks_colour is False) != (
        second.type,
        second.face,
        second.breaks_colour is False,
    ):
        return False
    if first.word != second.word:
        return False
    one, other = _size(first), _size(second)
    return one is None or other is None or max(one, other) <= NEAR * min(one, other)


def pairs_of(ours: Sequence[Fault], theirs: Sequence[Fault]) -> tuple[Alike, ...]:
    """As many pairs of like defects as there can be, each defect in one at most.

    Of either side the smallest come first, and the smaller of two that are not near is near nothing that follows. What
    was not measured takes what is left over.
    """
    found: list[Alike] = []
    for key in dict.fromkeys(map(_key, ours)):
        mine, other = (sorted((each for each in side if _key(each) == key), key=_order) for side in (ours, theirs))
        left: tuple[list[Fault], list[Fault]] = ([], [])
        while mine and other and _size(mine[0]) is not None and _size(other[0]) is not None:
            if is_like(mine[0], other[0]):
                found.append(Alike(mine.pop(0), other.pop(0)))
            elif _order(mine[0]) < _order(other[0]):
                left[0].append(mine.pop(0))
            else:
                left[1].append(other.pop(0))
        found += _left_over([*left[0], *mine], [*left[1], *other])
    return tuple(found)


def _left_over(ours: list[Fault], theirs: list[Fault]) -> Iterator[Alike]:
    """Pairs in which one at least was not measured; those that were measured go to the other side's that were not."""
    our_open = [each for each in ours if _size(each) is None]
    their_open = [each for each in theirs if _size(each) is None]
    our_sized = [each for each in ours if _size(each) is not None]
    their_sized = [each for each in theirs if _size(each) is not None]
    yield from map(Alike, our_sized, their_open)
    yield from map(Alike, our_open, their_sized)
    yield from map(Alike, our_open[len(their_sized) :], their_open[len(our_sized) :])


def precedents(ours: Sequence[Fault], cases: Iterable[Case], most: int = MOST) -> tuple[Precedent, ...]:
    """The cases that share a like defect, the likest first.

    The order of likeness: first by the share of all defects on both sides that stand in a pair, then by how near the
    sizes are in the mean, then the one recorded later. Our assumption.
    """
    found = [each for case in cases if (each := _held_against(ours, case)) is not None]
    return tuple(sorted(found, key=_likest)[:most])


def _held_against(ours: Sequence[Fault], case: Case) -> Precedent | None:
    alike = pairs_of(ours, case.faults)
    if all(each.ours.word is not None for each in alike):
        # Paper that is called alike is no defect by itself: half of all books are.
        return None
    mine, theirs = {each.ours.id for each in alike}, {each.theirs.id for each in alike}
    return Precedent(
        case=case,
        alike=alike,
        only_ours=tuple(each for each in ours if each.id not in mine),
        only_theirs=tuple(each for each in case.faults if each.id not in theirs),
        apart=sum((_apart(each) for each in alike), Decimal(0)),
    )


def _likest(each: Precedent) -> tuple[Decimal, Decimal, int]:
    paired = 2 * len(each.alike)
    of_all = Decimal(paired) / (paired + len(each.only_ours) + len(each.only_theirs))
    return -of_all, each.apart / len(each.alike), -each.case.graded.seq


def _apart(pair: Alike) -> Decimal:
    one, other = _size(pair.ours), _size(pair.theirs)
    return Decimal(0) if not one or not other else max(one, other) / min(one, other) - 1


def _size(fault: Fault) -> Decimal | None:
    """What it is compared by: its length, its share of the face, or how many there are."""
    if fault.size_mm is not None:
        return fault.size_mm
    number = fault.share_percent if fault.share_percent is not None else fault.count
    return None if number is None else Decimal(number)


def _key(fault: Fault) -> tuple[str, str, bool, str | None]:
    return fault.type, fault.face, fault.breaks_colour is False, fault.word


def _order(fault: Fault) -> tuple[bool, Decimal]:
    """The smallest first; what was not measured last, for it may be like any."""
    size = _size(fault)
    return size is None, size or Decimal(0)


def cases_of(moments: Sequence[Moment], graded: Sequence[Graded]) -> tuple[Case, ...]:
    """The grades of one book with what lay on it before and after the work that led to each.

    That work is all since the grade before. Keeps: a grade before which nobody looked at the book is none.
    Requires: the book's moments in the order of happening, and its grades.
    """
    places = {moment.entry.seq: place for place, moment in enumerate(moments)}
    found, since = [], 0
    for each in graded:
        until = places[each.seq if each.sent is None else each.sent]
        case = _case(moments[:until], since, each)
        since = places[each.seq]
        if case is not None:
            found.append(case)
    return tuple(found)


def _case(moments: Sequence[Moment], since: int, graded: Graded) -> Case | None:
    looks = looks_of(moments)
    if not looks:
        return None
    entry = moments[0].entry
    state = fold(entry.book or "", entry.book_no or 0, moments)
    places: Mapping[int, int] = {moment.entry.seq: place for place, moment in enumerate(moments)}
    work = tuple(each for each in state.work if places[each.seq] >= since)
    first = places[work[0].seq] if work else len(moments)
    before = _last_before(looks, places, first) or looks[-1]
    return Case(
        graded=graded,
        issue=state.issue,
        before=before.seq,
        faults=faults_at(before),
        after=looks[-1].seq,
        left=faults_at(looks[-1]),
        work=work,
    )


def _last_before(looks: Sequence[LookSeen], places: Mapping[int, int], place: int) -> LookSeen | None:
    return next((each for each in reversed(looks) if places[each.seq] < place), None)
