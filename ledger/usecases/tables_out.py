"""Books, events and costs as tables: one line a book, an entry, a sum; as CSV or XLSX, and read back unchanged."""

import csv
import io
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import Any, BinaryIO, Final, cast

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.errors import ConflictError
from ledger.events.withdrawal import Withdrawal
from ledger.money import Money
from ledger.ports import Ledger, Reader, SealedValue
from ledger.rules.currencies import currency
from ledger.rules.grades import grades
from ledger.spreadsheet_cells import cell
from ledger.usecases.stored import readable
from ledger.views import PAGE_MOST, BookQuery, BookRow, DaybookRow, EntryQuery, ShelfQuery, ShelfRow
from ledger.workbooks import Cell

__all__ = ["HEADS", "Sheet", "SheetForm", "sheet_pieces", "sheet_rows"]

Row = Sequence[Cell]


class Sheet(StrEnum):
    """What a table is of."""

    BOOKS = "books"
    EVENTS = "events"
    COSTS = "costs"


class SheetForm(StrEnum):
    """How it is written."""

    CSV = "csv"
    XLSX = "xlsx"


HEADS: Final[Mapping[Sheet, tuple[str, ...]]] = {
    Sheet.BOOKS: (
        *("book number", "title", "issue number", "start year", "publisher", "cover date", "state", "what it is doing"),
        *("holding", "holder or certificate number", "grade as written", "grade from", "grade to", "opinion of"),
        *("graded by", "work done here", "kind of place", "place", "height mm", "width mm", "since", "entries"),
        *("book id",),
    ),
    Sheet.EVENTS: (
        *("entry", "happened on", "recorded", "kind", "says", "sealed", "withdrawn by entry", "book number", "title"),
        *("issue number", "act", "written by", "leaf", "book id"),
    ),
    Sheet.COSTS: (
        *("book number", "title", "issue number", "start year", "period", "what", "day", "amount", "currency"),
        *("not known because", "still here", "entry", "book id"),
    ),
}
"""Names of the columns; they stay, so that a table of last year can be laid beside one of this year."""

_PIECE: Final = 1 << 20
_IN_MEMORY: Final = 4 * 1024 * 1024
"""Bytes of a table that is held in memory; a longer one lies in a passing file."""
_BOOKS_AHEAD: Final = 4096
"""Books whose names are remembered while their sums go by."""


def sheet_pieces(ledger: Ledger, actor: Actor, sheet: Sheet, form: SheetForm) -> Iterator[bytes]:
    """The file, a piece at a time; all of it is written before the first piece is given.

    Raises: ForbiddenError, DamagedError; ConflictError where no workbook can be written.
    """
    actor.require(Permission.READ)
    file = cast("BinaryIO", tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY))  # noqa: SIM115 - read by whoever asks
    try:
        _write(ledger, file, sheet_rows(ledger, actor, sheet), sheet, form)
    except BaseException:
        file.close()
        raise
    return _read(file)


