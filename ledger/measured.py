"""What each look says of the whole book, held against the last time it was said: size, weight, pages, paper, grade."""

from collections.abc import MutableMapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from ledger.events._parts import Answer
from ledger.events.examination import Examination
from ledger.rules.grades import Grade

__all__ = ["NATURAL_MM", "NATURAL_SOURCE", "Measured", "measured"]

NATURAL_MM: Final = Decimal(1)
"""A length that changes by less has not changed: paper moves with the weather, and a rule is read to half a millimetre."""
NATURAL_SOURCE: Final = "our assumption"
_MM: Final = ("height_mm", "width_mm", "thickness_mm")
_NUMBERS: Final = (*_MM, "weight_g", "pages_counted")
_NAMES: Final = ("presents_as", *_NUMBERS, "completeness", "tone", "suppleness", "odour")


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


def measured(last: MutableMapping[str, tuple[str, int]], event: Examination, seq: int) -> tuple[Measured, ...]:
    """Everything a look says, or could have said, of the whole book; what it says is remembered in `last`."""
    found = []
    for name in _NAMES:
        value = _said(event, name)
        before, before_seq = last.get(name, (None, None))
        step = None if value is None or before is None else _step(name, before, value)
        found.append(Measured(name=name, value=value, before=before, before_seq=before_seq, step=step))
        if value is not None:
            last[name] = (value, seq)
    return tuple(found)


def _said(event: Examination, name: str) -> str | None:
    """A field as text; whoever is unsure of completeness has not said it."""
    value = getattr(event, name)
    return None if value is None or value is Answer.UNSURE else str(value)


def _step(name: str, before: str, now: str) -> int:
    if name == "presents_as":
        by = Decimal(Grade(now).step - Grade(before).step)
    elif name in _NUMBERS:
        by = Decimal(now) - Decimal(before)
    else:
        return int(now != before)
    if name in _MM and abs(by) < NATURAL_MM:
        return 0
    return (by > 0) - (by < 0)
