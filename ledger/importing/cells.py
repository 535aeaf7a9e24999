"""Single cells as people write them: a grade, a number, a year, a word; read leniently, or refused with the mend."""

import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Any, Final, TypeVar

from ledger._edtf import MONTHS_BEGIN
from ledger.events._parts import Holding, StatedGrade
from ledger.events.placement import PLACE_MOST
from ledger.events.purchase import Means
from ledger.importing.loose import Loose
from ledger.importing.loose_grades import grade_said
from ledger.proof.report import MalformedError

__all__ = ["MEANS", "NOT_KNOWN", "READERS", "short_of", "text_of", "unread"]

NOT_KNOWN: Final = frozenset(
    {"", "-", "--", "\u2013", "\u2014", "?", "??", "???", "n/a", "n.a.", "na", "none", "null", "unknown", "not known"}
    | {"n.k.", "not sure", "no idea", "don't know", "don't remember", "can't remember", "not recorded"}
    | {"k.a.", "k. a.", "unbekannt"}
)
"""What people write where they know nothing. Source: common practice, no source."""
_HOLDINGS: Final[Mapping[str, Holding]] = {
    **dict.fromkeys(("raw", "raw copy", "ungraded", "un-graded", "not graded", "no", "n", "0", "false"), Holding.RAW),
    **dict.fromkeys(("not slabbed", "unslabbed", "not in holder", "loose", "bagged"), Holding.RAW),
    **dict.fromkeys(("bagged and boarded", "bagged & boarded", "bag and board", "b&b"), Holding.RAW),
    **dict.fromkeys(("\u2717", "\u2718", "\u2610"), Holding.RAW),
    **dict.fromkeys(
        ("slabbed", "slab", "graded", "yes", "y", "x", "1", "true", "in holder", "sealed"), Holding.SLABBED
    ),
    **dict.fromkeys(("encapsulated", "in slab", "in a slab", "in a holder"), Holding.SLABBED),
    **dict.fromkeys(("\u2713", "\u2714", "\u2611"), Holding.SLABBED),
    "not stated": Holding.NOT_STATED,
}
_YES: Final = frozenset({"yes", "y", "x", "true", "\u2713", "\u2714", "\u2611"})
_NO: Final = frozenset({"no", "n", "0", "false", "\u2717", "\u2718", "\u2610"})
"""Bare answers to a question over a column. Source: common practice, no source."""
MEANS: Final[Mapping[str, Means]] = {
    **dict.fromkeys(("bought", "buy", "purchase", "purchased", "auction", "fair", "shop"), Means.BOUGHT),
    **dict.fromkeys(("gift", "present", "given", "gifted", "a gift", "as a gift"), Means.GIFT),
    **dict.fromkeys(("trade", "traded", "swap", "swapped", "exchange", "in trade", "trade-in"), Means.TRADE),
    **dict.fromkeys(("inheritance", "inherited", "estate"), Means.INHERITANCE),
    **dict.fromkeys(("found", "find"), Means.FOUND),
}
"""How people say it. Source: common practice, no source."""
_MEANS_AND_MORE: Final[Mapping[str, Means]] = {
    **dict.fromkeys(("bought new", "bought used", "bought online", "won at auction", "mail order"), Means.BOUGHT),
    **dict.fromkeys(("garage sale", "yard sale", "estate sale", "flea market", "subscription"), Means.BOUGHT),
    **dict.fromkeys(
        (f"{day} {gift}" for day in ("birthday", "christmas", "xmas") for gift in ("gift", "present")), Means.GIFT
    ),
}
"""Words that say more than how it came, so that they are kept. Source: common practice, no source."""
_MOST: Final = {"number": 40, "holder_number": 40, "place": PLACE_MOST, "grade": 60, "note": 5_000, "reason": 2_000}
_TEXT_MOST: Final = 200
_SHOWN_MOST: Final = 60
_YEARS: Final = (1800, 2999)
_PRINTING_MOST: Final = 99
_ORDINALS: Final = {
    name: at
    for at, name in enumerate(
        ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"), 1
    )
}
_BOTH: Final = re.compile(
    r"(?P<title>.*\S)\s*(?:#|\bno\.?|\bnr\.?|\s)\s*(?P<number>(?:annual |special )?\d[\w/.]*|(?<=#)-\d+)", re.IGNORECASE
)
_MORE_THAN_BOTH: Final = re.compile(
    r"[^#]*[^\W\d_][^#]*#\s?\d[\w./]*(?:\s?[-\u2013&,]\s?#?\d+)*[\s,;:]+[^\s#].*"
    r"|(?:.*\s)?(?:paid|cost|sold|bought|got|for)[^\w#]*\d[\w.,]*"
    r"|.*[^\W\d_]\s\d{1,4}[a-z]?(?:[-\u2013]\d+)?(?:,?\s[^#]*)?[\s(](?:19|20)\d\d\)?",
    re.IGNORECASE,
)
"""A number with more behind it, what was paid, or a number and a year, of which nobody can tell which counts the issue."""
_NUMBER_FIRST: Final = re.compile(r"#\s*(?P<number>\d[\w/.]*)\s+(?P<title>\S.*)")
_LEFT_OVER: Final = re.compile(r"(?:\s(?:no|nr)\.?|#|\s?(?:\bn[\u00b0\u00ba]|\u2116)|,\s*issue)\s*$", re.IGNORECASE)
_HASH: Final = re.compile(
    r"(?:#+|no\.|nr\.)\s*|(?:(?:no|nr|num|issue)\b\.?|n[\u00b0\u00ba]|\u2116|#)\s*#?\s*(?=\d)", re.IGNORECASE
)
_MONTH: Final = rf"(?:{MONTHS_BEGIN}|mär|mrz|mai|okt|dez)[a-z]{{0,6}}"
_DAY: Final = re.compile(
    rf"\d{{4}}-\d{{2}}-\d{{2}}(?:[ t].*)?|\d{{1,2}}(?:[-./]|\. )(?:{_MONTH})\.?|(?:{_MONTH})\.?[-./]\d{{1,2}}",
    re.IGNORECASE,
)
"""What spreadsheets make of a number like 1/2. Source: common practice, no source."""
_HALF: Final = re.compile(r"(?<!\d)\u00bd")
_PRINTING: Final = re.compile(r"(?:printing|print|prt|ptg|pr)\.?|no\.?|#")
_OF_PRINTING: Final = re.compile(
    rf"(?P<rest>.*\w)(?:,\s*|\s*\(|\s+)(?P<printing>\d{{1,2}}(?:st|nd|rd|th)|{'|'.join(_ORDINALS)}) "
    r"(?:printing|print|prt\.?|ptg\.?)\)?",
    re.IGNORECASE,
)
_NUMBER_MOST: Final = 240
_BOTH_MOST: Final = _TEXT_MOST + 60
"""A title, a number and what stands between them; a longer text could keep a reader busy."""
_SINCE: Final = re.compile(
    r"(?:since |began |from )?\(?(?P<year>\d{4})(?P<end>\s?[-\u2013/]\s?(?:\d{2}|\d{4}|present|now)?)?\)?(?: series)?"
)
_WHOLE: Final = re.compile(r"(\d+)\.0+")
T = TypeVar("T")


