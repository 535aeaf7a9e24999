"""How each form of a loose date is read: as a stretch of time, with whether its words said more."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from ledger._edtf import FIRST_YEAR, LAST_YEAR
from ledger.importing.loose_date_words import DECADES, FEASTS, QUARTERS, WEEKDAYS
from ledger.when import When, WhenError

__all__ = [
    "By",
    "Found",
    "about",
    "between",
    "compact",
    "decade",
    "digits_missing",
    "either",
    "feast",
    "inner",
    "left_open",
    "lone",
    "months",
    "open_end",
    "pair",
    "part",
    "quarter",
    "season",
    "short_pair",
    "timed",
    "weekday",
    "years",
]

_LAST_MONTH, _LAST_DAY, _CENTURY = 12, 31, 100


@dataclass(frozen=True)
class By:
    """By what a date is read: the reader of exact ones, the day it is read on, and whether it was printed on a cover."""

    exact: Callable[[str], When]
    day: date
    is_printed: bool
    read_any: Callable[[str, "By"], "Found | None"]

    def read(self, text: str) -> "Found | None":
        """What any date says, whether or not it is written exactly."""
        return self.read_any(text, self)


@dataclass(frozen=True)
class Found:
    """A stretch of time, and whether the words said more than it does."""

    when: When
    is_wider: bool = False


def inner(found: re.Match[str], by: By) -> Found | None:
    """What is left, as it stands."""
    return by.read(found["rest"])


def part(found: re.Match[str], by: By) -> Found | None:
    """The early or late part of something is within it."""
    whole = by.read(_full(found["rest"], by))
    return None if whole is None else Found(whole.when, is_wider=True)


def about(found: re.Match[str], by: By) -> Found | None:
    """The month before to the month after, of anything longer the year before to the year after. Our assumption."""
    inner = by.read(found["rest"])
    if inner is None:
        return None
    when, latest = inner.when, LAST_YEAR if by.is_printed else by.day.year
    if when.precision in ("month", "day", "instant"):
        first, last = (_month_of(day) for day in (when.earliest_day, when.latest_day))
        most = latest * _LAST_MONTH + (_LAST_MONTH if by.is_printed else by.day.month) - 1
        span = (max(first - 1, FIRST_YEAR * _LAST_MONTH), max(last, min(last + 1, most)))
        return Found(_spanned(*(f"{at // _LAST_MONTH}-{at % _LAST_MONTH + 1:02}" for at in span)), is_wider=True)
    first, last = when.earliest_day.year, when.latest_day.year
    return Found(_spanned(str(max(first - 1, FIRST_YEAR)), str(max(last, min(last + 1, latest)))), is_wider=True)


def _month_of(day: date) -> int:
    return day.year * _LAST_MONTH + day.month - 1


def timed(found: re.Match[str], by: By) -> Found | None:
    """Of a moment whose place nobody told, the day."""
    day = by.read(found["rest"])
    hour = int(found["hour"]) % (_LAST_MONTH if found["half"] else 24)
    is_midnight = not hour and not int(found["more"].replace(":", "").partition(".")[0]) and found["half"] != "p"
    return None if day is None else Found(day.when, is_wider=day.is_wider or not is_midnight)


def weekday(found: re.Match[str], by: By) -> Found | None:
    """The day, where it was that day of the week."""
    day = by.read(found["rest"])
    if day is None or day.when.precision != "day":
        return None if day is None else Found(day.when, is_wider=True)
    was = WEEKDAYS[day.when.earliest_day.weekday()]
    if not was.casefold().startswith(found["day"]):
        problem = f"{day.when.label()} was a {was}"
        raise WhenError(
            text=found[0], problem=problem, mend="Write the day as it was, or leave the day of the week out."
        )
    return day


def lone(found: re.Match[str], by: By) -> Found:
    """Two digits are a year where they can be no day and no month."""
    year = _century(found[1], by)
    if 1 <= int(found[1]) <= _LAST_DAY:
        problem = f"{found[0]} may be a year, a month or a day"
        raise WhenError(text=found[0], problem=problem, mend=f"Write a year with its four digits, like {year}.")
    return Found(When(str(year)))


def _century(digits: str, by: By) -> int:
    """The last such year that is not to come, as of any date with two digits for its year."""
    return by.day.year - (by.day.year - int(digits)) % _CENTURY


def compact(found: re.Match[str], by: By) -> Found | None:
    """Eight digits, the year first or last."""
    year, month, day = found[1], found[2], found[3]
    try:
        return Found(by.exact(f"{year}-{month}-{day}"))
    except WhenError:
        return by.read(f"{found[0][:2]}/{found[0][2:4]}/{found[0][4:]}")


def season(found: re.Match[str], by: By) -> Found | None:
    """Its year, for north and south have it at different times; a winter that is no cover date runs into the next."""
    year = by.read(found["year"] or _full(found["rest"], by))
    if year is None or year.when.precision not in ("year", "interval"):
        return None
    if "winter" not in (found["season"] or found["late"]) or by.is_printed or year.when.precision == "interval":
        return Found(year.when, is_wider=True)
    own = year.when.earliest_day.year
    return Found(When(f"{own - 1}-12/{own + 1}-02"), is_wider=True)


def quarter(found: re.Match[str], by: By) -> Found | None:
    """The three months of a quarter."""
    number = found["a"] or found["b"]
    which = QUARTERS.get(number) or int(number)
    year = _one_year(found["rest"], by)
    return None if year is None else Found(When(f"{year}-{which * 3 - 2:02}/{year}-{which * 3:02}"))


def feast(found: re.Match[str], by: By) -> Found | None:
    """The months in which a feast can lie; two digits behind what can lie in any may count it, as in annual 12."""
    first, last = FEASTS[found["feast"]]
    if (first, last) == (1, _LAST_MONTH) and re.fullmatch("[0-9]{2}", found["rest"]):
        return None
    year = _one_year(found["rest"], by)
    if year is None:
        return None
    if (first, last) == (1, _LAST_MONTH):
        return Found(When(str(year)), is_wider=True)
    return Found(_spanned(f"{year}-{first:02}", f"{year}-{last:02}"), is_wider=True)


def _one_year(text: str, by: By) -> int | None:
    year = by.read(_full(text, by))
    return year.when.earliest_day.year if year is not None and year.when.precision == "year" else None


def _full(text: str, by: By) -> str:
    """The text; two digits where nothing but a year can stand are that year."""
    return str(_century(text, by)) if re.fullmatch("[0-9]{2}", text) else text


def months(found: re.Match[str], by: By) -> Found | None:
    """Two months of one year or of two, as on the covers of what came out every second month."""
    years = by.read(_full(found["rest"], by))
    if years is None or years.when.precision not in ("year", "interval"):
        return None
    first = by.exact(f"{found['first']} {years.when.earliest_day.year}")
    last = by.exact(f"{found['last']} {years.when.latest_day.year}")
    if first.earliest_day > last.earliest_day:
        problem = f"{found[0]!r} may begin in the year before or end in the year after"
        mend = "Write both years, like December 1962 to January 1963."
        raise WhenError(text=found[0], problem=problem, mend=mend)
    return Found(_spanned(str(first), str(last)))


def years(found: re.Match[str], by: By) -> Found | None:  # noqa: ARG001 - as of every way
    """Two years, the second by its last digits."""
    last = int(found[1]) // _CENTURY * _CENTURY + int(found[2])
    return Found(When(f"{found[1]}/{last}")) if last > int(found[1]) else None


def short_pair(found: re.Match[str], by: By) -> Found | None:
    """Month and year, or two years, where the digits can be nothing else."""
    first, last = int(found[1]), int(found[2])
    if 1 <= last <= _LAST_DAY:
        return None
    if 1 <= first <= _LAST_MONTH:
        return Found(When(f"{_century(found[2], by)}-{first:02}"))
    return Found(When(f"{_century(found[1], by)}/{_century(found[2], by)}")) if _LAST_DAY < first < last else None


def either(found: re.Match[str], by: By) -> Found | None:
    """From the first to the last of two."""
    both = between(found["first"], found["rest"], by)
    return None if both is None else Found(both.when, is_wider=True)


def pair(found: re.Match[str], by: By) -> Found | None:
    """From one date to another."""
    return between(found["first"], found["rest"], by)


def between(first: str, last: str, by: By) -> Found | None:
    """From the beginning of one date to the end of another."""
    begin, end = by.read(first), by.read(last)
    if begin is None or end is None:
        return None
    span = _spanned(_edge(begin.when, begin.when.earliest_day, 0), _edge(end.when, end.when.latest_day, -1))
    return Found(span, is_wider=begin.is_wider or end.is_wider)


def _edge(when: When, day: date, at: int) -> str:
    if when.precision == "interval":
        return when.text.split("/")[at]
    return when.text if when.precision in ("year", "month", "day") else str(day.year)


def _spanned(first: str, last: str) -> When:
    return When(first if first == last else f"{first}/{last}")


def decade(found: re.Match[str], by: By) -> Found:
    """Ten years."""
    tens = found["tens"] or str(DECADES[found["name"]])
    return Found(When(f"{_century(f'{tens}0', by) // 10}X"))


def digits_missing(found: re.Match[str], by: By) -> Found:  # noqa: ARG001 - as of every way
    """The decade or the century whose first digits are given."""
    return Found(When(f"{found[1]}X") if found[1] else When(f"{found[2]}00/{found[2]}99"))


def left_open(found: re.Match[str], by: By) -> Found | None:
    """What is known of a date whose day, or month too, is left open; 1999/00 may run into the next year as well."""
    if re.fullmatch("[0-9]{2}99[-/]00", found[0]):
        return Found(When(f"{found['rest']}/{int(found['rest']) + 1}"), is_wider=True)
    return by.read(found["month"] or found["rest"])


def open_end(found: re.Match[str], by: By) -> Found | None:
    """What has one end only: the other is not known, and no year of it may be made up."""
    if by.read(found["rest"] or found["year"]) is None:
        return None
    problem = f"{found[0]!r} says only one end of when it was"
    mend = "Write between which years it was, like between 1990 and 1998."
    raise WhenError(text=found[0], problem=problem, mend=mend)
