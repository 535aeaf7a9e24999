"""Numbers of a spreadsheet's cells as people see them: days as days, amounts with their currency, no machine's digits.

Source: ECMA-376 part 1 sections 18.8.30 (formats, and which built-in ones are days) and 18.17.4 (how days are counted).
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from fractions import Fraction
from typing import Final

from ledger.importing.loose_amounts import codes_named

__all__ = ["Formats"]

_BUILT_IN: Final = {
    **dict.fromkeys((14, 15, *range(27, 37), *range(50, 59)), "d m y"),
    16: "d m",
    17: "m y",
    22: "d m y h",
}
_DIGITS: Final = {
    **dict.fromkeys((1, 3, 37, 38), "0"),
    **dict.fromkeys((2, 4, 7, 8, 39, 40, 43, 44), "0.00"),
    12: "# ?/?",
    13: "# ??/??",
}
"""Built-in formats of numbers; the currency of some of them is that of the machine, and so is not known."""
_QUOTED: Final = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]')
_BESIDE: Final = re.compile(
    r'_.|\*.|\[\$(?P<named>[^\]-]+)(?:-[^\]]*)?\]|\[[^\]]*\]|"(?P<text>[^"]*)"|\\?(?P<sign>[^\s\w])'
)
"""What stands beside the digits: the currency among it, and else colours, widths and texts."""
_PADDED: Final = re.compile(r"0{2,40}")
_FRACTION: Final = re.compile(r"[#0]? ?(?P<digits>[#?0]{1,3})/[#?0]{1,3}")
_DECIMALS: Final = re.compile(r"[0#?,]*\.(?P<decimals>[0#?]+)|[0#?,]+")
_CENTS: Final = 2
_LIKE_THOUSANDS: Final = re.compile(r"[1-9]\d{0,2}\.\d{3}")
_FIRST, _FIRST_1904 = date(1899, 12, 30), date(1904, 1, 1)
_NO_LEAP_DAY: Final = 60
"""The count that stands for a day which never was: the 29th of February 1900."""
_MOST: Final = 2_958_466
"""The count behind the last day of the year 9999."""
_DIGITS_MOST: Final = 400


@dataclass(frozen=True)
class _Look:
    """How a format shows a number that is no day."""

    zeros: int = 0
    """Digits that a whole number has at least, with zeros in front."""
    denominator: int = 0
    """The largest of its fractions; 0 where it shows none."""
    decimals: int | None = None
    """Decimals that are kept; None for a format of no digits, where all are."""
    beside: str = ""
    """The sign or the letters of a currency behind the digits."""


_NO_LOOK: Final = _Look()


class Formats:
    """The formats of a workbook's cells, by the number of the cell's style."""

    def __init__(self, codes: Mapping[int, str], styles: Sequence[int], *, is_1904: bool) -> None:
        self._parts = [_day_parts(codes.get(each), each) for each in styles]
        self._looks = [_look(codes.get(each, _DIGITS.get(each, "")).split(";")[0]) for each in styles]
        self._is_1904 = is_1904

    def shown(self, value: str, style: int) -> str:
        """The number as it is seen: a day by its year, month and day, or as much of it as its format shows.

        Keeps: hundredths, also where the format shows none of them.
        """
        number = _number(value)
        if number is None:
            return value
        parts = self._parts[style] if 0 <= style < len(self._parts) else ""
        day = self._day(int(number)) if parts and 1 <= number < _MOST else None
        if day is None:
            return _numeral(number, self._looks[style] if 0 <= style < len(self._looks) else _NO_LOOK)
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


def _look(code: str) -> _Look:
    bare = _QUOTED.sub("", code).strip()
    fraction, digits = _FRACTION.fullmatch(bare), _DECIMALS.search(bare)
    said = (each["named"] or each["text"] or each["sign"] or "" for each in _BESIDE.finditer(code))
    return _Look(
        zeros=len(bare) if _PADDED.fullmatch(bare) else 0,
        denominator=10 ** len(fraction["digits"]) - 1 if fraction else 0,
        decimals=max(_CENTS, len(digits["decimals"] or "")) if digits else None,
        beside=next((f" {each.strip()}" for each in said if codes_named(each.strip())), ""),
    )


def _numeral(number: Decimal, look: _Look) -> str:
    """A number that is no day: its zeros in front, its fraction, or its decimals and its currency, as the format has them."""
    is_whole = number == number.to_integral_value()
    if look.zeros and is_whole and number >= 0:
        return _plain(number).zfill(look.zeros)
    if look.denominator and not is_whole and number > 0:
        return _fraction(number, look.denominator)
    text = _plain(number if look.decimals is None else _rounded(number, look.decimals))
    if look.decimals is None and _LIKE_THOUSANDS.fullmatch(text):
        # In a cell of a number no point stands between thousands; one decimal more says so.
        text += "0"
    return text + look.beside


def _fraction(number: Decimal, most: int) -> str:
    whole, rest = divmod(Fraction(number).limit_denominator(most), 1)
    return " ".join(str(each) for each in (whole, rest) if each)


def _rounded(number: Decimal, decimals: int) -> Decimal:
    exponent = number.as_tuple().exponent
    is_longer = isinstance(exponent, int) and -exponent > decimals
    return number.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP) if is_longer else number


def _plain(number: Decimal) -> str:
    if number == number.to_integral_value():
        return format(number.quantize(Decimal(1)) if abs(number) < Decimal(10) ** 20 else number, "f")
    return format(number.normalize(), "f")