def sheet_rows(ledger: Ledger, actor: Actor, sheet: Sheet) -> Iterator[Row]:
    """Its head, and every line, read in one moment.

    Raises: ForbiddenError, DamagedError.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        yield HEADS[sheet]
        yield from _ROWS[sheet](reader)


def _write(ledger: Ledger, file: BinaryIO, rows: Iterator[Row], sheet: Sheet, form: SheetForm) -> None:
    if form is SheetForm.CSV:
        _write_csv(file, rows)
    elif ledger.workbooks is None:
        raise ConflictError(sentence="No workbook can be written here. Take the table as CSV.")
    else:
        ledger.workbooks.write(file, sheet.value, rows, ledger.clock.now())


def _write_csv(file: BinaryIO, rows: Iterator[Row]) -> None:
    """As RFC 4180 has it, UTF-8; a text that could be a formula has an apostrophe before it."""
    text = io.TextIOWrapper(file, encoding="utf-8", newline="")
    writer = csv.writer(text)
    writer.writerows([_plain(each) for each in row] for row in rows)
    text.flush()
    text.detach()


def _plain(value: Cell) -> str:
    if value is None:
        return ""
    return cell(value) if isinstance(value, str) else f"{value:f}" if isinstance(value, Decimal) else str(value)


def _read(file: BinaryIO) -> Iterator[bytes]:
    with file:
        file.seek(0)
        while piece := file.read(_PIECE):
            yield piece


def _books(reader: Reader) -> Iterator[Row]:
    """In the order of titles. The names of place and grader come from the list beside, which has the same order."""
    after = beside = None
    while True:
        page = reader.books(BookQuery(limit=PAGE_MOST, after=after))
        shelf = reader.shelf(ShelfQuery(limit=PAGE_MOST, after=beside))
        named = {each.book: each for each in shelf.rows}
        for row in page.rows:
            yield _book(row, named[row.book])
        after, beside = page.after, shelf.after
        if after is None:
            return


def _book(row: BookRow, named: ShelfRow) -> Row:
    return (
        *(row.no, row.title, row.number, row.start_year, row.publisher, row.cover_date, row.status, row.state),
        *(row.holding, row.holder_number, row.grade_as_written, _grade(named.grade_low), _grade(named.grade_step)),
        *(named.opinion_of, named.graded_by, row.heading, row.spot, named.place),
        *(_measured(named.height_mm), _measured(named.width_mm), row.since, row.entries, row.book),
    )


def _events(reader: Reader) -> Iterator[Row]:
    withdrawn = {
        entry.event.entry: entry.seq
        for entry in readable(reader, Withdrawal.kind)
        if isinstance(entry.event, Withdrawal) and entry.event.entry is not None
    }
    after = 0
    while True:
        page = reader.daybook(EntryQuery(after=after, limit=PAGE_MOST))
        if not page.rows:
            return
        first, last = page.rows[0].seq, page.rows[-1].seq
        sealed: dict[int, list[SealedValue]] = {}
        for value in reader.sealed_between(first, last - first + 1):
            sealed.setdefault(value.seq, []).append(value)
        beside = {each.seq: (each.book_no, each.actor) for each in reader.stored(first, last - first + 1)}
        for row in page.rows:
            number, actor = beside[row.seq]
            yield _event(row, number, actor, sealed.get(row.seq, []), withdrawn.get(row.seq))
        after = last


def _event(row: DaybookRow, number: int | None, actor: str, sealed: list[SealedValue], by: int | None) -> Row:
    event = row.event
    return (
        row.seq,
        None if event is None or event.on is None else str(event.on),
        row.recorded.isoformat(),
        row.kind,
        None if event is None else event.summary(),
        "\n".join(f"{each.name}: {_said(each.value)}" for each in sealed if each.value not in (None, "", [])) or None,
        *(by, number, row.title, row.number, row.act, actor, row.leaf, row.book),
    )


def _said(value: Any) -> str:  # noqa: ANN401 - a sealed value is plain data
    """A sum as its amount and currency, a text as it is, anything else as its parts."""
    if isinstance(value, dict) and value.keys() == {"minor", "currency", "exponent"}:
        money = Money(value["minor"], value["currency"], value["exponent"])
        return f"{money.amount} {money.currency}"
    if isinstance(value, dict):
        return ", ".join(f"{name} {_said(each)}" for name, each in value.items() if each is not None)
    if isinstance(value, list):
        return "; ".join(_said(each) for each in value)
    return str(value)


def _costs(reader: Reader) -> Iterator[Row]:
    """Every sum that is kept of any book, in the currency it was paid in; values among them."""
    known: dict[str, BookRow] = {}
    # With no currency at home, every row comes apart.
    for book, row in reader.costs("").mixed:
        if book not in known:
            if len(known) == _BOOKS_AHEAD:
                known.clear()
            known[book] = reader.book(book)
        own = known[book]
        amount = None
        if row.currency:
            amount = Decimal(row.minor).scaleb(-currency(row.currency).exponent)
        yield (
            *(own.no, own.title, own.number, own.start_year, row.period + 1, row.what, row.day or None, amount),
            *(row.currency or None, row.why or None, "yes" if row.held else "no", row.seq, book),
        )


def _grade(step: int | None) -> Decimal | None:
    return None if step is None else Decimal(grades()[step].text)


def _measured(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


_ROWS: Final[Mapping[Sheet, Callable[[Reader], Iterator[Row]]]] = {
    Sheet.BOOKS: _books,
    Sheet.EVENTS: _events,
    Sheet.COSTS: _costs,
}
