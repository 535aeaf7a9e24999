"""What a recipe did: each time a book was worked by it, and what the look after a week of rest said of its defects.

Everything is read from the entries as they are in force now, so that a correction counts here as anywhere.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TypeVar

from ledger.bench import Recipe, Run
from ledger.dose import Heat, heat_of
from ledger.events._parts import Answer, Defect, Issue
from ledger.events.examination import Examination, Suppleness, Tone
from ledger.events.intervention import Intervention
from ledger.history import Moment, fold
from ledger.looks import LookSeen, looks_of, may_ease
from ledger.rules.sizes import era_of
from ledger.seen import Change, Seen, change_between
from ledger.when import When

__all__ = ["Outcome", "Paper", "Passage", "Standing", "passages_of"]

T = TypeVar("T")

Histories = Mapping[str, Sequence[Moment]]


class Standing(StrEnum):
    """How much is known of what one time came to."""

    SEEN = "seen after a rest"
    WAITING = "not seen after a rest yet"
    OVERTAKEN = "worked on again before that"
    LEFT = "left the collection before that"
    WITHDRAWN = "withdrawn"
    LOST = "not found"


@dataclass(frozen=True, kw_only=True)
class Paper:
    """What it was done to: the time the issue is of, and the paper as the looks tell it; None is not known.

    `tone` and `suppleness` are what was last said of them before the work, or else what was said first after it.
    """

    era: str | None = None
    """Id of a row of the table of sizes, by cover date."""
    tone: Tone | None = None
    suppleness: Suppleness | None = None


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One defect that was worked, as it was before, and what the look after a rest found against that."""

    defect: Defect
    change: Change | None
    """None where other work reached the defect too, so that nobody can tell what did it."""


@dataclass(frozen=True, kw_only=True)
class Passage:
    """One time a book was worked by a recipe: steps that followed one another, from the first to the last that was told."""

    book: str
    runs: tuple[Run, ...]
    entries: tuple[int, ...]
    """The entries in force that tell of it, in the order of happening."""
    on: When | None
    steps: int
    """Of the recipe, in the state by which it was last worked."""
    standing: Standing
    issue: Issue | None = None
    paper: Paper = Paper()
    heat: Heat | None = None
    """None where there is no entry in force."""
    named: bool = False
    """The entries name the defects they worked; otherwise those count that were there and broke no colour."""
    worked: tuple[Defect, ...] = ()
    """Those defects as they were known before, whether a look has followed or not."""
    outcomes: tuple[Outcome, ...] = ()
    look: int | None = None
    """The entry of the look that counts."""
    new: tuple[Defect, ...] = ()
    """Defects that were first seen since, up to that look."""

    @property
    def counts(self) -> bool:
        """Something was done."""
        return self.standing not in (Standing.WITHDRAWN, Standing.LOST)

    @property
    def states(self) -> tuple[int, ...]:
        """The states of the recipe by which it was worked."""
        return tuple(dict.fromkeys(run.state for run in self.runs))

    @property
    def reached(self) -> int:
        """The last step that was told, from 1."""
        return max(run.place for run in self.runs) + 1

    @property
    def is_whole(self) -> bool:
        """Every step of the recipe was told, and none came out before its time."""
        return len({run.place for run in self.runs}) == self.steps and not any(run.early for run in self.runs)


def passages_of(recipe: Recipe, histories: Histories) -> tuple[Passage, ...]:
    """Every time a book was worked by a recipe, in the order in which they were begun.

    Keeps: a step that does not lie behind the one before begins another time, and so does what follows the last step.
    Requires: the history of each book in the order of happening; one that is not here is left out.
    """
    by_book: dict[str, list[tuple[Run, int]]] = {}
    order: dict[str, int] = {}
    steps = {each.number: len(each.steps) for each in recipe.states}
    for place, run in enumerate(recipe.runs):
        for book, seq in run.told:
            by_book.setdefault(book, []).append((run, seq))
            order.setdefault(f"{book} {run.load}", place)
    found = [
        _passage(steps.get(part[-1][0].state, len(recipe.steps)), book, part, histories)
        for book, told in by_book.items()
        for part in _parts(told, steps)
    ]
    return tuple(sorted(found, key=lambda each: order[f"{each.book} {each.runs[0].load}"]))


def _parts(told: Sequence[tuple[Run, int]], steps: Mapping[int, int]) -> Iterator[list[tuple[Run, int]]]:
    part = [told[0]]
    for (before, _), (now, seq) in pairwise(told):
        is_whole = before.place + 1 >= steps.get(before.state, 0)
        if now.load != before.load and (is_whole or now.place <= before.place):
            yield part
            part = []
        part.append((now, seq))
    yield part


