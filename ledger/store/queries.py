"""The lists: which rows, in which order, a page at a time; each read returns a shape from `ledger.views`."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Row, Select, Table, and_, bindparam, or_, select

from ledger.rows import Listing
from ledger.store.asking import page_limit, read_cursor, search_words, sort_key, write_cursor
from ledger.store.cost_rows import read_cost
from ledger.store.daybook import within
from ledger.store.read_models import narrowed
from ledger.store.records import whole
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.tables import ENTRY, TOKEN
from ledger.views import BookQuery, BookRow, Drawn, EntryQuery, Page

__all__ = ["TOKENS", "TOKEN_OF", "book", "books", "books_in_holder", "entries", "listings"]

TOKENS: Final = (
    select(TOKEN).where(TOKEN.c.collection_id == bindparam("collection")).order_by(TOKEN.c.created, TOKEN.c.id)
)
"""Every token, the oldest first."""
TOKEN_OF: Final = select(TOKEN).where(
    TOKEN.c.collection_id == bindparam("collection"), TOKEN.c.hashed == bindparam("hashed")
)
"""The token of a hash."""
_FIELDS: Final = tuple(each.name for each in fields(BookRow))
_DRAWN: Final = tuple(each.name for each in fields(Drawn))
_EQUAL: Final = ("status", "holding", "heading", "spot", "on_bench")


def book(connection: Connection, collection: str, name: str) -> BookRow | None:
    """One book's row, if it has one."""
    found = connection.execute(_of(BOOK_ROW, collection).where(BOOK_ROW.c.book == name)).one_or_none()
    return None if found is None else _row(found)


def books(connection: Connection, collection: str, query: BookQuery) -> Page[BookRow]:
    """The rows that a query lets through, from its cursor on.

    Raises: InvalidError for an order, a limit or a cursor that there is not.
    """
    key, limit = BOOK_ROW.c[sort_key(query)], page_limit(query.limit)
    statement = _of(BOOK_ROW, collection).where(*_filters(connection, collection, query))
    if query.after is not None:
        statement = statement.where(_beyond(key, query))
    order = (key.desc(), BOOK_ROW.c.no.desc()) if query.descending else (key, BOOK_ROW.c.no)
    found = connection.execute(statement.order_by(*order).limit(limit + 1)).all()
    rows = [_row(each) for each in found[:limit]]
    more = len(found) > limit
    return Page(rows, write_cursor(query, getattr(found[limit - 1], key.name), rows[-1].no) if more else None)


def books_in_holder(connection: Connection, collection: str, number: str) -> list[str]:
    """Ids of the books in a holder of that number, by the books' numbers."""
    statement = select(BOOK_ROW.c.book).where(
        BOOK_ROW.c.collection_id == collection, BOOK_ROW.c.holder_number == number
    )
    return list(connection.scalars(statement.order_by(BOOK_ROW.c.no)))


def listings(connection: Connection, collection: str) -> Iterator[Listing]:
    """Every row with its keys, by the books' numbers."""
    searched = select(BOOK_SEARCH.c.rowid, BOOK_SEARCH.c.text).where(BOOK_SEARCH.c.collection_id == collection)
    texts = {row.rowid: row.text for row in connection.execute(searched)}
    pictures = defaultdict(list)
    for row in connection.execute(_of(PICTURE_ROW, collection).order_by(PICTURE_ROW.c.clean)):
        pictures[row.book].append(row.clean)
    costs = defaultdict(list)
    for row in connection.execute(_of(COST_ROW, collection).order_by(COST_ROW.c.book, COST_ROW.c.place)):
        costs[row.book].append(read_cost(row))
    words = defaultdict(list)
    for row in connection.execute(_of(WORD_ROW, collection).order_by(WORD_ROW.c.book, WORD_ROW.c.word)):
        words[row.book].append(row.word)
    for row in connection.execute(_of(BOOK_ROW, collection).order_by(BOOK_ROW.c.no)):
        yield Listing(
            row=_row(row),
            title_key=row.title_key,
            number_key=row.number_key,
            grade_key=row.grade_key,
            last_seq=row.last_seq,
            search=texts.get(row.search_key, ""),
            drawn=Drawn(**{**{name: getattr(row, name) for name in _DRAWN}, "kept": bool(row.kept)}),
            pictures=tuple(pictures.get(row.book, ())),
            costs=tuple(costs.get(row.book, ())),
            words=tuple(words.get(row.book, ())),
        )


def entries(connection: Connection, collection: str, query: EntryQuery) -> tuple[Sequence[Row[Any]], str | None]:
    """Stored entries that a query lets through, and the cursor behind them."""
    limit = page_limit(query.limit)
    statement = _of(ENTRY, collection)
    if query.book is not None:
        statement = statement.where(ENTRY.c.book_id == query.book)
    if query.kinds:
        statement = statement.where(ENTRY.c.kind.in_(query.kinds))
    if query.act is not None:
        statement = statement.where(ENTRY.c.act == query.act)
    statement = statement.where(*within(connection, query))
    if query.newest_first:
        if query.after:
            statement = statement.where(ENTRY.c.seq < whole(query.after))
        statement = statement.order_by(ENTRY.c.seq.desc())
    else:
        statement = statement.where(ENTRY.c.seq > whole(query.after)).order_by(ENTRY.c.seq)
    found = connection.execute(statement.limit(limit + 1)).all()
    return found[:limit], str(found[limit - 1].seq) if len(found) > limit else None


def _of(table: Table, collection: str) -> Select[Any]:
    return select(table).where(table.c.collection_id == collection)


def _row(found: Row[Any]) -> BookRow:
    values = {name: getattr(found, name) for name in _FIELDS}
    return BookRow(**{**values, "on_bench": bool(found.on_bench)})


def _filters(connection: Connection, collection: str, query: BookQuery) -> Iterator[ColumnElement[bool]]:
    for name in _EQUAL:
        value = getattr(query, name)
        if value is not None:
            yield BOOK_ROW.c[name] == (int(value) if isinstance(value, bool) else value)
    if query.grade_from is not None:
        yield BOOK_ROW.c.grade_step >= whole(query.grade_from)
    if query.grade_to is not None:
        yield BOOK_ROW.c.grade_step <= whole(query.grade_to)
    words = search_words(query)
    if words:
        yield BOOK_ROW.c.search_key.in_(_having(connection, collection, words))


def _having(connection: Connection, collection: str, words: Sequence[str]) -> Select[Any]:
    """Keys of the texts that hold every word."""
    text = BOOK_SEARCH.c.text
    statement = select(BOOK_SEARCH.c.rowid).where(BOOK_SEARCH.c.collection_id == collection)
    return statement.where(*narrowed(connection, words), *(text.contains(word, autoescape=True) for word in words))


def _beyond(key: ColumnElement[Any], query: BookQuery) -> ColumnElement[bool]:
    """Rows behind the cursor's, in the order asked for."""
    value, number = read_cursor(query)
    if query.descending:
        return and_(key <= value, or_(key < value, BOOK_ROW.c.no < number))
    return and_(key >= value, or_(key > value, BOOK_ROW.c.no > number))
