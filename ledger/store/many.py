"""Many new books put in at once, with few statements for all of them; what is read afterwards is as if one by one.

Guards look at every entry by itself, so entries go in one after another; all else goes in by the hundred. The keys of the
search are given at the end, when it is known which titles stand between which.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from itertools import groupby
from operator import itemgetter
from typing import Any, Final

from sqlalchemy import BindParameter, Connection, Insert, Update, bindparam, delete, insert, select, update
from sqlalchemy.exc import DBAPIError

from ledger.many import ManyBooks
from ledger.ports import ENTRIES, HEADS
from ledger.rows import listing, search_text
from ledger.store import records
from ledger.store.cost_rows import cost_values
from ledger.store.projector import values_of
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.shelf_order import SPACE_BITS, first_key
from ledger.store.tables import BOOK_HEAD, ENTRY, HEAD, NODE, RECEIPT, SEALED_VALUE

__all__ = ["find_places", "put_many", "used_keys"]

_NOT_PLACED: Final = 0
"""Stands for a search key until there is one; no key is so low."""
_BATCH: Final = 500
_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_PUT_ENTRY: Final = insert(ENTRY)
_MOVE_HEAD: Final = (
    update(HEAD)
    .where(HEAD.c.collection_id == _OURS, HEAD.c.size == bindparam("before"))
    .values(size=bindparam("after"), books=HEAD.c.books + bindparam("more"))
)
_IN_ORDER: Final = (
    select(BOOK_ROW.c.book, BOOK_ROW.c.no, BOOK_ROW.c.search_key)
    .where(BOOK_ROW.c.collection_id == _OURS)
    .order_by(BOOK_ROW.c.title_key, BOOK_ROW.c.no)
)
_ROWS: Final = select(BOOK_ROW).where(
    BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.book.in_(bindparam("books", expanding=True))
)
_PLACE: Final = (
    update(BOOK_ROW)
    .where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.book == bindparam("own_book"))
    .values(search_key=bindparam("new_key"))
)
_NO_TEXTS: Final = delete(BOOK_SEARCH).where(BOOK_SEARCH.c.collection_id == _OURS)
_USED: Final = select(RECEIPT.c.key).where(
    RECEIPT.c.collection_id == _OURS, RECEIPT.c.key.in_(bindparam("keys", expanding=True))
)


def used_keys(connection: Connection, collection: str, keys: Sequence[str]) -> set[str]:
    """Which of these idempotency keys were used."""
    found: set[str] = set()
    for start in range(0, len(keys), _BATCH):
        some = {"own_collection": collection, "keys": list(keys[start : start + _BATCH])}
        found.update(connection.scalars(_USED, some))
    return found


def put_many(connection: Connection, collection: str, many: ManyBooks) -> None:
    """Everything of these books but their places in the search.

    Raises: IntegrityError where an entry does not follow the last one, or something is there already.
    """
    _put_entries(connection, collection, many)
    _all(connection, insert(SEALED_VALUE), [records.sealed_row(collection, each) for each in many.sealed])
    nodes = records.node_rows(collection, ENTRIES, many.entry_nodes)
    _all(connection, insert(NODE), nodes + records.node_rows(collection, HEADS, many.head_nodes))
    _all(connection, insert(BOOK_HEAD), [records.book_head_row(collection, each) for each in many.heads])
    _all(connection, insert(RECEIPT), [records.receipt_row(collection, each) for each in many.receipts])
    made = [(book.id, listing(book, moments)) for book, moments in many.books]
    own = {"collection_id": collection}
    _all(connection, insert(BOOK_ROW), [{**values_of(each, _NOT_PLACED), **own} for _, each in made])
    _all(
        connection, insert(COST_ROW), [row for book, each in made for row in cost_values(collection, book, each.costs)]
    )
    pictures = [{**own, "clean": clean, "book": book} for book, each in made for clean in sorted(set(each.pictures))]
    _all(connection, insert(PICTURE_ROW), pictures)
    words = [{**own, "book": book, "word": each} for book, one in made for each in sorted(set(one.words))]
    _all(connection, insert(WORD_ROW), words)


def find_places(connection: Connection, collection: str, first: int, count: Callable[[int], None]) -> None:
    """Every book from that number on gets its place in the search, between those that stand before and behind it.

    `count` is told again and again how many of them have one.
    """
    pairs = _new_keys(connection, collection, first)
    for start in range(0, len(pairs), _BATCH):
        some = pairs[start : start + _BATCH]
        own = [{"own_collection": collection, "own_book": book, "new_key": key} for book, key in some]
        _all(connection, _PLACE, own)
        keys = dict(some)
        rows = connection.execute(_ROWS, {"own_collection": collection, "books": list(keys)})
        texts = [
            {
                "collection_id": collection,
                "rowid": keys[row.book],
                "text": search_text(row.title, row.number, row.publisher),
            }
            for row in rows
        ]
        _all(connection, insert(BOOK_SEARCH), texts)
        count(start + len(some))


def _put_entries(connection: Connection, collection: str, many: ManyBooks) -> None:
    """One entry after another, each with the head moved on: past SQLAlchemy, which takes longer than the database does."""
    put, put_values = _bare(connection, _PUT_ENTRY)
    move, move_values = _bare(connection, _MOVE_HEAD)
    with _naming_errors(connection), closing(connection.connection.cursor()) as cursor:
        for entry in many.entries:
            cursor.execute(put, put_values(records.entry_row(collection, entry)))
            moved = {
                "own_collection": collection,
                "before": entry.seq - 1,
                "after": entry.seq,
                "more": int(entry.book_seq == 1),
            }
            cursor.execute(move, move_values(moved))


@contextmanager
def _naming_errors(connection: Connection) -> Iterator[None]:
    """The driver's errors are those that SQLAlchemy makes of them."""
    driver = connection.dialect.dbapi
    assert driver is not None
    try:
        yield
    except driver.Error as error:
        raise DBAPIError.instance(None, None, error, driver.Error, dialect=connection.dialect) from error


