"""Dates that have not come yet by the ledger's clock: they may be slips of the hand, so whoever writes them is told."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import datetime, timedelta
from typing import Final

from ledger.entry import Entry
from ledger.events import Event
from ledger.events.correction import Correction
from ledger.ports import Codec
from ledger.when import When

__all__ = ["PLANNED", "ahead_warnings"]

PLANNED: Final = frozenset({"cover_date", "due", "due_back", "valid_until"})
"""Dates that may lie ahead: what is planned, and what publishers print."""

_ELSEWHERE = timedelta(days=1)
"""Somewhere on earth it is tomorrow already."""


def ahead_warnings(event: Event, entries: Sequence[Entry], codec: Codec, now: datetime) -> list[str]:
    """One warning for each date it gives that has come nowhere on earth yet; of a correction, for each it changes.

    Keeps: a sealed value is not looked into, for a warning is kept beside what was asked.
    """
    said, names = event, None
    if isinstance(event, Correction):
        target = next((entry.event for entry in entries if entry.seq == event.entry), event)
        said, names = codec.amended(target, event.changes), event.changes.keys()
    last = now.date() + _ELSEWHERE
    return [
        f"{title}: {date.label()} has not come yet by this computer's clock. If that is not meant, correct it."
        for title, date in _dates(said, names)
        if date.earliest_day > last
    ]


def _dates(value: object, names: Collection[str] | None = None) -> Iterator[tuple[str, When]]:
    """Every date in it that tells of something past, with its title; of the event itself only fields of these names."""
    if isinstance(value, tuple | list):
        for each in value:
            yield from _dates(each)
    elif isinstance(value, Mapping):
        yield from _dates([*value.values()])
    elif is_dataclass(value) and not isinstance(value, type):
        for part in fields(value):
            inner = getattr(value, part.name)
            if part.name in PLANNED or (names is not None and part.name not in names):
                continue
            if isinstance(inner, When):
                yield str(part.metadata.get("title", part.name)), inner
            else:
                yield from _dates(inner)
