"""Days of a list: read exactly where they are written so, else leniently; and none of a year that nobody wrote."""

import re
from datetime import date
from functools import partial
from typing import Final, Literal

from ledger.importing.cells import short_of, unread
from ledger.importing.loose import Loose
from ledger.importing.loose_dates import counted_day, loose_day
from ledger.when import AmbiguousDateError, When, WhenError, read_when

__all__ = ["day_of"]

Order = Literal["dmy", "mdy", "ymd"] | None
_FULL_YEAR: Final = re.compile(r"(?<!\d)\d{4}(?!\d)|\d{5}")


def day_of(text: str, *, order: Order, today: date, is_printed: bool) -> When | Loose:
    """The day or stretch of time; `order` says which number is the day where that is left open.

    Keeps: nothing was bought later than today, and a list says its years: what a form takes for this year is refused.
    Raises: MalformedError.
    """
    found = _read(text, order, today, is_printed=is_printed)
    if not _FULL_YEAR.search(text) and found != _read(text, order, _a_year_later(today), is_printed=is_printed):
        raise unread(text, f"{short_of(text)} does not say which year", "Write the year too, like 3 April 1998.")
    day = found.value if isinstance(found, Loose) else found
    if not is_printed and day is not None and day.earliest_day > today:
        raise unread(text, f"{day.label()} is still to come", "Write a day that has been.")
    return found


def _read(text: str, order: Order, today: date, *, is_printed: bool) -> When | Loose:
    exact = partial(_exact, order, today)
    try:
        return counted_day(text) or exact(text)
    except AmbiguousDateError:
        raise
    except WhenError:
        found = loose_day(text, exact, today=today, is_printed=is_printed)
        if found is None:
            raise
        return found


def _exact(order: Order, today: date, text: str) -> When:
    try:
        return read_when(text, today=today)
    except AmbiguousDateError:
        # What can be meant in one way only is read so, whatever is said of the others.
        return read_when(text, order=order, today=today)


def _a_year_later(day: date) -> date:
    return date(day.year + 1, day.month, min(day.day, 28))
