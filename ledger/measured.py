"""What each look says of the whole book, held against the last time it was said, and the first: size, pages, paper, grade."""

from collections.abc import MutableMapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, NamedTuple

from ledger.events._parts import Answer
from ledger.events.examination import Examination
from ledger.rules.grades import Grade

__all__ = ["NATURAL_MM", "NATURAL_SOURCE", "Measured", "Told", "measured", "slid"]

NATURAL_MM: Final = Decimal(1)
"""A length that changes by less has not changed: paper moves with the weather, and a rule is read to half a millimetre."""
NATURAL_SOURCE: Final = "our assumption"
_MM: Final = ("height_mm", "width_mm", "thickness_mm")
_NUMBERS: Final = (*_MM, "weight_g", "pages_counted", "staples_counted")
_GRADES: Final = ("presents_as", "technical")
_NAMES: Final = (*_GRADES, *_NUMBERS, "completeness", "staple_rust", "tone", "suppleness", "odour")


class Told(NamedTuple):
    """What was said of one thing the first time and the last, and by which entries."""

    first: str
    first_seq: int
    last: str
    last_seq: int


@dataclass(frozen=True, kw_only=True)
class Measured:
    """One thing that a look says of the whole book, and what was said of it the last time.

    Units: as the name says, as text.
    """

    name: str
    """A field of the examination."""
    value: str | None
    """None where this look does not say it."""
    before: str | None
    before_seq: int | None
    """The entry that said it the last time before."""
    step: int | None
    """1 more, -1 less, 0 the same; of words 0 the same and 1 another. None where there is nothing to compare."""
    first: str | None = None
    first_seq: int | None = None
    """The entry that said it the first time."""
    slide: int | None = None
    """The same as `step` against the first time: many small steps come to one that is not natural."""


def measured(told: MutableMapping[str, Told], event: Examination, seq: int) -> tuple[Measured, ...]:
    """Everything a look says, or could have said, of the whole book; what it says is remembered in `told`."""
    found = []
    for name in _NAMES:
        value, before = _said(event, name), told.get(name)
        found.append(
            Measured(
                name=name,
                value=value,
                before=before.last if before else None,
                before_seq=before.last_seq if before else None,
                step=_step(name, before.last, value) if before and value is not None else None,
                first=before.first if before else None,
                first_seq=before.first_seq if before else None,
                slide=_step(name, before.first, value) if before and value is not None else None,
            )
        )
        if value is not None:
            told[name] = Told(before.first, before.first_seq, value, seq) if before else Told(value, seq, value, seq)
    return tuple(found)


def slid(first: str, now: str) -> int:
    """1 for longer, -1 for shorter, 0 where a length has changed by less than is natural. Units: mm."""
    by = Decimal(now) - Decimal(first)
    return 0 if abs(by) < NATURAL_MM else 1 if by > 0 else -1


def _said(event: Examination, name: str) -> str | None:
    """A field as text; whoever is unsure of an answer has not said it."""
    value = getattr(event, name)
    return None if value is None or value is Answer.UNSURE else str(value)


def _step(name: str, before: str, now: str) -> int:
    if name in _MM:
        return slid(before, now)
    if name in _GRADES:
        by = Decimal(Grade(now).step - Grade(before).step)
    elif name in _NUMBERS:
        by = Decimal(now) - Decimal(before)
    else:
        return int(now != before)
    return (by > 0) - (by < 0)
