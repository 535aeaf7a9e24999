"""A cell that says more, or less exactly, than its field can hold: what is read of it, and what becomes of the rest."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from ledger.errors import Problem
from ledger.importing.fields import BY_NAME

__all__ = ["Loose", "noted", "settle"]

_NOTE: Final = "note"


@dataclass(frozen=True, kw_only=True)
class Loose:
    """What was read of such a cell."""

    value: Any = None
    """Of its own field; None for nothing."""
    more: Mapping[str, Any] = field(default_factory=dict)
    """What it says of other fields."""
    words: str = ""
    """As it was written, where what was read says less; empty where nothing is lost."""


def settle(
    loose: Sequence[tuple[str, Loose]], read: dict[str, Any], problems: list[Problem]
) -> tuple[tuple[str, str], ...]:
    """Puts all of it among what was read; the words that would be lost go into the note, and are returned by field.

    Keeps: a field that says something else by itself is never overruled, the contradiction is a problem.
    """
    kept: list[tuple[str, str]] = []
    for name, each in loose:
        if each.value is not None:
            read[name] = each.value
        for other, value in each.more.items():
            if read.setdefault(other, value) != value:
                title = BY_NAME[other].title
                sentence = f"Here it says {value}, and {title} says {read[other]}. Change one of them."
                problems.append(Problem(field=name, sentence=sentence))
        if each.words:
            kept.append((name, each.words))
    noted(kept, read)
    return tuple(kept)


def noted(kept: Sequence[tuple[str, str]], read: dict[str, Any]) -> None:
    """Words of these fields go into the note."""
    if kept:
        own, words = read.get(_NOTE), "; ".join(f"{BY_NAME[name].title}, as written: {said}" for name, said in kept)
        read[_NOTE] = words if own is None else f"{own} ({words})"
