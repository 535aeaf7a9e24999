"""A book in one line, as a notebook has it: its title and number, and behind them a grade, what was paid, from whom.

Each part is given to the field it is of; a line that is not understood to its end is left as it is, and so is refused.
A year alone may be that of the cover or of the purchase: it is no date, and the line stands in the note.
"""

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Final

from ledger._edtf import MONTHS_BEGIN
from ledger.importing.loose_grades import grade_said

__all__ = ["is_line", "parted"]

_LONGEST: Final = 240
_AT: Final = "title_number"
_WANTED: Final = re.compile(
    r"(?P<word>want(?:ed|s)?|need(?:ed)?|wish ?list|looking for|sold|traded|gone)\s*[:\u2013-]+\s*(?P<rest>\S.*)",
    re.IGNORECASE,
)
_SOLD: Final = re.compile(
    r"(?P<rest>.*#?\d\S*)[\s,;]+\(?(?P<word>(?:sold|traded|given away|gave)\b.*?)\)?", re.IGNORECASE
)
_MORE: Final = r"(?:\s?[-\u2013&,]\s?#?\d{1,4}\b)*(?:\s\(?x\s?\d{1,2}\)?)?"
_BY_SIGN: Final = re.compile(rf"(?P<book>.*?[^\W\d_].*?#\s?\d[\w./]*{_MORE})[\s,;:]+(?P<rest>\S.*)")
_BARE: Final = re.compile(rf"\s\d{{1,4}}[A-Za-z]?{_MORE}(?=[\s,;:])")
_MONTH: Final = rf"(?:{MONTHS_BEGIN})[a-z]{{0,6}}\.?"
_DAY: Final = (
    r"\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2})|\d{4}-\d{2}-\d{2}"
    rf"|\d{{1,2}}\s{_MONTH}\s(?:19|20)\d\d|{_MONTH}\s\d{{1,2}},?\s(?:19|20)\d\d"
)
_YEAR: Final = rf"(?:{_MONTH}\s)?(?:18|19|20)\d\d"
_SIGN: Final = "[$\u00a3\u20ac\u00a5]"
_PAID: Final = (
    rf"(?:paid|cost(?: me)?|bought for)\s(?P<price>{_SIGN}?\s?\d[\d.,]*(?:\s?(?:{_SIGN}|[A-Z]{{3}}))?)"
    r"(?:\s(?:each|ea|apiece))?(?!\s(?:for|together|total))"
)
_PARTS: Final = tuple(
    re.compile(rf"(?:{form})(?=[\s,;)]|$)", re.IGNORECASE)
    for form in (
        _PAID,
        rf"(?:bought|got|purchased)(?:\s(?:in|on))?\s(?P<on>{_DAY}|{_YEAR})|(?:in\s)?(?P<day>{_DAY})",
        r"(?P<means>gift|present|trade|traded|inherited|found)",
        r"from\s(?P<seller>[^\W\d_][^\d,;()]*?)(?=\s(?:paid|bought|got)\b|[,;]|$)",
        rf"\(?(?P<year>{_YEAR})\)?",
    )
)
_A_DAY: Final = re.compile(rf"(?<!\S)(?:{_DAY})(?=[\s,;)]|$)", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"[\s,;]+")
_GRADE_WORDS: Final = 3


def is_line(text: str) -> bool:
    """It is a book in one line, with more than its title and number."""
    return len(parted({_AT: text}, ())) > 1


def parted(said: Mapping[str, str], fields: Collection[str | None]) -> dict[str, str]:
    """What a row says, its one line taken apart; nothing where it has none, or where a column of its own says the same."""
    line = said.get(_AT, "")
    found = _parts(line) if len(line) <= _LONGEST else {}
    is_free = all(name == _AT or name not in fields or not said.get(name) for name in found)
    return found if is_free else {}


def _parts(line: str) -> dict[str, str]:
    for form in (_WANTED, _SOLD):
        if found := form.fullmatch(line):
            return {**(_parts(found["rest"]) or {_AT: found["rest"]}), "gone": found["word"]}
    readings = [{_AT: book, **parts} for book, rest in _cuts(line) if (parts := _behind(rest))]
    if _BY_SIGN.fullmatch(line) is None:
        # Without a sign only a grade, else what was paid, tells where the number was; two places tell none.
        sure = [each for each in readings if "grade" in each]
        readings = sure or [each for each in readings if "price" in each]
    if len(readings) != 1:
        return {}
    found_parts = readings[0]
    is_all = found_parts.pop("year", None) is None
    return found_parts if is_all else {**found_parts, "note": f"As written: {line}"}


def _cuts(line: str) -> Iterator[tuple[str, str]]:
    if (found := _BY_SIGN.fullmatch(line)) is not None:
        yield found["book"], found["rest"]
        return
    for each in _BARE.finditer(line):
        book = line[: each.end()]
        if re.match(r"\W*[^\W\d_]", book):
            yield book, line[each.end() :].strip(" ,;:")


def _behind(rest: str) -> dict[str, str]:
    """Each part of what stands behind title and number; nothing where any of it is not understood, or is said twice."""
    said: dict[str, str] = {}
    while rest:
        name, text, length = _next(rest)
        if not name or name in said:
            return {}
        said[name] = text
        rest = _BETWEEN.sub("", rest[length:], count=1) if _BETWEEN.match(rest, length) else rest[length:]
    return said


def _next(rest: str) -> tuple[str, str, int]:
    for form in _PARTS:
        if found := form.match(rest):
            name, text = next((name, text) for name, text in found.groupdict().items() if text)
            return "on" if name == "day" else name, text.strip(), found.end()
    day = _A_DAY.search(rest)
    words = list(re.finditer(r"[^\s,;]+", rest[: day.start()] if day else rest))[:_GRADE_WORDS]
    for count in range(len(words), 0, -1):
        end = words[count - 1].end()
        if re.search(r"[A-Za-z.]", rest[:end]) and grade_said(rest[:end])[0]:
            return "grade", rest[:end], end
    return "", "", 0
