"""How long a book had rested before a look, read from the dates of the work and of the look where these say the day."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from ledger.when import When

__all__ = ["rest_between"]

_EXACT: Final = frozenset({"day", "instant"})
_DAY: Final = len("1998-04-03")
_HOUR: Final = timedelta(hours=1)
_HOURS: Final = 24


def rest_between(work: Sequence[tuple[When | None, int]], look: When | None) -> int | None:
    """The rest from the end of the last work to the look; None where a date says too little.

    Units: h, whole ones; minutes in all for each step of work, 0 where they are not known.
    Keeps: between two days it is as many times 24 hours as days lie between, as people count a week. Between two moments
    it is what lies between them, less the time the step took, for its moment may be the one at which it began. A span
    ends with its last day. The step that may have ended last counts, whatever else is known more exactly.
    Requires: all work before the look, in the order of happening.
    """
    if look is None or look.precision not in _EXACT or not work or work[-1][0] is None:
        return None
    known: list[tuple[date, int]] = []
    vague: list[date] = []
    for when, minutes in work:
        hours = None if when is None else _between(when, minutes, look)
        if when is not None and hours is not None:
            known.append((when.latest_day, hours))
        elif when is not None:
            vague.append(when.latest_day)
    if not known or max(vague, default=date.min) >= max(known)[0]:
        return None
    return max(0, min(hours for _, hours in known))


def _between(work: When, minutes: int, look: When) -> int | None:
    if work.instant is not None and look.instant is not None:
        return (look.instant - work.instant - timedelta(minutes=minutes)) // _HOUR
    end = _last_day(work)
    return None if end is None else (look.earliest_day - end).days * _HOURS


def _last_day(work: When) -> date | None:
    """The day on which it was over; None where only a month or a year is known."""
    exact = work.precision in _EXACT or len(work.text.partition("/")[2]) == _DAY
    return work.latest_day if exact else None
