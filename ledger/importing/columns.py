"""Which column says what: by what stands over it, else by what stands in it; and which row is the one of names."""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from ledger._edtf import MONTHS_BEGIN
from ledger.importing.fields import BY_NAME, REPEATED
from ledger.importing.heads import Head, read_head
from ledger.importing.one_line import is_line
from ledger.importing.several import is_state
from ledger.importing.tables import MERGED
from ledger.rules.currencies import currencies
from ledger.rules.grades import read_stated

__all__ = ["HEAD_WITHIN", "By", "Columns", "Matched", "matched", "names_books", "refitted"]

HEAD_WITHIN: Final = 20
"""Rows among which the line of names is looked for; titles and empty lines may stand above it. Our assumption."""
_NAMED_LEAST: Final = 2
_SURE_LEAST: Final = 3
_MOST: Final = 0.6
"""A column is what this share of its cells read as. Our assumption."""
_HOLDING: Final = frozenset({"raw", "slabbed", "slab", "graded", "ungraded", "in holder", "not stated"})
_NUMBER: Final = re.compile(r"#? ?\d{1,4}([a-z]|\.0)?|\d/\d", re.IGNORECASE)
_LISTED: Final = re.compile(r"#?\d{1,4}(?:(?:, | ?[-;&\u2013] ?)#?\d{1,4}){1,40}")
_BOTH: Final = re.compile(r".*[^\W\d_]{2}.*(#|no\.?|nr\.?|\s)\s*\d{1,4}[a-z]?", re.IGNORECASE)
_DAY: Final = re.compile(
    rf"\d{{1,2}}[./-]\d{{1,2}}[./-]\d{{2,4}}|\d{{4}}-\d{{1,2}}(-\d{{1,2}})?|.*\b({MONTHS_BEGIN}).*\d{{4}}.*",
    re.IGNORECASE,
)
_YEAR: Final = re.compile(r"(18|19|20)\d\d")
_MONTH_AND_YEAR: Final = re.compile(r"\d{1,2}[./-]\d{4}")
_AMOUNT: Final = re.compile(r"([^\w\s]|[A-Za-z]{3})? ?\d[\d.,'\u2019 ]*( ?([^\w\s]|[A-Za-z]{3}))?")
_WORDS: Final = re.compile(r"[^\W\d_]{2}")


class By(StrEnum):
    """How a column's field was found."""

    NAME = "name"
    CONTENT = "content"
    HAND = "hand"
    NOTHING = "nothing"


@dataclass(frozen=True, kw_only=True)
class Matched:
    """One column: what stands over it, the field it is read as, and how that was found."""

    head: str
    field: str | None
    by: By


@dataclass(frozen=True, kw_only=True)
class Columns:
    """The columns of a table, and the row that names them, by its number in the file; 0 where none does."""

    columns: tuple[Matched, ...]
    head_at: int = 0
    above: int = 0
    """Rows down to that one which are not empty, itself among them: they are no books."""
    below: int = 0
    """Number of the row at which another table seems to begin; 0 where none does."""
    below_says: str = ""
    """The words of that row."""
    is_renamed: bool = False
    """Somewhere from that row on the columns have other names."""

    @property
    def fields(self) -> tuple[str | None, ...]:
        """Of each column the field it is read as."""
        return tuple(each.field for each in self.columns)

    @property
    def heads(self) -> Mapping[str, Head]:
        """What stands over the column of each field."""
        return {each.field: read_head(each.head) for each in self.columns if each.field is not None}

    def names_again(self, cells: Sequence[str]) -> bool:
        """These cells are the line of names again, as at the head of every printed page."""
        heads = [each.head for each in self.columns]
        said = [cell.removeprefix(MERGED).strip() for cell in cells]
        return len(set(filter(None, heads))) > 1 and said == heads[: len(said)] and not any(heads[len(said) :])