def _grade(text: str) -> StatedGrade | Loose:
    steps, holding = grade_said(text) if len(text) <= _MOST["grade"] else ((), None)
    if holding is not None and not steps:
        return Loose(more={"holding": holding})
    if not steps:
        raise unread(
            text, f"{short_of(text)} is no grade of the ten-point scale", "Write it like 9.2 or NM-, or leave it empty."
        )
    if any(later.step != step.step + 1 for step, later in pairwise(steps)):
        meant = " and ".join(str(each) for each in steps)
        raise unread(text, f"{short_of(text)} says {meant} at once", "Write one of them.")
    stated = StatedGrade(as_written=text, steps=steps)
    return stated if holding is None else Loose(value=stated, more={"holding": holding})


def _number(text: str) -> str | Loose:
    return _with_printing(text, _bare_number)


def _bare_number(text: str) -> str:
    if _DAY.fullmatch(text):
        problem = f"{short_of(text)} is a day, as spreadsheets make one of a number like 1/2"
        raise unread(text, problem, "Write the number as printed.")
    whole = _HALF.sub("1/2", text)
    bare = _HASH.sub("", whole, count=1) if _HASH.match(whole) else whole
    found = _WHOLE.fullmatch(bare)
    return text_of("number", found[1] if found else bare)


