"""Single cells as people write them: a grade, a number, a year, a word; read leniently, or refused with the mend."""

import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Any, Final, TypeVar

from ledger.events._parts import Holding, StatedGrade
from ledger.events.placement import PLACE_MOST
from ledger.events.purchase import Means
from ledger.money import Money
from ledger.proof.report import MalformedError
from ledger.rules.grades import read_stated

__all__ = ["READERS", "short_of", "text_of", "unread"]

_HOLDINGS: Final[Mapping[str, Holding]] = {
    **dict.fromkeys(("raw", "ungraded", "no", "n", "0", "false", "not slabbed", "loose"), Holding.RAW),
    **dict.fromkeys(
        ("slabbed", "slab", "graded", "yes", "y", "x", "1", "true", "in holder", "sealed"), Holding.SLABBED
    ),
    "not stated": Holding.NOT_STATED,
}
_MEANS: Final[Mapping[str, Means]] = {
    **dict.fromkeys(("bought", "buy", "purchase", "purchased", "auction", "fair", "shop"), Means.BOUGHT),
    **dict.fromkeys(("gift", "present", "given", "gifted"), Means.GIFT),
    **dict.fromkeys(("trade", "traded", "swap", "swapped", "exchange"), Means.TRADE),
    **dict.fromkeys(("inheritance", "inherited", "estate"), Means.INHERITANCE),
    **dict.fromkeys(("found", "find"), Means.FOUND),
}
"""How people say it. Source: common practice, no source."""
_MOST: Final = {"number": 40, "holder_number": 40, "place": PLACE_MOST, "grade": 60, "note": 5_000, "reason": 2_000}
_TEXT_MOST: Final = 200
_SHOWN_MOST: Final = 60
_YEARS: Final = (1800, 2999)
_PRINTING_MOST: Final = 99
_ORDINALS: Final = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5}
_BOTH: Final = re.compile(
    r"(?P<title>.*\S)\s*(?:#|\bno\.?|\bnr\.?|\s)\s*(?P<number>(?:annual |special )?\d[\w/.]*)", re.IGNORECASE
)
_LEFT_OVER: Final = re.compile(r"(?:\s(?:no|nr)\.?|#)\s*$", re.IGNORECASE)
_HASH: Final = re.compile(r"(?:#|no\.|nr\.)\s*", re.IGNORECASE)
_WHOLE: Final = re.compile(r"(\d+)\.0+")
T = TypeVar("T")


def _grade(text: str) -> StatedGrade:
    steps = read_stated(text) if len(text) <= _MOST["grade"] else ()
    if not steps:
        raise unread(
            text, f"{short_of(text)} is no grade of the ten-point scale", "Write it like 9.2 or NM-, or leave it empty."
        )
    if any(later.step != step.step + 1 for step, later in pairwise(steps)):
        meant = " and ".join(str(each) for each in steps)
        raise unread(text, f"{short_of(text)} says {meant} at once", "Write one of them.")
    return StatedGrade(as_written=text, steps=steps)


def _number(text: str) -> str:
    bare = _HASH.sub("", text, count=1) if _HASH.match(text) else text
    found = _WHOLE.fullmatch(bare)
    return text_of("number", found[1] if found else bare)


def _both(text: str) -> tuple[str, str | None]:
    found = _BOTH.fullmatch(text)
    if found is None:
        return text_of("title", text), None
    return text_of("title", _LEFT_OVER.sub("", found["title"]).rstrip(" ,-")), _number(found["number"])


def _start_year(text: str) -> int:
    digits = (_WHOLE.fullmatch(text) or [text, text])[1]
    low, high = _YEARS
    if digits.isdecimal() and digits.isascii() and low <= int(digits[:6]) <= high:
        return int(digits)
    raise unread(text, f"{short_of(text)} is no year from {low} on", "Write the year in which the series began.")


def _printing(text: str) -> int:
    low = text.casefold().removesuffix("printing").removesuffix("print").strip()
    found = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th|\.0*|\.)?", low)
    number = int(found[1]) if found else _ORDINALS.get(low, 0)
    if 1 <= number <= _PRINTING_MOST:
        return number
    raise unread(text, f"{short_of(text)} is no printing", "Write 1 for the first, or leave it empty.")


def _currency(text: str) -> str:
    return Money.zero(text.upper()).currency


def _holding(text: str) -> Holding:
    return _word(text, _HOLDINGS, "Write raw or slabbed, or leave it empty.")


def _means(text: str) -> Means:
    return _word(text, _MEANS, "Write bought, gift, trade, inheritance or found, or leave it empty.")


def _word(text: str, known: Mapping[str, T], mend: str) -> T:
    found = known.get(text.casefold())
    if found is None:
        raise unread(text, f"{short_of(text)} is not understood here", mend)
    return found


def text_of(name: str, text: str) -> str:
    """The text, where it is not too long and all of it can be shown."""
    most = _MOST.get(name, _TEXT_MOST)
    if len(text) > most:
        raise unread(text, f"it has {len(text)} characters and there may be {most}", "Shorten it.")
    if not text.isprintable():
        raise unread(text, "it holds a character that cannot be shown", "Take it out.")
    return text


READERS: Final[Mapping[str, Callable[[str], Any]]] = {
    "grade": _grade,
    "number": _number,
    "title_number": _both,
    "start_year": _start_year,
    "printing": _printing,
    "currency": _currency,
    "holding": _holding,
    "means": _means,
}


def unread(text: str, problem: str, mend: str) -> MalformedError:
    """What is wrong with a cell, and what would be right."""
    return MalformedError(what=short_of(text), problem=problem, mend=mend)


def short_of(text: str) -> str:
    """The text in quotes, cut where it is long."""
    return repr(text if len(text) <= _SHOWN_MOST else text[:_SHOWN_MOST] + "\u2026")
