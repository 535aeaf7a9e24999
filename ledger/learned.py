"""What this collector's own work came to, defect by defect, as looks after a week of rest found it; claims never count."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from ledger.events._parts import Answer, Defect
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.history import Moment
from ledger.looks import LookSeen, looks_of, may_ease
from ledger.rules.book_ceiling import Fault
from ledger.rules.chances import ChanceRow, Chances, Eased, chance_row, updated
from ledger.rules.defects import defect_types
from ledger.rules.headings import Heading
from ledger.seen import Change, Seen, change_between

__all__ = ["Came", "came_of", "eased", "learned_chances"]

FLATTENS: Final = frozenset({"cold-press", "hot-press-dry", "hot-press-humidified", "humidification", "local-heat"})
CLEANS: Final = frozenset({"dry-cleaning", "erase-pencil"})
"""Techniques by what they are meant for: wear of the paper, dirt upon it. Our assumption."""
_COUNTS: Final[Mapping[Change, str]] = MappingProxyType(
    {Change.GONE: "gone", Change.LESSENED: "lessened", Change.SAME: "same", Change.WORSE: "same"}
)
"""As what it counts; what was measured otherwise tells nothing and counts as nothing."""


@dataclass(frozen=True, kw_only=True)
class Came:
    """What a round of work came to for one defect: as it was known before, and what the look after a rest found."""

    defect: Defect
    change: Change
    look: int
    """The entry of that look."""

    @property
    def counts_as(self) -> str | None:
        """gone, lessened or same; worse counts as the same. None where it was measured otherwise."""
        return _COUNTS.get(self.change)


def came_of(moments: Sequence[Moment]) -> tuple[Came, ...]:
    """Every defect of one book that a round of work reached, and what became of it.

    A round is all the work up to the last look after a week of rest before the next work; what no such look saw does
    not count. A step that names no defect counts for those that broke no colour: of wear, where it flattens, of dirt,
    where it cleans. What other hands worked, or work that is more than non-additive, says nothing of such work here, so
    a defect it may have reached is left out.
    Requires: moments of one book in the order of happening.
    """
    looks = looks_of(moments)
    by_seq = {each.seq: each for each in looks}
    found: list[Came] = []
    round_: list[tuple[Intervention, tuple[Seen, ...]]] = []
    known: tuple[Seen, ...] = ()
    closing: LookSeen | None = None
    for moment in moments:
        event = moment.event
        if not moment.in_force:
            continue
        if isinstance(event, Intervention):
            if closing is not None:
                found += _round(round_, closing)
                round_, closing = [], None
            round_.append((event, known))
        elif isinstance(event, Examination):
            look = by_seq[moment.entry.seq]
            known = look.seen
            closing = look if look.rested and round_ else closing
    return (*found, *(_round(round_, closing) if closing is not None else ()))


def _round(steps: Sequence[tuple[Intervention, tuple[Seen, ...]]], look: LookSeen) -> Iterator[Came]:
    before: dict[str, Defect] = {}
    left_out: set[str] = set()
    for step, known in steps:
        there = {each.defect.id: each.defect for each in known if not each.defect.gone}
        reached = step.worked_ids or _may_reach(step, known)
        if step.by_other_hands or step.heading is not Heading.NON_ADDITIVE:
            left_out.update(step.worked_ids or there)
        for name in reached:
            if name in there:
                before.setdefault(name, there[name])
    for each in look.seen:
        was = before.get(each.defect.id)
        if was is not None and each.defect.id not in left_out and each.seen_by == look.seq:
            yield Came(defect=was, change=change_between(was, each.defect), look=look.seq)


def _may_reach(step: Intervention, known: Sequence[Seen]) -> tuple[str, ...]:
    """What a step that names no defect may have eased."""
    group = "wear" if step.technique in FLATTENS else "dirt" if step.technique in CLEANS else ""
    types = {each.id for each in defect_types() if each.group == group}
    of_type = {each.defect.id for each in known if each.defect.type in types}
    return tuple(name for name in may_ease(known) if name in of_type)


def eased(came: Iterable[Came], rows: Sequence[ChanceRow] | None = None) -> Mapping[str, Eased]:
    """How often each outcome was met, by the row that speaks of the defect as it was before."""
    counts: dict[str, Counter[str]] = {}
    for each in came:
        outcome = each.counts_as
        if outcome is not None:
            counts.setdefault(_row(each.defect, rows).id, Counter())[outcome] += 1
    return MappingProxyType(
        {row: Eased(gone=of["gone"], lessened=of["lessened"], same=of["same"]) for row, of in counts.items()}
    )


def learned_chances(
    faults: Sequence[Fault], seen: Mapping[str, Eased], rows: Sequence[ChanceRow] | None = None
) -> Mapping[str, Chances]:
    """The chances of each defect by its id: those of its row, updated by what was seen of such defects."""
    found = {}
    for each in faults:
        row = chance_row(each.type, breaks_colour=each.breaks_colour, rows=rows)
        found[each.id] = updated(row, seen.get(row.id, Eased()))
    return MappingProxyType(found)


def _row(defect: Defect, rows: Sequence[ChanceRow] | None) -> ChanceRow:
    breaks = {Answer.YES: True, Answer.NO: False}.get(defect.breaks_colour)
    return chance_row(defect.type, breaks_colour=breaks, rows=rows)
