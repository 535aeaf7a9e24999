"""A table of comparables as it was pasted or sent: which column says what, row by row, with every problem at its place."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger._edtf import MONTHS_BEGIN
from ledger.errors import Problem
from ledger.proof.report import MalformedError
from ledger.rules.currencies import currencies
from ledger.rules.grades import read_stated
from ledger.sale_rows import Reading, SaleRead, SaleSaid, read_sale

__all__ = ["BYTES_MOST", "CELL_MOST", "COLUMNS_MOST", "ROWS_MOST", "RowRead", "TableRead", "decoded", "read_sales"]

BYTES_MOST: Final = 300_000
ROWS_MOST: Final = 1_000
COLUMNS_MOST: Final = 20
CELL_MOST: Final = 500

_NAMES: Final = {
    "on": ("date", "day", "sold", "sold on", "sale date", "date sold", "date of sale", "when", "on"),
    "grade": ("grade", "step", "condition", "stated grade"),
    "price": ("price", "paid", "amount", "sum", "price paid", "sold for", "sale price", "hammer price"),
    "currency": ("currency", "code", "currency code"),
    "where": ("where", "venue", "place", "seller", "sold at", "source", "auction", "market"),
    "holding": ("holder", "holding", "raw or slabbed", "raw/slabbed", "slab", "slabbed"),
    "tone": ("tone", "page tone", "pages", "paper", "page colour", "page color"),
}
"""What people write over a column. Source: common practice, no source."""
_BY_NAME: Final = {name: field for field, names in _NAMES.items() for name in names}
_HOLDER_WORDS: Final = {"raw", "slab", "slabbed", "graded", "ungraded", "not stated", "not known"}
_WITH_CODE: Final = re.compile(r"(.+?)[\s,(\[]+([a-z]{3})[)\]]?")
_DAY: Final = re.compile(rf"(?i).*(\d{{4}}|{MONTHS_BEGIN}|day).*|\d{{1,2}}[./-]\d{{1,2}}[./-]\d{{2}}")
_YEAR: Final = re.compile(r"(18|19|20)\d\d")
_AMOUNT: Final = re.compile(r"\D{0,4}\d[\d.,'\u2019\s]*\D{0,4}")
_CUT: Final = re.compile(r"\D{0,4}\d{1,3}")
_THOUSANDS: Final = re.compile(r"\d{3}(\.\d{1,2})?")
_REST: Final = re.compile(r"\d{2,3}(\.\d{1,2})?")
_LIKE_A_YEAR: Final = 0.9
_MOST: Final = 0.6
"""A column is what this share of its cells read as. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class RowRead:
    """One row: its number in the table, from 1 and without the head, what stood in it, and what was read."""

    number: int
    said: SaleSaid
    read: SaleRead


@dataclass(frozen=True, kw_only=True)
class TableRead:
    """The table as it was understood."""

    columns: tuple[str | None, ...] = ()
    """Of each column the field it was read as; None for one that is passed over."""
    headed: bool = False
    """Its first line names the columns."""
    rows: tuple[RowRead, ...] = ()
    problems: tuple[Problem, ...] = ()
    """At `rows.NUMBER.FIELD`, or at `table` for the whole."""


def decoded(data: bytes) -> str:
    """The text of a file: UTF-8 or UTF-16, with or without their mark, or else Windows-1252.

    Raises: MalformedError.
    """
    if len(data) > BYTES_MOST:
        raise _unread(f"it has more than {BYTES_MOST:,} bytes", "Send it in parts.")
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    even, odd = data[:400:2], data[1:400:2]
    sparse = [
        name for half, name in ((odd, "utf-16-le"), (even, "utf-16-be")) if half and half.count(0) * 2 > len(half)
    ]
    ways = ["utf-16"] if marked else [*sparse, "utf-8-sig", "cp1252"]
    for way in ways:
        try:
            return data.decode(way)
        except UnicodeDecodeError:
            continue
    raise _unread("its characters are in no encoding that is known here", "Save it as UTF-8.")


def read_sales(text: str, reading: Reading) -> TableRead:
    """The rows of a table, set apart by tabs, semicolons or commas; columns in any order, with a head or without.

    Keeps: it reads all or says what is wrong; nothing is passed over in silence but columns that are no field.
    """
    try:
        lines = _cells(text.removeprefix("\ufeff"))
    except MalformedError as error:
        return TableRead(problems=(Problem(field="table", sentence=str(error)),))
    named, code = _head(lines[0])
    headed = sum(each is not None for each in named) >= min(2, len(lines[0]))
    columns = named if headed else _guessed(lines)
    body = lines[1:] if headed else lines
    if headed and code is not None:
        reading = replace(reading, currency=code)
    problems = list(_whole(columns, body))
    if problems:
        return TableRead(columns=tuple(columns), headed=headed, problems=tuple(problems))
    rows = tuple(_row(number, cells, columns, reading) for number, cells in enumerate(body, start=1))
    for row, cells in zip(rows, body, strict=True):
        at = f"rows.{row.number}"
        problems += [replace(each, field=f"{at}.{each.field}") for each in row.read.problems]
        problems += [Problem(field=f"{at}.price", sentence=each) for each in _torn(cells, columns)]
    return TableRead(columns=tuple(columns), headed=headed, rows=rows, problems=tuple(problems))


