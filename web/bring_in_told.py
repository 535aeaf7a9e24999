"""A table on its way in, as its page tells it: its columns, its first rows, what is wrong, and what is likely here already."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.accounts import DATE_ORDERS, MARKS
from ledger.errors import NotFoundError
from ledger.importing.begun import HERE, Begun
from ledger.importing.below import ASK_BELOW, BELOW
from ledger.importing.columns import By
from ledger.importing.fields import BY_NAME, FIELDS
from ledger.importing.reading import ASK_CURRENCY, ASK_MARKS, ASK_ORDER, RowRead
from ledger.importing.tables import ENCODINGS, MERGED
from ledger.importing.tables import MARKS as CELL_MARKS
from ledger.importing.whole_row import ASK_HERE, ASK_SEVERAL, ASK_UNTITLED, SEVERAL, UNTITLED
from ledger.ports import Ledger
from web.wording import t

__all__ = [
    "CELL_MARK_WAYS",
    "ENCODING_WAYS",
    "FIELD_WAYS",
    "WAYS",
    "Ask",
    "Cell",
    "ColumnLine",
    "DoubleLine",
    "FirstRow",
    "ProblemRow",
    "asks_of",
    "column_lines",
    "double_lines",
    "first_lines",
    "problem_lines",
    "stands_words",
]

SHOWN_MOST: Final = 3
"""Cells of a column that are shown beside its name."""
_CELL: Final = 60
ENCODING_WAYS: Final = (("", t("bring_in.found_out")), *((each, each) for each in ENCODINGS))
CELL_MARK_WAYS: Final = (("", t("bring_in.found_out")), *((each, t(f"bring_in.marks.{each}")) for each in CELL_MARKS))
FIELD_WAYS: Final = (("", t("bring_in.pass_over")), *((each.name, each.title) for each in FIELDS))
_ANSWERS: Final[Mapping[str, tuple[tuple[str, str], ...]]] = {
    "order": tuple((each, t(f"value.orders.{each}")) for each in DATE_ORDERS),
    "marks": tuple((each, each) for each in MARKS),
    "several": tuple((each, t(f"bring_in.severals.{each}")) for each in SEVERAL),
    "here": tuple((each, t(f"bring_in.heres.{each}")) for each in HERE),
    "untitled": tuple((each, t(f"bring_in.untitleds.{each}")) for each in UNTITLED),
    "below": tuple((each, t(f"bring_in.belows.{each}")) for each in BELOW),
}
WAYS: Final = {name: (("", t("bring_in.ask_if")), *answers) for name, answers in _ANSWERS.items()}
"""What can be said once for a whole file, by the name of each question that is answered by a choice."""
_ASKS: Final = {
    ASK_ORDER: "order",
    ASK_MARKS: "marks",
    ASK_CURRENCY: "currency",
    ASK_SEVERAL: "several",
    ASK_HERE: "here",
    ASK_UNTITLED: "untitled",
    ASK_BELOW: "below",
}


@dataclass(frozen=True, kw_only=True)
class ColumnLine:
    """One column: its name, some of its cells, and how it is read."""

    at: int
    name: str
    cells: tuple[str, ...]
    field: str
    how: str


@dataclass(frozen=True, kw_only=True)
class FirstRow:
    """One row as it is read, a text for each field that is read."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One cell to be written anew."""

    name: str
    title: str
    value: str
    fault: str


@dataclass(frozen=True, kw_only=True)
class ProblemRow:
    """One row with what is wrong with it."""

    number: int
    name: str
    cells: tuple[Cell, ...]
    others: tuple[str, ...]
    """What is wrong at no field that can be written."""


@dataclass(frozen=True, kw_only=True)
class Ask:
    """What is to be said once for all rows: which of the ways of reading, and why."""

    name: str
    sentence: str


@dataclass(frozen=True, kw_only=True)
class DoubleLine:
    """One row that is likely a book that is here."""

    row: int
    name: str
    book: str
    book_name: str
    why: str