def matched(rows: Sequence[tuple[int, Sequence[str]]], kept: Mapping[str, str] | None = None) -> Columns:
    """The columns of a table by its first rows, each with its number; `kept` says what was chosen for a name before.

    Keeps: no field is taken twice but those that may be; of two columns of one name the first has it, and a table that
    stands beside the first has none.
    """
    rows = [(number, [cell.removeprefix(MERGED) for cell in cells]) for number, cells in rows]
    width = max((len(cells) for _, cells in rows), default=0)
    head_at, head = _head(rows)
    heads = [*head, *[""] * (width - len(head))]
    body = [cells for number, cells in rows if number > head_at]
    found: list[Matched] = []
    days = {at for at in range(width) if _share(_cells(body, at), _is_time) >= _MOST}
    before = {name.strip(): kept[name.strip()] for name in heads if name.strip() in kept} if kept else {}
    beside = _beside(heads)
    for at, name in enumerate(heads):
        if at >= beside:
            found.append(Matched(head=name.strip(), field=None, by=By.NOTHING))
            continue
        chosen = before.get(name.strip())
        field = chosen if chosen in BY_NAME else None if chosen is not None else _named(name, is_time=at in days)
        # What was chosen before goes before what a name says.
        taken = {each.field for each in found} | (set(before.values()) if chosen is None else set())
        free = field if field in REPEATED or field not in taken else None
        by = By.NOTHING if free is None and chosen is None else By.HAND if chosen is not None else By.NAME
        found.append(Matched(head=name.strip(), field=free, by=by))
    columns = (*_by_content(found[:beside], body, kept or {}), *found[beside:])
    return Columns(columns=columns, head_at=head_at, above=len(rows) - len(body))


def names_books(rows: Sequence[tuple[int, Sequence[str]]]) -> bool:
    """A line of names among these rows names the title and the number of books."""
    names = {read_head(cell).field for cell in _head(rows)[1]}
    return "title_number" in names or {"title", "number"} <= names


def refitted(columns: Columns, fields: Sequence[str | None]) -> Columns:
    """The same columns read as somebody chose.

    Requires: as many fields as columns
    """
    pairs = zip(columns.columns, fields, strict=True)
    chosen = tuple(
        each if each.field == field else Matched(head=each.head, field=field, by=By.HAND) for each, field in pairs
    )
    return replace(columns, columns=chosen)


def _head(rows: Sequence[tuple[int, Sequence[str]]]) -> tuple[int, Sequence[str]]:
    """The row in which most cells are names of columns; before a longer one of a second table the first that names books."""
    if rows and all(len(cells) == 1 for _, cells in rows) and read_head(rows[0][1][0]).field:
        return rows[0]
    scored = []
    for at, (_, cells) in enumerate(rows[:HEAD_WITHIN]):
        named = {field for field in (read_head(cell).field for cell in cells) if field is not None}
        if len(named) >= _SURE_LEAST and ("title_number" in named or {"title", "number"} <= named):
            return rows[at]
        scored.append((sum(read_head(cell).field is not None for cell in cells), -at, at))
    score, _, at = max(scored, default=(0, 0, 0))
    return rows[at] if score >= _NAMED_LEAST else _strange_head(rows)


def _strange_head(rows: Sequence[tuple[int, Sequence[str]]]) -> tuple[int, Sequence[str]]:
    """The first row, where no cell of it has a digit and most below two of them or more have: names nobody knows here."""
    first, *body = rows or [(0, ())]
    if not body or any(map(_has_digit, first[1])):
        return 0, ()
    below = [[row[at] for _, row in body if at < len(row) and row[at]] for at, cell in enumerate(first[1]) if cell]
    counted = sum(_share(cells, _has_digit) >= _MOST for cells in below)
    return first if counted >= _NAMED_LEAST else (0, ())


