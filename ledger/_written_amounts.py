"""Amounts as people write them: marks between thousands, decimal marks, signs and codes before or after."""

import re
from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["COMMA_DECIMALS", "LONGEST", "POINT_DECIMALS", "Written", "doubt", "minor_units", "sure_way", "written"]

POINT_DECIMALS: Final = "1,234.50"
COMMA_DECIMALS: Final = "1.234,50"
"""The two ways of setting the marks, each named by an amount written in it."""

LONGEST = 40
"""Characters a written amount may have."""

_SPACES = "\u0020\u00a0\u2009\u202f"  # plain, no-break, thin and narrow no-break space
_APOSTROPHES = "'\u2019"
_MINUS = "[-\u2212]"
_BESIDE = rf"[A-Za-z]{{3}}|[^\w\s.,{_APOSTROPHES}\u2212+-]"
_WHOLE = re.compile(
    rf"(?P<minus>{_MINUS})?[{_SPACES}]*(?P<before>{_BESIDE})?[{_SPACES}]*(?P<inner>{_MINUS})?"
    rf"(?P<digits>[0-9.,][0-9.,{_APOSTROPHES}{_SPACES}]*)(?P<after>{_BESIDE})?"
)
_DOUBTFUL = re.compile(r"[1-9][0-9]{0,2}([.,])[0-9]{3}")


@dataclass(frozen=True)
class Written:
    """What stands in a written amount: its digits with their marks, and the codes and signs beside them."""

    negative: bool
    digits: str
    code: str | None
    sign: str | None


def written(text: str) -> Written | None:
    """The parts of a written amount, or None if it is not one."""
    found = _WHOLE.fullmatch(text.strip()) if len(text) <= LONGEST else None
    if not found or (found["minus"] and found["inner"]):
        return None
    beside = [part for part in (found["before"], found["after"]) if part]
    codes = [part.upper() for part in beside if len(part) > 1]
    signs = [part for part in beside if len(part) == 1]
    if len(codes) > 1 or len(signs) > 1:
        return None
    return Written(
        negative=bool(found["minus"] or found["inner"]),
        digits=found["digits"].strip(),
        code=codes[0] if codes else None,
        sign=signs[0] if signs else None,
    )


def minor_units(digits: str, exponent: int, reading: str) -> int | None:
    """The number of smallest units under this reading of the marks, or None if they do not stand so.

    No digit is rounded away: more decimals than the currency has are no amount.
    """
    decimal, group = (".", ",") if reading == POINT_DECIMALS else (",", ".")
    whole, mark, decimals = digits.partition(decimal)
    if mark and not (re.fullmatch(r"[0-9]+", decimals) and len(decimals) <= exponent):
        return None
    if not (re.fullmatch(r"[0-9]+", whole) or (mark and not whole) or _is_grouped(whole, group)):
        return None
    return int("".join(re.findall(r"[0-9]", whole)) + decimals.ljust(exponent, "0") or "0")


def _is_grouped(whole: str, group: str) -> bool:
    """Thousands set apart, all by the same mark."""
    first, *rest = re.split(rf"[{re.escape(group)}{_APOSTROPHES}{_SPACES}]", whole)
    marks = {mark for mark in whole if not mark.isdigit()}
    return (
        len(marks) == 1
        and re.fullmatch(r"[1-9][0-9]{0,2}", first) is not None
        and all(re.fullmatch(r"[0-9]{3}", part) for part in rest)
    )


def doubt(digits: str, exponent: int) -> dict[str, str] | None:
    """What the digits come to under each reading, where nobody should guess; None where there is nothing to guess.

    A lone mark before three digits may be either mark. Points before a comma are told as well, for whoever sends an
    amount and never sees how it was read; `sure_way` says what somebody who sees it need not be asked.
    """
    if exponent and (lone := _DOUBTFUL.fullmatch(digits)):
        plain = {True: digits.replace(lone[1], ""), False: digits.replace(lone[1], ".")}
        return {POINT_DECIMALS: plain[lone[1] == ","], COMMA_DECIMALS: plain[lone[1] == "."]}
    if sure_way(digits, exponent):
        return {POINT_DECIMALS: "no amount", COMMA_DECIMALS: digits.replace(".", "").replace(",", ".")}
    return None


def sure_way(digits: str, exponent: int) -> Literal["1.234,50"] | None:
    """The reading that points before a comma say together; None where they do not stand so."""
    together = 0 <= digits.find(".") < digits.find(",")
    return COMMA_DECIMALS if together and minor_units(digits, exponent, COMMA_DECIMALS) is not None else None