def _cells(text: str) -> list[list[str]]:
    """Rows of cells; empty lines are none.

    Raises: MalformedError, where it is empty or larger than anybody needs.
    """
    if len(text.encode("utf-8", "surrogatepass")) > BYTES_MOST:
        raise _unread(f"it has more than {BYTES_MOST:,} bytes", "Send it in parts.")
    if "\x00" in text:
        raise _unread("it holds a character that is none", "Save it as UTF-8.")
    try:
        found = csv.reader(io.StringIO(text, newline=""), delimiter=_mark(text), skipinitialspace=True, strict=True)
        lines = [[cell.strip() for cell in line] for line in found if any(cell.strip() for cell in line)]
    except csv.Error as error:
        raise _unread(f"its quotes do not stand as in a table ({error})", "Take them out.") from error
    if not lines:
        raise _unread("there is no row in it", "Paste rows with a date, a grade and a price each.")
    if len(lines) > ROWS_MOST + 1:
        raise _unread(f"it has more than {ROWS_MOST:,} rows", "Send it in parts.")
    if max(map(len, lines)) > COLUMNS_MOST:
        raise _unread(f"it has more than {COLUMNS_MOST} columns", "Leave out columns that say nothing of the sale.")
    if max(len(cell) for line in lines for cell in line) > CELL_MOST:
        raise _unread(f"one of its cells has more than {CELL_MOST} characters", "Shorten it.")
    return lines


def _mark(text: str) -> str:
    """What sets cells apart: the first of tab, semicolon and comma that stands in most of the lines."""
    lines = [line for line in text.splitlines() if line.strip()]
    for mark in "\t;,":
        if sum(mark in line for line in lines) * 2 > len(lines):
            return mark
    return "\t"


def _head(cells: Sequence[str]) -> tuple[list[str | None], str | None]:
    """The fields that a first line names, and a currency named there beside the price."""
    fields: list[str | None] = []
    code = None
    for cell in cells:
        name = " ".join(cell.casefold().replace("_", " ").split()).strip(" :")
        found = _BY_NAME.get(name)
        beside = _WITH_CODE.fullmatch(name)
        if (
            found is None
            and beside
            and _BY_NAME.get(beside[1].strip()) == "price"
            and beside[2].upper() in currencies()
        ):
            found, code = "price", beside[2].upper()
        fields.append(None if found in fields else found)
    return fields, code


def _guessed(lines: Sequence[Sequence[str]]) -> list[str | None]:
    """The field of each column by what stands in it, where no head says so."""
    width = max(map(len, lines))
    columns = [[line[at] for line in lines if at < len(line) and line[at]] for at in range(width)]
    fields: list[str | None] = [None] * width
    tests = (
        ("currency", lambda cell: cell.upper() in currencies()),
        ("holding", lambda cell: cell.casefold() in _HOLDER_WORDS),
        ("on", _like_a_day),
        ("grade", lambda cell: bool(read_stated(cell))),
        ("price", lambda cell: _AMOUNT.fullmatch(cell) is not None),
        ("where", lambda cell: any(each.isalpha() for each in cell)),
        ("tone", lambda cell: any(each.isalpha() for each in cell)),
    )
    for field, test in tests:
        shares = {
            at: sum(map(test, cells)) / len(cells)
            for at, cells in enumerate(columns)
            if cells and fields[at] is None and field not in fields
        }
        best = max(shares, key=lambda at: (shares[at], -at), default=None)
        if best is not None and shares[best] >= _MOST:
            fields[best] = field
    return fields


def _like_a_day(cell: str) -> float:
    """A bare year may be a price as well, so a column of written days goes before one of years."""
    if _YEAR.fullmatch(cell):
        return _LIKE_A_YEAR
    return float(_DAY.fullmatch(cell) is not None and not cell.replace(".", "").replace(",", "").isdigit())


def _whole(columns: Sequence[str | None], body: Sequence[Sequence[str]]) -> Iterable[Problem]:
    if "price" not in columns:
        sentence = "No column reads as prices. Name the columns in a first line: date, grade, price, currency, where."
        yield Problem(field="table", sentence=sentence)
    elif not body:
        yield Problem(field="table", sentence="There is a line of names and no row under it. Paste the rows too.")
    elif len(body) > ROWS_MOST:
        yield Problem(field="table", sentence=f"It has more than {ROWS_MOST:,} rows. Send it in parts.")


def _row(number: int, cells: Sequence[str], columns: Sequence[str | None], reading: Reading) -> RowRead:
    values = {field: cell for field, cell in zip(columns, cells, strict=False) if field is not None}
    said = SaleSaid(**values)
    return RowRead(number=number, said=said, read=read_sale(said, reading))


def _torn(cells: Sequence[str], columns: Sequence[str | None]) -> Iterable[str]:
    """A price that was cut in two at a comma of its own, or any other cell too many."""
    at = columns.index("price")
    price, after = cells[at] if at < len(cells) else "", cells[at + 1] if at + 1 < len(cells) else ""
    graded = at + 1 < len(columns) and columns[at + 1] == "grade"
    if len(cells) > len(columns):
        yield f"The row has {len(cells)} cells for {len(columns)} columns. Put what holds a comma into quotes, or use tabs."
    elif _CUT.fullmatch(price) and (_THOUSANDS if graded else _REST).fullmatch(after):
        yield f"{price} and {after} stand side by side like one amount. Put prices with commas into quotes, or use tabs."


def _unread(problem: str, mend: str) -> MalformedError:
    return MalformedError(what="The table", problem=problem, mend=mend)
