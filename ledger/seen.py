"""One defect at one look, held against what was known of it: new, gone, lessened, worse, not mentioned, not looked at."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from ledger.events._parts import Answer, Defect, Face, Mark
from ledger.measured import slid

__all__ = ["Change", "Claimed", "MarkSeen", "Seen", "after", "change_between", "claimed_after", "marks_after"]

_OTHERS: Final = ("count", "share_percent")
_MEASURES: Final = ("size_mm", *_OTHERS)
_STAYS: Final = ("region", "note", "photograph")
"""What a look need not say again of what is still on the same face."""


class Change(StrEnum):
    """A defect at one look against what was known of it before."""

    NEW = "new"
    CONFIRMED = "seen as claimed"
    GONE = "gone"
    BACK = "come back"
    LESSENED = "lessened"
    SAME = "same"
    UNMENTIONED = "same as before, not mentioned"
    WORSE = "worse"
    OTHERWISE = "measured otherwise"
    UNSEEN = "not looked at"


@dataclass(frozen=True, kw_only=True)
class Seen:
    """One defect as it was known after a look, and what that look changed about it."""

    defect: Defect
    change: Change
    seen_by: int
    """The entry of the look that saw it last."""
    since: int
    """The entry of the look that saw it first."""
    first_mm: str | None = None
    """The size small steps are counted from: the first, or the one at the last change that was told. Units: mm."""
    in_small_steps: bool = False
    """It is worse or lessened only against that size: no step from look to look was more than natural."""


@dataclass(frozen=True, kw_only=True)
class Claimed:
    """What somebody else claims of this copy and no look here has seen."""

    defect: Defect
    told_by: int
    """The entry that took it over."""
    looked_by: int | None = None
    """The entry of the last look since that went over its face and did not name it."""


@dataclass(frozen=True, kw_only=True)
class MarkSeen:
    """One mark of this copy as it was known after a look."""

    mark: Mark
    seen_by: int
    """The entry of the look that saw it last."""
    since: int
    """The entry of the look that saw it first."""


def after(
    known: Mapping[str, Seen], named: Mapping[str, Defect], claimed: Collection[str], faces: Collection[Face], seq: int
) -> Iterator[tuple[str, Seen]]:
    """Every defect known after a look, those that were known before it first.

    `named` are those the look saw, `faces` those it went over as a whole; `claimed` ids are known as claims alone.
    """
    for name, before in known.items():
        now = named.get(name)
        if now is None:
            change = Change.UNMENTIONED if before.defect.face in faces else Change.UNSEEN
            yield name, replace(before, change=change, in_small_steps=False)
        else:
            yield name, _against(before, now, seq)
    for name, now in named.items():
        if name not in known:
            change = Change.GONE if now.gone else Change.CONFIRMED if name in claimed else Change.NEW
            yield name, Seen(defect=now, change=change, seen_by=seq, since=seq, first_mm=now.size_mm)


def change_between(before: Defect, now: Defect) -> Change:
    """A defect at one look against how it was at another, whatever was seen between them."""
    steps = {each for name in _OTHERS if (each := _step(getattr(before, name), getattr(now, name))) is not None}
    if before.size_mm is not None and now.size_mm is not None:
        steps.add(slid(before.size_mm, now.size_mm))
    return _change(before, now, steps)


def claimed_after(
    before: Mapping[str, Claimed], claims: Collection[Defect], known: Collection[str], faces: Collection[Face], seq: int
) -> dict[str, Claimed]:
    """The claims after a look; what has been seen is a claim no longer."""
    passed = {
        name: replace(each, looked_by=seq) if each.defect.face in faces else each for name, each in before.items()
    }
    told = {each.id: Claimed(defect=each, told_by=seq) for each in claims}
    return {name: each for name, each in (passed | told).items() if name not in known}


def marks_after(before: Mapping[str, MarkSeen], marks: Collection[Mark], seq: int) -> dict[str, MarkSeen]:
    """The marks after a look; one whose place or photograph it does not say keeps those it had."""
    return {**before, **{each.id: _mark(before.get(each.id), each, seq) for each in marks}}


def _mark(before: MarkSeen | None, now: Mark, seq: int) -> MarkSeen:
    if before is None:
        return MarkSeen(mark=now, seen_by=seq, since=seq)
    if now.face is before.mark.face:
        old = before.mark
        now = replace(now, region=now.region or old.region, photograph=now.photograph or old.photograph)
    return MarkSeen(mark=now, seen_by=seq, since=before.since)


def _against(before: Seen, now: Defect, seq: int) -> Seen:
    """A defect that was known and is named again."""
    size, slowly = _size_step(before, now)
    others = {each for name in _OTHERS if (each := _step(getattr(before.defect, name), getattr(now, name))) is not None}
    change = _change(before.defect, now, others if size is None else {*others, size})
    stays = now.size_mm is None or (size == 0 and before.first_mm is not None)
    return Seen(
        defect=_as_it_was(before.defect, now),
        change=change,
        seen_by=seq,
        since=before.since,
        first_mm=before.first_mm if stays else now.size_mm,
        in_small_steps=slowly and others <= {0} and change in (Change.WORSE, Change.LESSENED),
    )


def _as_it_was(before: Defect, now: Defect) -> Defect:
    """A defect of which a look does not say place, note or photograph keeps those it had."""
    if now.face is not before.face:
        return now
    return replace(now, **{name: getattr(before, name) for name in _STAYS if getattr(now, name) is None})


def _change(before: Defect, now: Defect, steps: Collection[int]) -> Change:
    if now.gone or before.gone:
        return Change.GONE if now.gone else Change.BACK
    if before.breaks_colour is Answer.NO and now.breaks_colour is Answer.YES:
        return Change.WORSE
    if not steps:
        taken = [each for each in _MEASURES if getattr(before, each) is not None or getattr(now, each) is not None]
        return Change.OTHERWISE if taken else Change.SAME
    if 1 in steps and -1 in steps:
        return Change.OTHERWISE
    return Change.WORSE if 1 in steps else Change.LESSENED if -1 in steps else Change.SAME


def _size_step(before: Seen, now: Defect) -> tuple[int | None, bool]:
    """What the size did, None where it was not measured both times; and whether it took it many small steps."""
    old, new, first = before.defect.size_mm, now.size_mm, before.first_mm
    if old is None or new is None:
        return None, False
    at_once = slid(old, new)
    slowly = slid(first, new) if first is not None and not at_once else 0
    return at_once or slowly, slowly != 0


def _step(first: int | None, second: int | None) -> int | None:
    """1 for more, -1 for less, 0 for the same; None where it was not counted both times."""
    return None if first is None or second is None else (second > first) - (second < first)