def column_lines(begun: Begun, rows: Sequence[RowRead], cells: Mapping[int, Sequence[str]]) -> tuple[ColumnLine, ...]:
    """Every column with some of its cells."""
    lines = []
    for at, each in enumerate(begun.columns.columns):
        found = [cells[row.number][at] for row in rows if at < len(cells.get(row.number, ()))]
        texts = dict.fromkeys(text.removeprefix(MERGED) for text in found if text)
        some = tuple(_short(text) for text in texts)[:SHOWN_MOST]
        name = each.head or t("bring_in.column_no", n=at + 1)
        how = t(f"bring_in.by.{By.NOTHING if each.field is None else each.by}")
        lines.append(ColumnLine(at=at, name=_short(name), cells=some, field=each.field or "", how=how))
    return tuple(lines)


def first_lines(rows: Sequence[RowRead]) -> tuple[tuple[str, ...], tuple[FirstRow, ...]]:
    """The titles of what is read, and the rows under them."""
    shown = {row.number: row.shown for row in rows}
    names = [each.name for each in FIELDS if any(each.name in row for row in shown.values())]
    titles = tuple(BY_NAME[name].title for name in names)
    lines = [
        FirstRow(number=number, cells=tuple(_short(row.get(name, "")) for name in names))
        for number, row in shown.items()
    ]
    return titles, tuple(lines)


def problem_lines(rows: Sequence[RowRead]) -> tuple[ProblemRow, ...]:
    """Each row with the cells that something is wrong with."""
    return tuple(_problem_line(row) for row in rows)


def double_lines(ledger: Ledger, begun: Begun, rows: Sequence[RowRead]) -> tuple[DoubleLine, ...]:
    """The rows that are likely here already and that nobody has decided on."""
    names = {row.number: _name(row) for row in rows}
    undecided = {each.row: each for each in begun.undecided}
    with ledger.log.read() as reader:
        lines = []
        for number, name in names.items():
            each = undecided[number]
            try:
                row = reader.book(each.book)
                book_name = f"{row.title} {row.number}"
            except NotFoundError:
                book_name = t("bring_in.the_book")
            why = t(f"bring_in.why.{each.why.value}")
            lines.append(DoubleLine(row=number, name=name, book=each.book, book_name=book_name, why=why))
    return tuple(lines)


def asks_of(begun: Begun) -> tuple[Ask, ...]:
    """What is to be said once."""
    asks = begun.found.asks if begun.found else {}
    return tuple(
        Ask(name=name, sentence=_asked(name, *asks[rule], begun)) for rule, name in _ASKS.items() if rule in asks
    )


def stands_words(begun: Begun) -> str:
    """How far it is."""
    stage = "done" if begun.done else "found" if begun.found else "choose"
    return t(f"bring_in.stages.{stage}")


def _asked(name: str, count: int, cell: str, begun: Begun) -> str:
    """Why it is asked; of a currency that was said already, that the name of a column speaks against it."""
    currency, columns = begun.options.currency, begun.columns
    if name == "currency" and currency is not None:
        return t.n("bring_in.asks.other_currency", count, cell=_short(cell), currency=currency)
    if name == "below":
        return t.n("bring_in.asks.below", count, row=columns.below, words=columns.below_says)
    return t.n(f"bring_in.asks.{name}", count, cell=_short(cell))


def _problem_line(row: RowRead) -> ProblemRow:
    faults: dict[str, list[str]] = {}
    for each in row.problems:
        faults.setdefault(each.field, []).append(each.sentence)
    cells = tuple(
        Cell(name=name, title=BY_NAME[name].title, value=row.said.get(name, ""), fault=" ".join(told))
        for name, told in faults.items()
        if name in BY_NAME
    )
    others = tuple(sentence for name, told in faults.items() if name not in BY_NAME for sentence in told)
    return ProblemRow(number=row.number, name=_name(row), cells=cells, others=others)


def _name(row: RowRead) -> str:
    parts = [row.said.get(name, "") for name in ("title_number", "title", "number")]
    return _short(" ".join(filter(None, parts))) or t("bring_in.no_name")


def _short(text: str) -> str:
    return text if len(text) <= _CELL else text[:_CELL] + "\u2026"
