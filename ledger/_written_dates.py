"""Dates as people write them, turned into the strict spelling; every order in which the numbers could be meant."""

import re
from datetime import date, timedelta

from ledger._edtf import MONTHS

__all__ = ["LONGEST", "ORDERS", "ends", "readings"]

LONGEST = 60
"""Characters a written date may have; nobody writes a longer one, and a longer one could keep a reader busy."""

ORDERS = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}
"""The orders in which people write day, month and year as numbers."""

_MONTH_NUMBERS = {
    name.casefold()[:letters]: n for n, name in enumerate(MONTHS, 1) for letters in range(3, len(name) + 1)
}
_NOISE = re.compile(r"\b(?:the|of|in|on)\b|(?<=[0-9])(?:st|nd|rd|th)\b|,")
_PART = re.compile(r"'?[0-9]+|[a-z]+")
_RANGE = re.compile(r"between (.+) and (.+)|from (.+) to (.+)|(.+) to (.+)|(.+?) ?[\u2013\u2014] ?(.+)|(.+) - (.+)")
_YEARS = re.compile(r"([0-9]{4})-([0-9]{4})")
_FULL_YEAR, _SHORT, _MOST_DAYS = 4, 2, 31


def ends(text: str) -> tuple[str, str] | None:
    """The two ends, if the text speaks of a span ("1997 to 1999"); each end is a date of its own."""
    found = _YEARS.fullmatch(text) or _RANGE.fullmatch(text)
    if not found:
        return None
    first, last = (end for end in found.groups() if end is not None)
    return first, last


def readings(text: str, today: date) -> dict[str, str]:
    """The strict spelling under each order in which the text is a date; words and full years leave no doubt."""
    plain = _NOISE.sub(" ", text.casefold())
    if plain.strip() in {"today", "yesterday"}:
        day = today - timedelta(days=plain.strip() == "yesterday")
        return dict.fromkeys(ORDERS, day.isoformat())
    if found := re.fullmatch(r" *([0-9]{3})0 ?'?s *", plain):
        return dict.fromkeys(ORDERS, f"{found[1]}X")
    parts = _PART.findall(plain)
    if re.sub(r"[ ./-]", "", plain) != "".join(parts):
        return {}
    found_orders = {order: _in_order(parts, order, today) for order in ORDERS}
    return {order: spelling for order, spelling in found_orders.items() if spelling is not None}


def _in_order(parts: list[str], order: str, today: date) -> str | None:
    names = [part for part in parts if part.isalpha()]
    numbers = [part for part in parts if not part.isalpha()]
    if len(names) > 1 or not 1 <= len(numbers) <= len(ORDERS) - len(names):
        return None
    if names:
        month = _MONTH_NUMBERS.get(names[0])
        return _with_month_name(month, numbers, today) if month else None
    if len(numbers) == len(ORDERS):
        year, month_part, day = _arranged(numbers, "ymd" if _is_year(numbers[0]) else order)
        return _spelling(_year(year, today), month_part, day)
    rest = [number for number in numbers if not _is_year(number)]
    if len(numbers) - len(rest) == 1:
        (year,) = set(numbers) - set(rest)
        return _spelling(_year(year, today), rest[0] if rest else None, None)
    return _last_past(*(numbers if order != "dmy" else numbers[::-1]), today=today) if len(rest) > 1 else None


def _arranged(numbers: list[str], order: str) -> tuple[str, ...]:
    """Year, month and day from three numbers in this order."""
    return tuple(numbers[order.index(letter)] for letter in "ymd")


def _with_month_name(month: int, numbers: list[str], today: date) -> str | None:
    """A lone number up to 31 beside a month is its day; a full year may stand first or last."""
    if len(numbers) == 1:
        (number,) = numbers
        if _is_year(number) or int(number) > _MOST_DAYS:
            return _spelling(_year(number, today), str(month), None)
        return _last_past(str(month), number, today=today)
    first, second = numbers
    year, day = (first, second) if _is_year(first) else (second, first)
    return _spelling(_year(year, today), str(month), day)


def _is_year(number: str) -> bool:
    return number.startswith("'") or len(number) == _FULL_YEAR


def _year(number: str, today: date) -> int | None:
    """A year of two digits is the last such year that is not to come."""
    digits = number.removeprefix("'")
    if len(digits) == _FULL_YEAR:
        return int(digits)
    return today.year - (today.year - int(digits)) % 100 if len(digits) == _SHORT else None


def _last_past(month: str, day: str, *, today: date) -> str | None:
    """A day without a year is the last one that has come; a leap day lies up to eight years back."""
    for year in range(today.year, today.year - 9, -1):
        spelling = _spelling(year, month, day)
        if spelling is not None and spelling <= today.isoformat():
            return spelling
    return None


def _spelling(year: int | None, month: str | None, day: str | None) -> str | None:
    """The strict spelling, or None where the calendar has no such day."""
    if year is None or any(part is not None and len(part) > _SHORT for part in (month, day)):
        return None
    try:
        found = date(year, int(month or 1), int(day or 1))
    except ValueError:
        return None
    return found.isoformat()[: 4 if month is None else 7 if day is None else 10]
