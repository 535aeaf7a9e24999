"""The day book: which entries fall within some days, and what stands beside each of them."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final

from sqlalchemy import JSON, ColumnElement, Connection, Row, Text, case, cast, collate, func, select

from ledger.events import Event
from ledger.store import records
from ledger.store.row_tables import BOOK_ROW
from ledger.store.tables import ENTRY
from ledger.views import DaybookRow, EntryQuery

__all__ = ["lines", "within"]

_BEHIND: Final = "~"
"""Sorts behind every sign of a date, so that a date with it behind stands at the end of its day, month or year."""


def within(connection: Connection, query: EntryQuery) -> Iterator[ColumnElement[bool]]:
    """What lets only the days of a query through.

    A date in EDTF is put in order by its text: a year or month stands before every day in it, and with `_BEHIND` behind
    them all; the X of a decade is its first or its last year.
    """
    dialect = connection.dialect.name
    recorded = _plainly(ENTRY.c.recorded, dialect)
    if query.recorded_from is not None:
        yield recorded >= query.recorded_from.isoformat()
    if query.recorded_to is not None:
        yield recorded <= query.recorded_to.isoformat() + _BEHIND
    if query.happened_from is None and query.happened_to is None:
        return
    first, last = _ends(dialect)
    if query.happened_from is not None:
        yield _plainly(func.replace(last, "X", "9") + _BEHIND, dialect) >= query.happened_from.isoformat()
    if query.happened_to is not None:
        yield _plainly(func.replace(first, "X", "0"), dialect) <= query.happened_to.isoformat() + _BEHIND


def lines(
    connection: Connection, collection: str, rows: Sequence[Row[Any]], told: Callable[[Row[Any]], Event | None]
) -> list[DaybookRow]:
    """The stored rows as the day book shows them; `told` reads what one says."""
    titles = _titles(connection, collection, {row.book_id for row in rows} - {None})
    together = _together(connection, collection, {row.act for row in rows})
    return [
        DaybookRow(
            seq=row.seq,
            recorded=records.moment(row.recorded),
            leaf=row.leaf.hex(),
            kind=row.kind,
            book=row.book_id,
            title=titles.get(row.book_id, (None, None))[0],
            number=titles.get(row.book_id, (None, None))[1],
            act=row.act,
            together=together[row.act],
            event=told(row),
        )
        for row in rows
    ]


def _titles(connection: Connection, collection: str, books: set[str]) -> dict[str, tuple[str, str]]:
    named = select(BOOK_ROW.c.book, BOOK_ROW.c.title, BOOK_ROW.c.number).where(
        BOOK_ROW.c.collection_id == collection, BOOK_ROW.c.book.in_(books)
    )
    return {row.book: (row.title, row.number) for row in connection.execute(named)} if books else {}


def _together(connection: Connection, collection: str, acts: set[str]) -> dict[str, int]:
    counted = (
        select(ENTRY.c.act, func.count().label("entries"))
        .where(ENTRY.c.collection_id == collection, ENTRY.c.act.in_(acts))
        .group_by(ENTRY.c.act)
    )
    return {row.act: row.entries for row in connection.execute(counted)} if acts else {}


def _ends(dialect: str) -> tuple[ColumnElement[str], ColumnElement[str]]:
    """The first and the last date of when an entry says it happened; null where it says nothing or cannot be read."""
    data = ENTRY.c.bytes
    if dialect == "sqlite":
        text = cast(data, Text)
        on = case((func.json_valid(text) == 1, func.json_extract(text, "$.on")))
        cut = func.instr(on, "/")
        return case((cut > 0, func.substr(on, 1, cut - 1)), else_=on), func.substr(on, cut + 1)
    on = cast(func.convert_from(data, "UTF8"), JSON)["on"].as_string()
    return func.split_part(on, "/", 1), func.regexp_replace(on, "^.*/", "")


def _plainly(text: ColumnElement[str], dialect: str) -> ColumnElement[str]:
    """A text that is compared by its code points, whatever the language of the server."""
    return text if dialect == "sqlite" else collate(text, "C")
