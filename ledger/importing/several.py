"""Cells that speak of several books at once, or of none: a run of numbers, how many copies there are, whether any is here."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from ledger.book import Status
from ledger.importing.cells import NOT_KNOWN, READERS, short_of, unread
from ledger.importing.loose import Loose

__all__ = ["BOOKS_MOST", "DITTO", "SEVERAL_READERS", "gone_of", "is_state", "numbers_of"]

BOOKS_MOST: Final = 500
"""Books of one row. Our assumption."""
_LONGEST: Final = 240
_COPIES_MOST: Final = 99
_ONE: Final = r"#?\s?\d{1,4}"
_TO: Final = r"\s?(?:[-\u2013\u2014]|to|thru|through)\s?"
_AND: Final = r"\s?(?:,?\s?and\b|[,;&+])\s?"
_RUN: Final = rf"{_ONE}(?:{_TO}{_ONE})?"
_RUNS: Final = rf"(?:(?:nos?|nrs?|issues?|numbers?)\b\.?\s?)?(?P<runs>{_RUN}(?:{_AND}{_RUN})*)"
_LIST: Final = re.compile(_RUNS, re.ASCII | re.IGNORECASE)
_GROUPED: Final = re.compile(r"#?\s?\d,\d{3}", re.ASCII)
"""One number with a mark between its thousands."""
_BEHIND: Final = re.compile(rf"[\s,:]{_RUNS}$", re.ASCII | re.IGNORECASE)
_PART: Final = re.compile(r"(?:^|\W)(?:v|vol|volume|book|part|series|year|annual)\W*$", re.IGNORECASE)
"""What stands before a number that is none of an issue."""
_TIMES: Final = re.compile(
    r"(?P<rest>.*\d)\s*[\s(\[](?:x\s?(?P<a>\d{1,2})|(?P<b>\d{1,2})\s?(?:x|copies))[)\]]?", re.ASCII | re.IGNORECASE
)
_COPIES: Final = re.compile(r"(?:x\s?)?(\d{1,4})(?:\.0+)?(?:\s?(?:x|pcs?\.?|copy|copies))?", re.ASCII)
_NOT_GONE: Final = frozenset(
    {"no", "n", "false", "\u2717", "\u2718", "\u2610", "not sold", "unsold", "not yet", "not gone", "still have"}
    | {"still have it", "still here", "have", "have it", "here", "in collection", "keep", "keeping", "kept"}
    | {"00/00/0000"}
)
"""What people write in such a column of a book that is here. Source: common practice, no source."""
_FOR_NOTHING: Final = re.compile(r"\W{0,3}(?:0[0.,]{0,5}|-)\W{0,3}")
"""An amount of nothing, as a spreadsheet shows what was not sold."""
DITTO: Final = frozenset({'"', "''", "\u201d", "\u3003", "ditto", "do."})
"""What people write where a cell says the same as the one above. Source: common practice, no source."""
_STATES: Final = {
    **{each.value: "yes" for each in (Status.HELD, Status.OUT, Status.EXPECTED)},
    **{each.value: "no" for each in (Status.NOT_YET, Status.GONE, Status.SENT_BACK, Status.DUPLICATE)},
}
"""What the table of books from here says of each."""
_HERE: Final = frozenset(
    {each for each, said in _STATES.items() if said == "yes"}
    | {"yes", "y", "x", "true", "have", "have it", "own", "owned", "got", "got it", "in collection", "here", "kept"}
    | {"keep", "in hand", "\u2713", "\u2714", "\u2611"}
)
_NOT_HERE: Final = frozenset(
    {each for each, said in _STATES.items() if said == "no"}
    | {"no", "n", "0", "false", "want", "wanted", "wants", "wish", "wish list", "wishlist", "need", "needed", "missing"}
    | {
        "sold",
        "gone",
        "traded",
        "given away",
        "lost",
        "don't have",
        "ordered",
        "on order",
        "\u2717",
        "\u2718",
        "\u2610",
    }
)
"""What people write of books they have, and of those they have no more or not yet. Source: common practice, no source."""


def numbers_of(text: str) -> tuple[str, ...]:
    """The numbers of a list such as 1-5, 7, in their order; none where it is no list of several.

    Raises: MalformedError for more than may be.
    """
    found = _LIST.fullmatch(text) if len(text) <= _LONGEST else None
    if found is None or _GROUPED.fullmatch(text):
        return ()
    numbers: list[int] = []
    for run in re.split(_AND, found["runs"], flags=re.IGNORECASE):
        ends = [int(each) for each in re.findall(r"\d+", run)]
        if ends[-1] < ends[0] or (numbers and ends[0] <= numbers[-1]) or (len(ends) > 1 and ends[0] == ends[1]):
            return ()
        if ends[-1] - ends[0] + len(numbers) >= BOOKS_MOST:
            raise unread(text, f"{short_of(text)} names more than {BOOKS_MOST} numbers", "Write fewer in one row.")
        numbers.extend(range(ends[0], ends[-1] + 1))
    return tuple(map(str, numbers)) if len(numbers) > 1 else ()


def _number(text: str) -> Any:  # noqa: ANN401
    rest, copies = _times(text)
    numbers = numbers_of(rest)
    return _said(rest, READERS["number"] if not numbers else None, numbers, copies)


def _both(text: str) -> Any:  # noqa: ANN401
    rest, copies = _times(text)
    # The longest list behind the title is the one that is meant.
    for found in _BEHIND.finditer(rest) if len(rest) <= _LONGEST else ():
        title, numbers = rest[: found.start()].rstrip(" ,-:"), numbers_of(found[0].strip(" ,:"))
        if numbers and re.search(r"[^\W\d_]", title) and not _PART.search(title):
            return _said((title, found[0].strip(" ,:")), None, numbers, copies)
    return _said(rest, READERS["title_number"], (), copies)


def _said(value: Any, read: Callable[[str], Any] | None, numbers: tuple[str, ...], copies: int) -> Any:  # noqa: ANN401
    more: dict[str, Any] = ({"numbers": numbers} if numbers else {}) | ({"copies": copies} if copies > 1 else {})
    found = value if read is None else read(value)
    if not more:
        return found
    return (
        Loose(value=found.value, more={**found.more, **more})
        if isinstance(found, Loose)
        else Loose(value=found, more=more)
    )


def _times(text: str) -> tuple[str, int]:
    """A number, and how many copies of it stand behind it, as in 12 x2."""
    found = _TIMES.fullmatch(text) if len(text) <= _LONGEST else None
    return (found["rest"].rstrip(), int(found["a"] or found["b"])) if found else (text, 1)


def _copies(text: str) -> int:
    found = _COPIES.fullmatch(text.casefold())
    if found is None or int(found[1]) > _COPIES_MOST:
        mend = f"Write 1 to {_COPIES_MOST}, or leave it empty."
        raise unread(text, f"{short_of(text)} is no number of copies", mend)
    return int(found[1])


def _here(text: str) -> str:
    plain = text.casefold().strip(" .!")
    if plain in _HERE or plain in _NOT_HERE or plain.isdecimal():
        return "yes" if plain in _HERE or (plain.isdecimal() and int(plain[:4])) else "no"
    mend = "Write yes or no, or pass the column over."
    raise unread(text, f"{short_of(text)} does not say whether the book is here", mend)


def _gone(text: str) -> str:
    is_no = text.casefold() in _NOT_GONE or _FOR_NOTHING.fullmatch(text)
    return "no" if is_no else text


def gone_of(texts: Iterable[str]) -> str:
    """What several columns say together: the first that says that the book is not here, else the first."""
    said = [text for text in texts if text]
    return next(
        (text for text in said if text.casefold() not in NOT_KNOWN and _gone(text) != "no"), said[0] if said else ""
    )


def is_state(text: str) -> bool:
    """The cell says where a book stands as the table of books from here does."""
    return text.casefold() in _STATES


SEVERAL_READERS: Final[Mapping[str, Callable[[str], Any]]] = {
    "number": _number,
    "title_number": _both,
    "copies": _copies,
    "here": _here,
    "gone": _gone,
}
