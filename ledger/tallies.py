"""What a recipe came to in all: how often on how many books, and what became of the defects that were seen again."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.looks import Change
from ledger.worked import Outcome, Passage, Standing

__all__ = ["FEW", "Tally", "by_passage", "by_type", "in_all"]

FEW: Final = 10
"""Fewer defects seen again say what happened, and little of what will. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Some of the times a recipe was worked, or some of the defects, counted."""

    key: str | None
    """What they have in common; None where that is not known, or where it is all of them."""
    times: int
    books: int
    changes: Mapping[Change, int]
    """Of the defects that the look after a rest saw."""
    unseen: int
    """Worked, and not looked at then."""
    shared: int
    """Reached by other work too, so not counted."""
    waiting: int = 0
    """Times that no look after a rest has told of yet."""
    overtaken: int = 0
    """Times after which the book was worked on again before such a look."""
    left: int = 0
    """Times after which the book left the collection before such a look."""

    @property
    def seen(self) -> int:
        """Defects that the look after a rest saw, and that nothing else had reached."""
        return sum(self.changes.values())

    @property
    def few(self) -> bool:
        """There are so few that they say little."""
        return self.seen < FEW


def in_all(passages: Sequence[Passage]) -> Tally:
    """All times at which something was done."""
    return _tally(None, [each for each in passages if each.counts])


def by_passage(
    passages: Sequence[Passage], key: Callable[[Passage], str | None], order: Sequence[str] = ()
) -> tuple[Tally, ...]:
    """The same by what a key says of each time, in that order, what is not known last."""
    groups: dict[str | None, list[Passage]] = {}
    for each in passages:
        if each.counts:
            groups.setdefault(key(each), []).append(each)
    places = {name: place for place, name in enumerate(order)}
    names = sorted(groups, key=lambda name: (name is None, places.get(name or "", len(places)), name or ""))
    return tuple(_tally(name, groups[name]) for name in names)


def by_type(passages: Sequence[Passage]) -> tuple[Tally, ...]:
    """The defects by their type, those that were met most often first."""
    groups: dict[str, list[tuple[Passage, Outcome]]] = {}
    for each in passages:
        for outcome in each.outcomes:
            groups.setdefault(outcome.defect.type, []).append((each, outcome))
    return tuple(
        _counted(name, [passage for passage, _ in pairs], [outcome for _, outcome in pairs])
        for name, pairs in sorted(groups.items(), key=lambda each: (-len(each[1]), each[0]))
    )


def _tally(key: str | None, passages: Sequence[Passage]) -> Tally:
    return _counted(key, passages, [outcome for each in passages for outcome in each.outcomes])


def _counted(key: str | None, passages: Sequence[Passage], outcomes: Sequence[Outcome]) -> Tally:
    counts = Counter(each.change for each in outcomes)
    once = {(each.book, each.runs[0].load): each for each in passages}.values()
    stands = Counter(each.standing for each in once)
    return Tally(
        key=key,
        times=len(once),
        books=len({each.book for each in once}),
        changes={change: counts[change] for change in Change if change is not Change.UNSEEN and counts[change]},
        unseen=counts[Change.UNSEEN],
        shared=counts[None],
        waiting=stands[Standing.WAITING],
        overtaken=stands[Standing.OVERTAKEN],
        left=stands[Standing.LEFT],
    )
