"""Runs: which numbers of a series there are by the collector's word, and which of them are owned, missing or double.

A number is text, as it was printed. Its order is stated here, in `number_key`, and nowhere else.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from typing import Final, NamedTuple

from ledger.errors import InvalidError, Problem
from ledger.folding import folded

__all__ = [
    "NUMBERS_MOST",
    "NumberKey",
    "NumberLine",
    "Owned",
    "Printed",
    "Run",
    "number_key",
    "read_printed",
    "run_key",
    "run_of",
    "spelled",
]

NUMBERS_MOST: Final = 2_000
"""Numbers of one run."""
_LONGEST: Final = 40
_SLUG_MOST: Final = 40
_DENOMINATORS: Final = frozenset({2, 3, 4, 8})
"""1/2 is a half; 14/15 is one book with two numbers. Our assumption."""
_HALVES: Final = re.compile("[\u00bc-\u00be\u2150-\u215e]")
_PLAIN: Final = re.compile(r"#?(-?\d{1,6})(?: (\d)/(\d))?(.*)")
_PART: Final = re.compile(r"#?(\d)/(\d)(.*)")
_DECIMAL: Final = re.compile(r"#?(-?\d{1,6}\.\d{1,3})(.*)")
_NAMED: Final = re.compile(r"(\D*?)#?(\d{1,6})(.*)")
_SPAN: Final = re.compile(r"(.*?)(\d{1,6}) ?[-\u2013] ?(\d{1,6})")


class NumberKey(NamedTuple):
    """What a number is put in order by, and by what two of them are the same."""

    named: int
    """0 for those that begin with a figure, 1 for those that begin with a word."""
    word: str
    value: Fraction
    rest: str


def number_key(text: str) -> NumberKey:
    """The key of a number as printed.

    In order: those that begin with a figure, by their value, so that 1/2 stands between 0 and 1 and 14A behind 14, what follows
    the figure by its letters; then
    those that begin with a word, by the word and then by its figure, as Annual 3. A sign before the figure, zeros in
    front, capitals and accents make no other number.
    """
    plain = folded(_HALVES.sub(lambda found: f" {found[0]}", text))
    if (found := _PART.fullmatch(plain)) and int(found[2]) in _DENOMINATORS and int(found[1]) < int(found[2]):
        return NumberKey(0, "", Fraction(int(found[1]), int(found[2])), found[3].strip())
    if found := _DECIMAL.fullmatch(plain):
        return NumberKey(0, "", Fraction(found[1]), found[2].strip())
    if found := _PLAIN.fullmatch(plain):
        part = Fraction(int(found[2]), int(found[3])) if found[2] and int(found[3]) else Fraction(0)
        return NumberKey(0, "", Fraction(int(found[1])) + part, found[4].strip())
    if found := _NAMED.fullmatch(plain):
        return NumberKey(1, found[1].strip(), Fraction(int(found[2])), found[3].strip())
    return NumberKey(1, plain, Fraction(-1), "")


@dataclass(frozen=True, kw_only=True)
class Printed:
    """Which numbers there are, by the collector's word: from the first to the last, without some, and some besides."""

    first: int | None = None
    last: int | None = None
    never: tuple[str, ...] = ()
    """Between them, and never printed."""
    also: tuple[str, ...] = ()
    """Printed besides: 1/2, Annual 3."""

    @property
    def numbers(self) -> tuple[str, ...]:
        """All of them, in order."""
        gone = {number_key(each) for each in self.never}
        run = range(self.first, self.last + 1) if self.first is not None and self.last is not None else ()
        found = {key: each for each in (*map(str, run), *self.also) if (key := number_key(each)) not in gone}
        return tuple(found[key] for key in sorted(found))


def read_printed(first: str, last: str, never: str, also: str) -> Printed:
    """What was typed: two whole numbers, and two lists such as `13, 27-29` and `1/2, Annual 1-3`.

    Raises: InvalidError with every problem.
    """
    problems: list[Problem] = []
    low, high = _whole(first, "first", problems), _whole(last, "last", problems)
    if not problems and (low is None) != (high is None):
        problems.append(Problem(field="last" if high is None else "first", sentence="Write both ends, or neither."))
    if low is not None and high is not None and not problems:
        if high < low:
            problems.append(Problem(field="last", sentence="The last number is lower than the first. Check both."))
        elif high - low >= NUMBERS_MOST:
            said = f"A run has at most {NUMBERS_MOST:,} numbers here."
            problems.append(Problem(field="last", sentence=said))
    lists = {name: _listed(text, name, problems) for name, text in (("never", never), ("also", also))}
    if problems:
        raise InvalidError(problems=tuple(problems))
    return Printed(first=low, last=high, **lists)


def spelled(numbers: Sequence[str]) -> str:
    """A list of numbers as it is typed; neighbours are put together."""
    parts: list[str] = []
    for start, end in _together(numbers):
        parts.append(start if start == end else f"{start}-{_figure(end)}")
    return ", ".join(parts)


