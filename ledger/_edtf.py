"""The strict spelling of dates: a subset of EDTF (ISO 8601-2:2019 annex A), in which one meaning has one text."""

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone

from ledger.proof.report import MalformedError

__all__ = [
    "EAST_MOST",
    "FIRST_YEAR",
    "LAST_YEAR",
    "MONTHS",
    "MONTHS_BEGIN",
    "WEST_MOST",
    "SpellingError",
    "Spelt",
    "WhenError",
    "in_words",
    "spelt",
]

FIRST_YEAR, LAST_YEAR = 1800, 2999
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
MONTHS_BEGIN = "|".join(name[:3].casefold() for name in MONTHS)
"""How the name of a month begins, as ways in a pattern."""

EAST_MOST, WEST_MOST = timedelta(hours=14), timedelta(hours=12)
"""A bare day begins somewhere on earth this long before it begins in UTC, and ends this long after it ends there.

Source: IANA time zone database: civil offsets lie between -12:00 and +14:00.
"""

_DAY = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?")
_DECADE = re.compile(r"([0-9]{3})X")
_MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([0-9]{2}):([0-9]{2}):([0-9]{2})(Z|[+-][0-9]{2}:[0-9]{2})?")
_LAST_HOUR, _LAST_MINUTE, _LAST_MONTH = 23, 59, 12


@dataclass(eq=False, kw_only=True)
class WhenError(MalformedError):
    """A text that is no date; `text` is what was written."""

    text: str
    what: str = "Date"


@dataclass(eq=False, kw_only=True)
class SpellingError(WhenError):
    """A text that is not in the strict spelling at all, whatever it may mean."""


@dataclass(frozen=True)
class Spelt:
    """What a strict text says: how exactly, from which day to which, and the moment if it is one."""

    precision: str
    earliest_day: date
    latest_day: date
    instant: datetime | None = None


def spelt(text: str) -> Spelt:
    """What this text says.

    Raises: WhenError, for any text that is not the one spelling of its meaning.
    """
    if found := _MOMENT.fullmatch(text):
        return _moment(text, found)
    if found := _DECADE.fullmatch(text):
        first = _year(text, int(found[1]) * 10)
        return Spelt("decade", date(first, 1, 1), date(first + 9, 12, 31))
    if text.count("/") == 1:
        begin, end = (_days(text, part) for part in text.split("/"))
        if begin.earliest_day > end.latest_day or begin == end:
            problem = "the interval does not run from an earlier to a later date"
            mend = "Write the earlier one first; a single date needs no interval."
            raise WhenError(text=text, problem=problem, mend=mend)
        return Spelt("interval", begin.earliest_day, end.latest_day)
    return _days(text, text)


def _days(whole: str, text: str) -> Spelt:
    """A year, month or day."""
    found = _DAY.fullmatch(text)
    if not found:
        problem = f"{text!r} is not a date in the one spelling it must have"
        mend = "Write 1998, 1998-04, 1998-04-03, 199X, 1998/1999 or 2024-05-01T14:30:00+02:00."
        raise SpellingError(text=whole, problem=problem, mend=mend)
    year = _year(whole, int(found[1]))
    if found[2] is None:
        return Spelt("year", date(year, 1, 1), date(year, 12, 31))
    month = int(found[2])
    if not 1 <= month <= _LAST_MONTH:
        raise WhenError(text=whole, problem=f"there is no month {found[2]}", mend="Months run from 01 to 12.")
    last = monthrange(year, month)[1]
    if found[3] is None:
        return Spelt("month", date(year, month, 1), date(year, month, last))
    if not 1 <= int(found[3]) <= last:
        problem = f"there is no day {found[3]} in {MONTHS[month - 1]} {year}"
        raise WhenError(text=whole, problem=problem, mend=f"Days run from 01 to {last} there.")
    day = date(year, month, int(found[3]))
    return Spelt("day", day, day)


def _moment(text: str, found: re.Match[str]) -> Spelt:
    """A day with its time and its offset; no leap second and no midnight of the day before."""
    day = _days(text, found[1]).earliest_day
    hour, minute, second = int(found[2]), int(found[3]), int(found[4])
    if hour > _LAST_HOUR or minute > _LAST_MINUTE or second > _LAST_MINUTE:
        mend = "Hours run to 23, minutes and seconds to 59."
        raise WhenError(text=text, problem=f"there is no time of day {text[11:19]}", mend=mend)
    if found[5] is None:
        mend = f"Write the offset of the place, for example {text}+02:00, or {text}Z for UTC."
        raise WhenError(text=text, problem="a time of day without its offset from UTC is no moment", mend=mend)
    return Spelt("instant", day, day, datetime.combine(day, time(hour, minute, second), _zone(text, found[5])))


def _zone(text: str, written: str) -> timezone:
    if written == "Z":
        return UTC
    hours, minutes = int(written[1:3]), int(written[4:])
    offset = timedelta(hours=hours, minutes=minutes) * (-1 if written[0] == "-" else 1)
    if minutes > _LAST_MINUTE or not offset or not -WEST_MOST <= offset <= EAST_MOST:
        mend = "Write an offset from -12:00 to +14:00, and Z for UTC itself."
        raise WhenError(text=text, problem=f"{written} is not an offset from UTC in its one spelling", mend=mend)
    return timezone(offset)


def _year(text: str, year: int) -> int:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        problem = f"the year {year} is outside {FIRST_YEAR} to {LAST_YEAR}"
        raise WhenError(text=text, problem=problem, mend="Check the year.")
    return year


def in_words(text: str) -> str:
    """A year, month, day or decade in plain words."""
    if text.endswith("X"):
        return f"{text[:3]}0s"
    year, *rest = text.split("-")
    words = [MONTHS[int(rest[0]) - 1], year] if rest else [year]
    return " ".join([str(int(rest[1])), *words] if len(rest) > 1 else words)
