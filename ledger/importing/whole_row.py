"""A row as a whole, its cells being read: what one says of another, how many books it stands for, and whether it is one."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final, Literal, get_args

from ledger.errors import Problem
from ledger.events._parts import Holding, StatedGrade, usual_opinion
from ledger.importing.fields import AMOUNTS, BY_NAME
from ledger.importing.several import BOOKS_MOST, DITTO
from ledger.rows import folded

__all__ = [
    "ASK_HERE",
    "ASK_SEVERAL",
    "ASK_UNTITLED",
    "OF_SUMS",
    "SEVERAL",
    "UNTITLED",
    "Books",
    "Several",
    "Untitled",
    "about_here",
    "about_title",
    "apart",
    "aside_of",
    "complete",
    "keys_of",
    "named_books",
    "of_sums_at",
    "says_no_title",
]

ASK_SEVERAL: Final = "ask.several"
"""Rule of a problem that goes away once it is said what rows are that speak of several books."""
ASK_HERE: Final = "ask.here"
"""Rule of a problem that goes away once it is said whether books are here of which the column says nothing."""
ASK_UNTITLED: Final = "ask.untitled"
"""Rule of a problem that goes away once it is said whether rows without a title have the one above them."""

Several = Literal["each", "together", "as_written"]
"""A row that speaks of several books: its amounts are of each, or of all together, or it is one book that is numbered so."""
SEVERAL: Final[tuple[Several, ...]] = get_args(Several)
Untitled = Literal["above", "missing"]
"""A row without a title has the one above it, or its title is missing."""
UNTITLED: Final[tuple[Untitled, ...]] = get_args(Untitled)
Books = tuple[str, ...]
"""Of each book that a row stands for its number; empty where it is the one of the row."""
_SINCE: Final = re.compile(r"(?P<title>.*\S)\s*\((?:vol\.? ?\d+,? ?)?(?P<year>1[89]\d\d|20\d\d)\)")
_NOTHING_HERE: Final = "The column says nothing of this book. Say once for the whole file whether such books are here."
OF_SUMS: Final = (
    "This looks like a line of sums and not like a book. Leave it out; of a series that is called so, write the year it "
    "began with its title, like Total (1990)."
)
_SUMS: Final = re.compile(
    r"(?:(?:grand|sub|over ?all)[- ]?)?totals?(?: (?:of )?(?:books|comics|issues|value|cost|paid|spent|price|number))?"
    r"|sum|average|number of (?:books|comics|issues)|(?:gesamt)?summe|gesamt|insgesamt|totale|totaal|somme|suma|summa"
)
"""What stands at the beginning of a line of sums. Source: common practice, no source."""


def of_sums_at(said: Mapping[str, str]) -> str:
    """The field in which a line of sums says that it is one; empty where the row looks like none."""
    texts = {name: folded(said.get(name, "")).strip("0123456789 .,:=") for name in ("title", "title_number", "number")}
    return next((name for name, text in texts.items() if _SUMS.fullmatch(text)), "")


def says_no_title(text: str) -> bool:
    """Nothing stands there, or that it is the same as above."""
    return not text or text.casefold() in DITTO


def about_title(said: Mapping[str, str], problems: list[Problem], untitled: Untitled | None) -> None:
    """Whether a title that does not stand there is the one above is asked once, until it is said."""
    if untitled is None and says_no_title(said.get("title", "")):
        problems[:] = [replace(each, rule=ASK_UNTITLED) if each.field == "title" else each for each in problems]


def about_here(read: dict[str, Any], problems: list[Problem], here: str | None) -> None:
    """Whether a book is here of which the column of what is here says nothing is asked once, until it is said."""
    if "here" in read or any(each.field == "here" for each in problems):
        return
    if here is None:
        problems.append(Problem(field="here", sentence=_NOTHING_HERE, rule=ASK_HERE))
    else:
        read["here"] = here


def aside_of(
    said: Mapping[str, str], read: Mapping[str, Any], problems: Sequence[Problem], *, is_over: bool = False
) -> str:
    """The words by which a row says that no such book is here; empty where it says no such thing.

    `is_over` says that rows below have its title: where it has nothing else, it is no book.
    """
    if is_over and said.get("title") and not any(text for name, text in said.items() if name != "title"):
        return said["title"]
    wrong = {each.field for each in problems}
    for name, absent in (("copies", (0,)), ("here", ("no",))):
        if read.get(name) in absent and name not in wrong:
            return f"{BY_NAME[name].title}: {said.get(name, '')}"
    gone = read.get("gone", "no")
    return "" if gone == "no" else f"{BY_NAME['gone'].title}: {gone}"


def apart(read: dict[str, Any]) -> None:
    """A title that has its number or the year its series began with it."""
    both = read.pop("title_number", None)
    if both is not None:
        title, number = both
        read.setdefault("title", title)
        if number is not None:
            read.setdefault("number", number)
    found = _SINCE.fullmatch(read.get("title") or "")
    if found and "start_year" not in read:
        read["title"], read["start_year"] = found["title"], int(found["year"])


def complete(read: dict[str, Any], problems: list[Problem]) -> None:
    """What one field says of another, and what a book cannot be without."""
    wrong = {problem.field for problem in problems}
    for name, mend in (("title", "Write the title of its series."), ("number", "Write its number as printed.")):
        if name not in read and not wrong & {name, "title_number"}:
            problems.append(Problem(field=name, sentence=f"{BY_NAME[name].title} is missing. {mend}"))
    if "holder_number" in read:
        read.setdefault("holding", Holding.SLABBED)
    stated = read.get("grade")
    if stated is not None:
        opinion = usual_opinion(read.get("holding", Holding.NOT_STATED))
        read["grade"] = StatedGrade(as_written=stated.as_written, steps=stated.steps, opinion_of=opinion)


def named_books(
    said: Mapping[str, str], read: dict[str, Any], problems: list[Problem], several: Several | None
) -> tuple[Books, tuple[tuple[str, str], ...]]:
    """The books that a row stands for, and the words that go into its note, by field.

    Keeps: what is of all books together is an amount of none of them.
    """
    listed = read.pop("numbers", ())
    numbers = () if several == "as_written" else listed
    copies = read.get("copies", 1)
    count = max(len(numbers), 1) * copies
    if count <= 1 or "number" not in read:
        return (), ()
    at = next(name for name in ("number", "title_number") if said.get(name)) if numbers else "copies"
    at = at if said.get(at) else "title_number" if said.get("title_number") else "number"
    if fault := _against(read, numbers, count, several):
        rule = ASK_SEVERAL if several is None else ""
        problems.append(Problem(field=at, sentence=fault, rule=rule))
        return (), ()
    kept = tuple(_together(said, read, count)) if several == "together" else ()
    return tuple(number for number in numbers or (read["number"],) for _ in range(copies)), kept


def _against(read: Mapping[str, Any], numbers: Books, count: int, several: Several | None) -> str:
    if count > BOOKS_MOST:
        return f"It stands for {count} books, and there may be {BOOKS_MOST} in one row. Write fewer."
    if "holder_number" in read:
        return f"It stands for {count} books and has one holder number. Write a row for each."
    if several is None:
        what = f"the numbers {', '.join(numbers)}" if numbers else f"{count} copies"
        return f"It speaks of {what}. Say once for the whole file what such rows are."
    return (
        f"It speaks of {count} copies, and a row was said to be one book. Write 1." if several == "as_written" else ""
    )


def _together(said: Mapping[str, str], read: dict[str, Any], count: int) -> Iterator[tuple[str, str]]:
    for name in AMOUNTS:
        if read.pop(name, None) is not None:
            yield name, f"{said.get(name, '')} for {count} books together"


def keys_of(key: str, books: Books) -> Iterator[str]:
    """The key of each book of a row; of copies the first, of one number alone, has the key of the row.

    Keeps: a number that a list has more or less than before changes the key of no other.
    """
    seen: Counter[str] = Counter()
    is_one = len(set(books)) == 1
    for number in books:
        copy, seen[number] = seen[number], seen[number] + 1
        yield key + ("" if is_one else f".{number}") + (f".copy{copy + 1}" if copy else "")
