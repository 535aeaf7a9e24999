"""Numbers of a spreadsheet's cells as people see them: days as days, and no digits that only a machine would write.

Source: ECMA-376 part 1 sections 18.8.30 (which built-in formats are days) and 18.17.4 (how days are counted).
"""

import re
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from typing import Final

__all__ = ["Formats"]

_BUILT_IN: Final = {
    **dict.fromkeys((14, 15, *range(27, 37), *range(50, 59)), "d m y"),
    16: "d m",
    17: "m y",
    22: "d m y h",
}
_QUOTED: Final = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]')
_FIRST, _FIRST_1904 = date(1899, 12, 30), date(1904, 1, 1)
_NO_LEAP_DAY: Final = 60
"""The count that stands for a day which never was: the 29th of February 1900."""
_MOST: Final = 2_958_466
"""The count behind the last day of the year 9999."""
_DIGITS_MOST: Final = 400


class Formats:
    """The formats of a workbook's cells, by the number of the cell's style."""

    def __init__(self, codes: Mapping[int, str], styles: Sequence[int], *, is_1904: bool) -> None:
        self._parts = [_day_parts(codes.get(each), each) for each in styles]
        self._is_1904 = is_1904

    def shown(self, value: str, style: int) -> str:
        """The number as it is seen: a day by its year, month and day, or as much of it as its format shows."""
        number = _number(value)
        if number is None:
            return value
        parts = self._parts[style] if 0 <= style < len(self._parts) else ""
        day = self._day(int(number)) if parts and 1 <= number < _MOST else None
        if day is None:
            return _plain(number)
        text = day.isoformat()
        return text if "d" in parts else text[:7] if "m" in parts else text[:4]

    def _day(self, count: int) -> date | None:
        if self._is_1904:
            return _FIRST_1904 + timedelta(days=count) if count < _MOST - 1462 else None
        if count == _NO_LEAP_DAY:
            return None
        return _FIRST + timedelta(days=count + (count < _NO_LEAP_DAY))


def _day_parts(code: str | None, number: int) -> str:
    """Which of year, month and day a format shows; empty for one of no day."""
    said = _BUILT_IN.get(number, "") if code is None else _QUOTED.sub("", code.split(";")[0]).casefold()
    if "y" not in said and "d" not in said:
        return ""
    if re.search(r"[0#?]", said):
        return ""
    return "".join(part for part in "ymd" if part in said)


def _number(value: str) -> Decimal | None:
    if len(value) > _DIGITS_MOST:
        return None
    try:
        # As the machine holds it, and then in the fewest digits that mean the same: 9.1999999999999993 is 9.2.
        found = Decimal(repr(float(value)))
    except (ValueError, InvalidOperation, OverflowError):
        return None
    return found if found.is_finite() else None


def _plain(number: Decimal) -> str:
    if number == number.to_integral_value():
        return format(number.quantize(Decimal(1)) if abs(number) < Decimal(10) ** 20 else number, "f")
    return format(number.normalize(), "f")
