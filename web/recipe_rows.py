"""The rows of a recipe's form: what was typed step by step, and what a button does to them."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.bench import FIELDS, STEPS_MOST, Step
from web.posted import Posted
from web.starters import asked_for

__all__ = ["Moved", "moved", "rows_in", "rows_of"]

ROW: Final = re.compile(r"steps\.(\d{1,3})\.(.+)")
Row = Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Moved:
    """The rows after a button, and the number of the one to look at; None where no one is new or has moved."""

    rows: tuple[Row, ...]
    at: int | None = None


def rows_of(steps: Sequence[Step]) -> tuple[Row, ...]:
    """The rows of steps that are kept."""
    return tuple(each.values for each in steps)


def rows_in(posted: Posted) -> tuple[Row, ...]:
    """The rows as they were typed, in their order."""
    found: dict[int, dict[str, str]] = {}
    for name, value in posted.fields:
        said = ROW.fullmatch(name)
        if said is not None and said[2] in FIELDS:
            row = found.setdefault(int(said[1]), {})
            if value.strip():
                row[said[2]] = value.strip()
    return tuple(found[place] for place in sorted(found))


def moved(rows: Sequence[Row], do: str) -> Moved | None:
    """What a button makes of the rows; None for one that keeps them."""
    name, _, said = do.partition(":")
    if name == "more":
        return _with(rows, {})
    if name == "starter":
        tapped = asked_for(do)
        return Moved(rows=tuple(rows)) if tapped is None else _with(rows, tapped.values)
    if name not in ("up", "down", "out"):
        return None
    place = int(said) if said.isascii() and said.isdecimal() else len(rows)
    return _shifted(list(rows), name, place) if place < len(rows) else Moved(rows=tuple(rows))


def _with(rows: Sequence[Row], row: Row) -> Moved:
    if len(rows) >= STEPS_MOST:
        return Moved(rows=tuple(rows))
    return Moved(rows=(*rows, row), at=len(rows))


def _shifted(rows: list[Row], name: str, place: int) -> Moved:
    row = rows.pop(place)
    if name == "out":
        return Moved(rows=tuple(rows))
    to = max(0, place - 1) if name == "up" else min(len(rows), place + 1)
    rows.insert(to, row)
    return Moved(rows=tuple(rows), at=to)