@dataclass(frozen=True, kw_only=True)
class Owned:
    """One book of a series that is in the collection."""

    book: str
    no: int
    number: str
    grade: str | None = None
    """The grade in force as it was written."""
    step: int | None = None


@dataclass(frozen=True, kw_only=True)
class NumberLine:
    """One number of a run with the books of it, the best first."""

    number: str
    books: tuple[Owned, ...] = ()
    exists: bool = True
    """It is among those that there are by the collector's word; always so where nothing was said."""

    @property
    def best(self) -> Owned | None:
        """The copy with the highest grade in force; of two alike, the one that came first."""
        return self.books[0] if self.books else None


@dataclass(frozen=True, kw_only=True)
class Run:
    """One series from its start year."""

    key: str
    title: str
    start_year: int | None
    printed: Printed | None
    """None where the collector has not said which numbers there are."""
    lines: tuple[NumberLine, ...]

    @property
    def owned(self) -> tuple[NumberLine, ...]:
        """Numbers of which there is a book."""
        return tuple(each for each in self.lines if each.books)

    @property
    def missing(self) -> tuple[NumberLine, ...]:
        """Numbers that exist and are not owned."""
        return tuple(each for each in self.lines if not each.books)

    @property
    def double(self) -> tuple[NumberLine, ...]:
        """Numbers of which there are two books or more, whatever their printing and variant."""
        return tuple(each for each in self.lines if len(each.books) > 1)

    @property
    def strange(self) -> tuple[NumberLine, ...]:
        """Numbers that are owned and, by the collector's word, do not exist."""
        return tuple(each for each in self.lines if not each.exists)


def run_of(title: str, start_year: int | None, printed: Printed | None, owned: Iterable[Owned]) -> Run:
    """The run of these books."""
    books: dict[NumberKey, list[Owned]] = {}
    for each in owned:
        books.setdefault(number_key(each.number), []).append(each)
    exist = {} if printed is None else {number_key(each): each for each in printed.numbers}
    lines = []
    for key in sorted(books.keys() | exist.keys()):
        best = sorted(books.get(key, ()), key=lambda each: (each.step is None, -(each.step or 0), each.no))
        number = exist.get(key) or best[0].number
        lines.append(NumberLine(number=number, books=tuple(best), exists=printed is None or key in exist))
    key_of = run_key(title, start_year)
    return Run(key=key_of, title=title, start_year=start_year, printed=printed, lines=tuple(lines))


def run_key(title: str, start_year: int | None) -> str:
    """The name of a run in an address: its title in plain letters, its year, and a digest that tells it from any other."""
    plain = folded(title)
    slug = "-".join(re.findall(r"[a-z0-9]+", plain))[:_SLUG_MOST].strip("-") or "run"
    told = sha256(f"{plain}\x1f{start_year or ''}".encode()).hexdigest()[:8]
    return f"{slug}-{start_year or 'x'}-{told}"


def _whole(text: str, name: str, problems: list[Problem]) -> int | None:
    plain = text.strip().lstrip("#")
    if not plain:
        return None
    if not (plain.isascii() and plain.isdecimal() and len(plain) <= 6):  # noqa: PLR2004 - as in the patterns above
        problems.append(Problem(field=name, sentence="Write a whole number; others belong in the lists below."))
        return None
    return int(plain)


def _listed(text: str, name: str, problems: list[Problem]) -> tuple[str, ...]:
    found: list[str] = []
    for part in re.split(r"[,;\n]", text):
        plain = " ".join(part.split())
        if not plain:
            continue
        if len(plain) > _LONGEST:
            problems.append(Problem(field=name, sentence=f"This is too long for a number: {plain[:_LONGEST]} …"))
            continue
        found += _spread(plain)
        if len(found) > NUMBERS_MOST:
            problems.append(Problem(field=name, sentence=f"A list has at most {NUMBERS_MOST:,} numbers."))
            return ()
    by_key = {number_key(each): each for each in reversed(found)}
    return tuple(by_key[key] for key in sorted(by_key))


def _spread(plain: str) -> Iterator[str]:
    """Each number of a span; what is none stays as it is."""
    found = _SPAN.fullmatch(plain)
    if found is None or not 0 < int(found[3]) - int(found[2]) < NUMBERS_MOST:
        yield plain
        return
    for number in range(int(found[2]), int(found[3]) + 1):
        yield f"{found[1]}{number}"


def _together(numbers: Sequence[str]) -> Iterator[tuple[str, str]]:
    start = end = None
    for each in sorted(numbers, key=number_key):
        if end is not None and start is not None and _follows(number_key(end), number_key(each)):
            end = each
            continue
        if start is not None and end is not None:
            yield start, end
        start = end = each
    if start is not None and end is not None:
        yield start, end


def _follows(before: NumberKey, after: NumberKey) -> bool:
    whole = before.value.denominator == after.value.denominator == 1 and before.value >= 0
    return whole and not before.rest and not after.rest and before._replace(value=before.value + 1) == after


def _figure(number: str) -> str:
    found = re.search(r"\d+$", number)
    return found[0] if found else number