def _bare(connection: Connection, statement: Insert | Update) -> tuple[str, Callable[[Mapping[str, Any]], Any]]:
    """A statement in the database's own words, and how its values are handed over: it is said a hundred thousand times.

    Requires: a statement of whole numbers, texts and bytes, which drivers take as they are.
    """
    names = [column.name for column in statement.table.c] if isinstance(statement, Insert) else None
    compiled = statement.compile(dialect=connection.dialect, column_keys=names)
    order = getattr(compiled, "positiontup", None)
    return str(compiled), dict if order is None else itemgetter(*order)


def _all(connection: Connection, statement: Insert | Update, rows: Sequence[dict[str, Any]]) -> None:
    if rows:
        said, values = _bare(connection, statement)
        connection.exec_driver_sql(said, [values(row) for row in rows])


def _new_keys(connection: Connection, collection: str, first: int) -> list[tuple[str, int]]:
    """Each new book with its key, evenly between its neighbours that have one; every book, where there is no room left."""
    rows = [(row.book, row.no, row.search_key) for row in connection.execute(_IN_ORDER, {"own_collection": collection})]
    low, end = first_key(collection), first_key(collection) + (1 << SPACE_BITS)
    runs = [(is_new, list(run)) for is_new, run in groupby(rows, key=lambda row: row[1] >= first)]
    keys: list[tuple[str, int]] = []
    for at, (is_new, run) in enumerate(runs):
        if not is_new:
            low = run[-1][2]
            continue
        high = runs[at + 1][1][0][2] if at + 1 < len(runs) else end
        step = (high - low) // (len(run) + 1)
        if not step:
            connection.execute(_NO_TEXTS, {"own_collection": collection})
            return _spread([book for book, _, _ in rows], first_key(collection), end)
        keys += _spread([book for book, _, _ in run], low, high)
    return keys


def _spread(books: Sequence[str], low: int, high: int) -> list[tuple[str, int]]:
    step = (high - low) // (len(books) + 1)
    return [(book, low + place * step) for place, book in enumerate(books, start=1)]