def _passage(steps: int, book: str, told: Sequence[tuple[Run, int]], histories: Histories) -> Passage:
    runs = tuple({run.load: run for run, _ in told}.values())
    moments, seqs = histories.get(book, ()), {seq for _, seq in told}
    tale = _Tale(moments, seqs)
    if not tale.own:
        named = {moment.entry.seq for moment in moments}
        standing = Standing.WITHDRAWN if seqs & named else Standing.LOST
        return Passage(book=book, runs=runs, entries=(), on=None, steps=steps, standing=standing)
    first = moments[tale.own[0]]
    look, now = tale.look(), fold(book, first.entry.book_no or 0, moments)
    return Passage(
        book=book,
        runs=runs,
        entries=tuple(moments[place].entry.seq for place in tale.own),
        on=first.event.on,
        steps=steps,
        standing=tale.standing(look, is_here=now.held),
        issue=now.issue,
        paper=tale.paper(now.issue),
        heat=heat_of(moments[place] for place in tale.own),
        named=bool(tale.named),
        worked=tuple(known for name in tale.worked() if (known := tale.known(name)) is not None),
        outcomes=tuple(tale.outcomes(look)) if look is not None else (),
        look=None if look is None else look.seq,
        new=tuple(tale.new(look)) if look is not None else (),
    )


class _Tale:
    """One book's history around one time it was worked; places are those of its moments."""

    def __init__(self, moments: Sequence[Moment], seqs: set[int]) -> None:
        self.moments = moments
        self.steps = {
            place: moment.event
            for place, moment in enumerate(moments)
            if moment.in_force and isinstance(moment.event, Intervention)
        }
        self.own = [place for place in self.steps if moments[place].entry.seq in seqs]
        places = {moment.entry.seq: place for place, moment in enumerate(moments)}
        self.looks = [(places[look.seq], look) for look in looks_of(moments)]
        self.named = tuple(dict.fromkeys(name for place in self.own for name in self.steps[place].worked_ids))

    def look(self) -> LookSeen | None:
        """The look that counts: the last one after a week of rest, with no other work since."""
        last = self.own[-1]
        end = min((place for place in self.steps if place > last), default=len(self.moments))
        rested = [look for place, look in self.looks if last < place < end and look.rested]
        return rested[-1] if rested else None

    def standing(self, look: LookSeen | None, *, is_here: bool) -> Standing:
        """Whether there is such a look, and whether there can still be one."""
        if look is not None:
            return Standing.SEEN
        if any(place > self.own[-1] for place in self.steps):
            return Standing.OVERTAKEN
        return Standing.WAITING if is_here else Standing.LEFT

    def paper(self, issue: Issue | None) -> Paper:
        """Era, tone and suppleness."""
        cover = issue.cover_date if issue is not None else None
        return Paper(
            era=None if cover is None else era_of(cover.earliest_day.year, cover.latest_day.year),
            tone=self._said(lambda look: look.tone),
            suppleness=self._said(lambda look: look.suppleness),
        )

    def outcomes(self, look: LookSeen) -> Iterator[Outcome]:
        """Every defect that was worked, or may have been, and was known to be there before."""
        found = {each.defect.id: each for each in look.seen}
        for name in self.worked():
            before = self.known(name)
            if before is None or before.gone:
                continue
            if found[name].seen_by != look.seq:
                yield Outcome(defect=before, change=Change.UNSEEN)
            elif self._reached_otherwise(before, look):
                yield Outcome(defect=before, change=None)
            else:
                yield Outcome(defect=before, change=change_between(before, found[name].defect))

    def worked(self) -> Sequence[str]:
        """The defects that the steps name, or else those that they may have eased."""
        return self.named or may_ease(self._before(self.own[0])[1])

    def known(self, name: str) -> Defect | None:
        """A defect as the last look before it was worked knew it."""
        seen = self._before(self._begun(name))[1]
        return next((each.defect for each in seen if each.defect.id == name), None)

    def new(self, look: LookSeen) -> Iterator[Defect]:
        """Defects that are there and that the look before the work did not know; none where there was no such look."""
        since, known = self._before(self.own[0])
        before = {each.defect.id for each in known}
        for each in look.seen if since is not None else ():
            if each.defect.id not in before and not each.defect.gone:
                yield each.defect

    def _said(self, of: Callable[[Examination], T | None]) -> T | None:
        """What the looks say of the paper."""
        said = [(place, value) for place, look in self.looks if (value := of(look.event)) is not None]
        before = [value for place, value in said if place < self.own[0]]
        return before[-1] if before else said[0][1] if said else None

    def _begun(self, defect: str) -> int:
        """The place of the first step that worked it."""
        places = (place for place in self.own if defect in self.steps[place].worked_ids)
        return min(places, default=self.own[0])

    def _before(self, place: int) -> tuple[int | None, Sequence[Seen]]:
        """The last look before a place, and all that was known after it."""
        found = [(at, look.seen) for at, look in self.looks if at < place]
        return found[-1] if found else (None, ())

    def _reached_otherwise(self, defect: Defect, look: LookSeen) -> bool:
        """Other work between the two looks names the defect, or names none and may have eased it."""
        since, _ = self._before(self._begun(defect.id))
        until = next(place for place, each in self.looks if each.seq == look.seq)
        between = (step for place, step in self.steps.items() if (since or 0) < place < until and place not in self.own)
        eased = defect.breaks_colour is Answer.NO
        return any(defect.id in step.worked_ids or (eased and not step.worked_ids) for step in between)