def _both(text: str) -> tuple[str, str | None] | Loose:
    return _with_printing(text, _title_and_number)


def _title_and_number(text: str) -> tuple[str, str | None]:
    if len(text) > _BOTH_MOST:
        return text_of("title", text), None
    whole = _HALF.sub("1/2", text)
    if _MORE_THAN_BOTH.fullmatch(whole):
        problem = f"{short_of(text)} says more than a title and a number"
        raise unread(text, problem, "Write it like Amber Anchor #14, or like Amber Anchor #14 VF paid 40.")
    found = _BOTH.fullmatch(whole) or _NUMBER_FIRST.fullmatch(whole)
    if found is None:
        return text_of("title", text), None
    return text_of("title", _LEFT_OVER.sub("", found["title"]).rstrip(" ,-:")), _bare_number(found["number"])


def _with_printing(text: str, read: Callable[[str], T]) -> T | Loose:
    """A number may have its printing behind it."""
    found = _OF_PRINTING.fullmatch(text) if len(text) <= _NUMBER_MOST else None
    if found is None:
        return read(text)
    return Loose(value=read(found["rest"]), more={"printing": _printing(found["printing"])})


def _start_year(text: str) -> int | Loose:
    since = _SINCE.fullmatch(text.casefold()) if len(text) <= _SHOWN_MOST else None
    if since and since["year"] != text:
        # The year in which it ended, where it is written, has no field of its own.
        is_all = not (since["end"] or "").strip("-\u2013/ ")
        return Loose(value=_start_year(since["year"]), words="" if is_all else text)
    digits = (_WHOLE.fullmatch(text) or [text, text])[1]
    low, high = _YEARS
    if digits.isdecimal() and digits.isascii() and len(digits) == len(str(low)) and low <= int(digits) <= high:
        return int(digits)
    raise unread(text, f"{short_of(text)} is no year from {low} on", "Write the year in which the series began.")


def _printing(text: str) -> int:
    low = _PRINTING.sub("", text.casefold()).strip()
    found = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th|d|\.0*|\.)?", low)
    number = int(found[1]) if found else _ORDINALS.get(low, 0)
    if 1 <= number <= _PRINTING_MOST:
        return number
    raise unread(text, f"{short_of(text)} is no printing", "Write 1 for the first, or leave it empty.")


def _holding(text: str) -> Holding:
    return _word(text, _HOLDINGS, "Write raw or slabbed, or leave it empty.")


def _means(text: str) -> Means | Loose:
    more = _MEANS_AND_MORE.get(text.casefold())
    if more is not None:
        return Loose(value=more, words=text)
    return _word(text, MEANS, "Write bought, gift, trade, inheritance or found, or leave it empty.")


def _variant(text: str) -> str | Loose:
    plain = text.casefold()
    if plain in _NO:
        return Loose()
    if plain in _YES:
        raise unread(text, f"{short_of(text)} does not say which variant it is", "Write which one, or leave it empty.")
    return text_of("variant", text)


def _holder_number(text: str) -> str:
    if not any(map(str.isdigit, text)):
        mend = "Write it as it stands on the holder, or leave it empty."
        raise unread(text, f"{short_of(text)} is no number of a holder", mend)
    return text_of("holder_number", text)


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
    "holding": _holding,
    "holder_number": _holder_number,
    "means": _means,
    "variant": _variant,
}


def unread(text: str, problem: str, mend: str) -> MalformedError:
    """What is wrong with a cell, and what would be right."""
    return MalformedError(what=short_of(text), problem=problem, mend=mend)


def short_of(text: str) -> str:
    """The text in quotes, cut where it is long."""
    return repr(text if len(text) <= _SHOWN_MOST else text[:_SHOWN_MOST] + "\u2026")