def _by_content(found: list[Matched], body: Sequence[Sequence[str]], kept: Mapping[str, str]) -> tuple[Matched, ...]:
    """What no name says, what stands in the column says; and a column of titles with numbers is no column of numbers.

    Beside a title and a number in columns of their own, an item or a description is none of both.
    """
    cells = [_cells(body, at) for at in range(len(found))]
    named = {each.field for each in found}
    for at, each in enumerate(found):
        if each.field == "title_number" and each.by is By.NAME and {"title", "number"} <= named:
            found[at] = Matched(head=each.head, field=None, by=By.NOTHING)
        if each.field in ("number", "title") and each.by is By.NAME and _share(cells[at], _is_both) >= _MOST:
            other = "title" if each.field == "number" else "number"
            if other not in {column.field for column in found}:
                found[at] = Matched(head=each.head, field="title_number", by=By.CONTENT)
    taken = {each.field for each in found}
    # Where no name at all is known, titles and numbers are told as if there were none.
    under = _BY_CONTENT_UNDER_A_NAME | (frozenset() if taken - {None} else frozenset({"title", "number"}))
    for field, test in _TESTS:
        if field in taken or (field in ("title", "number") and "title_number" in taken):
            continue
        if field == "title_number" and "title" in taken:
            continue
        free = [at for at, each in enumerate(found) if each.by is By.NOTHING and each.head not in kept and cells[at]]
        shares = {at: _share(cells[at], test) for at in free if not found[at].head or field in under}
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        if best is not None and shares[best] >= _MOST:
            found[best] = Matched(head=found[best].head, field=field, by=By.CONTENT)
            taken.add(field)
    return tuple(found)


def _beside(heads: Sequence[str]) -> int:
    """The first column of a table beside the first: titles are named again behind a column without a name."""
    fields = [read_head(name).field for name in heads]
    for at, field in enumerate(fields):
        before = fields.index(field) if field in ("title", "title_number") else at
        if before < at and not all(name.strip() for name in heads[before:at]):
            return at
    return len(heads)


def _named(head: str, *, is_time: bool) -> str | None:
    """The field that is named; got over days says when, and not whether."""
    field = read_head(head).field
    return "on" if field == "here" and is_time else field


def _cells(body: Sequence[Sequence[str]], at: int) -> list[str]:
    return [row[at].strip() for row in body if at < len(row) and row[at].strip()]


def _share(cells: Sequence[str], test: Callable[[str], bool]) -> float:
    counted = Counter(map(test, cells))
    return counted[True] / len(cells) if cells else 0.0


def _has_digit(cell: str) -> bool:
    return any(map(str.isdigit, cell))


def _is_both(cell: str) -> bool:
    return _BOTH.fullmatch(cell) is not None or is_line(cell)


def _is_number(cell: str) -> bool:
    is_listed = _LISTED.fullmatch(cell) is not None and _DAY.fullmatch(cell) is None
    return is_listed or _NUMBER.fullmatch(cell) is not None


def _is_grade(cell: str) -> bool:
    return any(sign.isalpha() or sign == "." for sign in cell) and bool(read_stated(cell))


def _is_time(cell: str) -> bool:
    return any(form.fullmatch(cell) for form in (_DAY, _YEAR, _MONTH_AND_YEAR))


def _is_amount(cell: str) -> bool:
    return _AMOUNT.fullmatch(cell) is not None and _YEAR.fullmatch(cell) is None


_TESTS: Final[tuple[tuple[str, Callable[[str], bool]], ...]] = (
    ("currency", lambda cell: cell in currencies()),
    ("here", is_state),
    ("holding", lambda cell: cell.casefold() in _HOLDING),
    ("on", lambda cell: _DAY.fullmatch(cell) is not None),
    ("grade", _is_grade),
    ("title_number", _is_both),
    ("title", lambda cell: _WORDS.search(cell) is not None),
    ("number", _is_number),
    ("price", _is_amount),
)
_BY_CONTENT_UNDER_A_NAME: Final = frozenset({"currency", "holding", "grade", "title_number", "here"})
"""What cannot well be anything else, so that a column under a strange name can be told by it; a day can be of anything."""
