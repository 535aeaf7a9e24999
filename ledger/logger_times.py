"""Times and figures as loggers write them, each spelling read once and then known."""

import re
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from ledger.events.climate import DateOrder, Unit

__all__ = ["BAD", "Clock", "Figures", "is_clock", "is_date", "order_of"]

_YEAR_FIRST: Final = re.compile(r"^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})$")
_YEAR_LAST: Final = re.compile(r"^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})$")
_TIME: Final = re.compile(
    r"^(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d{1,9})?)?\s*([AaPp]\.?[Mm]\.?)?\s*(Z|[+-]\d{2}:?\d{2})?$"
)
_NUMBER: Final = re.compile(r"^[+-]?\d{1,5}(?:[.,]\d{1,6})?$")
_BEHIND: Final = re.compile(r"\s*(?:°|º|deg)?\s*[CF]$|\s*%\s*(?:RH|rH|rh)?$")
_GAPS: Final = frozenset({"", "-", "--", "---", "n/a", "na", "nan", "null", "none"})
_EPOCH: Final = date(1970, 1, 1).toordinal()
_KNOWN_MOST: Final = 200_000
"""Spellings that are remembered; then all are forgotten, so that no file fills the memory."""
_CENTURY: Final = 2000
_NOON, _HOURS, _SIXTY, _DAY = 12, 24, 60, 86_400
_TEN: Final = 12

BAD: Final = "bad"
"""A figure that cannot be read, or that no room has."""
LOWEST, HIGHEST = {"celsius": -5000, "rh": 0}, {"celsius": 8000, "rh": 10_000}
"""What a room can have. Units: hundredths of a degree Celsius, hundredths of a per cent."""


def order_of(text: str) -> DateOrder | None:
    """The only order in which this can be a date, or None where it is none or can be two."""
    if _YEAR_FIRST.match(text):
        return DateOrder.YEAR_FIRST
    found = _YEAR_LAST.match(text)
    if found is None:
        return None
    one, two = int(found[1]), int(found[3])
    if one > _TEN >= two:
        return DateOrder.DAY_FIRST
    return DateOrder.MONTH_FIRST if two > _TEN >= one else None


def is_date(text: str) -> bool:
    """It looks like a date, in whatever order."""
    return bool(_YEAR_FIRST.match(text) or _YEAR_LAST.match(text))


def is_clock(text: str) -> bool:
    """It looks like a time of day."""
    return _TIME.match(text) is not None


class Clock:
    """Reads date-times of one file in one order; `None` for what is no time. Units: s from the start of 1970."""

    def __init__(self, order: DateOrder) -> None:
        self._order = order
        self._days: dict[str, int | None] = {}
        self._times: dict[str, tuple[int, bool] | None] = {}
        self.with_offset: bool | None = None
        """Whether the file says how far its clock is from UTC, as its first time does; its times are then in UTC."""

    def read(self, text: str) -> int | None:
        """The moment that this text names."""
        day_text, _, time_text = text.partition("T" if "T" in text else " ")
        try:
            day, time = self._days[day_text], self._times[time_text]
        except KeyError:
            day, time = self._day(day_text), self._time(time_text)
        if day is None or time is None or self.with_offset is not time[1]:
            return None
        return day + time[0]

    def _day(self, text: str) -> int | None:
        if len(self._days) > _KNOWN_MOST:
            self._days.clear()
        found = self._days[text] = _day_of(text, self._order)
        return found

    def _time(self, text: str) -> tuple[int, bool] | None:
        if len(self._times) > _KNOWN_MOST:
            self._times.clear()
        found = self._times[text] = _time_of(text.strip())
        if found is not None and self.with_offset is None:
            self.with_offset = found[1]
        return found


def _day_of(text: str, order: DateOrder) -> int | None:
    found = _YEAR_FIRST.match(text)
    if found:
        parts = int(found[1]), int(found[3]), int(found[4])
    elif (found := _YEAR_LAST.match(text)) and order is not DateOrder.YEAR_FIRST:
        year = int(found[4]) + (_CENTURY if int(found[4]) < 100 else 0)  # noqa: PLR2004 - a year of two digits
        one, two = int(found[1]), int(found[3])
        parts = (year, two, one) if order is DateOrder.DAY_FIRST else (year, one, two)
    else:
        return None
    try:
        return (date(*parts).toordinal() - _EPOCH) * _DAY
    except ValueError:
        return None


def _time_of(text: str) -> tuple[int, bool] | None:
    """Seconds of the day, in UTC where the text has its offset, and whether it has."""
    found = _TIME.match(text)
    if found is None:
        return None
    hour, minute, second = int(found[1]), int(found[2]), int(found[3] or 0)
    if found[4]:
        if not 1 <= hour <= _NOON:
            return None
        hour = hour % _NOON + (_NOON if found[4][0] in "Pp" else 0)
    if hour >= _HOURS or minute >= _SIXTY or second >= _SIXTY:
        return None
    seconds = (hour * _SIXTY + minute) * _SIXTY + second
    zone = found[5]
    if zone is None or zone == "Z":
        return seconds, zone is not None
    ahead = (int(zone[1:3]) * _SIXTY + int(zone[-2:])) * _SIXTY
    return seconds - (ahead if zone[0] == "+" else -ahead), True


class Figures:
    """Reads temperatures or humidities as whole hundredths; None for a gap, BAD for what no room has."""

    def __init__(self, what: str, unit: Unit = Unit.CELSIUS) -> None:
        self._what, self._unit = what, unit
        self.known: dict[str, int | str | None] = {}

    def read(self, text: str) -> int | str | None:
        """The figure that this text names. Units: hundredths of a degree Celsius, or of a per cent."""
        if len(self.known) > _KNOWN_MOST:
            self.known.clear()
        found = self.known[text] = self._of(text.strip())
        return found

    def _of(self, text: str) -> int | str | None:
        if text.lower() in _GAPS:
            return None
        plain = _BEHIND.sub("", text)
        if not _NUMBER.match(plain):
            return BAD
        value = Decimal(plain.replace(",", "."))
        if self._unit is Unit.FAHRENHEIT:
            value = (value - 32) * 5 / 9
        whole = int((value * 100).to_integral_value(ROUND_HALF_EVEN))
        return whole if LOWEST[self._what] <= whole <= HIGHEST[self._what] else BAD
