"""What the list of the collection can be narrowed by: each answer with how many books it has in the whole collection."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.book import Status
from ledger.drawn import LEFT
from ledger.events._parts import Holding
from ledger.events.placement import Spot
from ledger.rules.headings import Heading
from ledger.views import Tallies, Tally
from web.shelf_asked import NONE, YES, Asked
from web.wording import t

__all__ = ["Choice", "Question", "expected", "questions", "totals"]

IN_SIGHT: Final = 8
"""Places to tick; of the others one can be chosen."""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One answer: the field and value it is sent under, its words, how many books it has, whether it is ticked."""

    name: str
    value: str
    words: str
    books: int
    ticked: bool


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question with its answers; of the further ones, which are many, one can be chosen."""

    title: str
    choices: tuple[Choice, ...]
    further: tuple[Choice, ...] = ()


def totals(tallies: Tallies) -> tuple[int, int]:
    """How many books there are, and how many have left or turned out to be others."""
    left = sum(each.books for each in tallies.books if each.status in LEFT)
    return sum(each.books for each in tallies.books) - left, left


def expected(asked: Asked, tallies: Tallies) -> int:
    """How many books a list has that is narrowed only by what the tallies tell apart.

    Requires: such a list.
    """
    assert asked.counts_itself
    return sum(each.books for each in tallies.books if _lets_through(asked, each))


def questions(asked: Asked, tallies: Tallies) -> tuple[Question, ...]:
    """The questions to which there is more than one answer in this collection."""
    kept = [each for each in tallies.books if each.status not in LEFT]
    found = (_places(asked, tallies, kept), _holdings(asked, kept), _work(asked, kept), _standing(asked, tallies.books))
    return tuple(each for each in found if len(each.choices) > 1 or any(choice.ticked for choice in each.choices))


def _lets_through(asked: Asked, each: Tally) -> bool:
    if not (asked.left or asked.status) and each.status in LEFT:
        return False
    answers = (
        (asked.status, each.status),
        (asked.holding, each.holding),
        (asked.heading, each.heading or NONE),
    )
    return all(not wanted or found in wanted for wanted, found in answers) and (not asked.bench or each.on_bench)


def _places(asked: Asked, tallies: Tallies, kept: Sequence[Tally]) -> Question:
    named = sorted((_SPOTS.index(each.spot), each.place, each.books) for each in tallies.places if each.place)
    counts = _counted((place, books) for _, place, books in named)
    unknown = dict.fromkeys(asked.place, 0)
    choices = list(_choices("place", ((name, name) for name in {**counts, **unknown}), asked.place, counts))
    here = sum(each.books for each in kept if each.status == Status.HELD.value) - sum(counts.values())
    if here or asked.unnamed:
        words = t("frame.not_known")
        choices.insert(0, Choice(name="unnamed", value=YES, words=words, books=here, ticked=asked.unnamed))
    # Ticked ones stay in sight, so that each can be taken back; of the others one can be chosen beside them.
    choices.sort(key=lambda each: not each.ticked)
    seen = max(IN_SIGHT, sum(each.ticked for each in choices))
    seen = seen if len(choices) > seen + 1 else len(choices)
    return Question(title=t("collection.where"), choices=tuple(choices[:seen]), further=tuple(choices[seen:]))


def _holdings(asked: Asked, kept: Sequence[Tally]) -> Question:
    words = [(each.value, t(f"collection.holding.{each.name.lower()}")) for each in Holding]
    counts = _counted((each.holding or "", each.books) for each in kept)
    return Question(title=t("collection.raw"), choices=_choices("holding", words, asked.holding, counts))


def _work(asked: Asked, kept: Sequence[Tally]) -> Question:
    words = [(NONE, t("collection.no_work")), *((each.value, each.label) for each in Heading)]
    counts = _counted((each.heading or NONE, each.books) for each in kept)
    return Question(title=t("collection.work"), choices=_choices("heading", words, asked.heading, counts))


def _standing(asked: Asked, books: Sequence[Tally]) -> Question:
    """Where it stands with the collection; what is on the bench; what is left out unless it is asked for."""
    words = [(each.value, t(f"collection.status.{each.name.lower()}")) for each in Status if each.value not in LEFT]
    choices = _choices("status", words, asked.status, _counted((each.status, each.books) for each in books))
    benched = sum(each.books for each in books if each.on_bench)
    left = sum(each.books for each in books if each.status in LEFT)
    more = (("bench", t("collection.bench"), benched, asked.bench), ("left", t("collection.left"), left, asked.left))
    flags = tuple(
        Choice(name=name, value=YES, words=said, books=count, ticked=ticked)
        for name, said, count, ticked in more
        if count or ticked
    )
    return Question(title=t("collection.standing"), choices=(*choices, *flags))


def _counted(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for answer, books in pairs:
        counts[answer] = counts.get(answer, 0) + books
    return counts


def _choices(
    name: str, words: Iterable[tuple[str, str]], ticked: Sequence[str], counts: dict[str, int]
) -> tuple[Choice, ...]:
    """The answers that some book has, or that are ticked."""
    return tuple(
        Choice(name=name, value=value, words=said, books=counts.get(value, 0), ticked=value in ticked)
        for value, said in words
        if counts.get(value) or value in ticked
    )


_SPOTS: Final = [each.value for each in Spot]
