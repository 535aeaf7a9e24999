"""Keys of the search: numbers that grow along the list by title, so that what is found comes in that order by itself.

A new book takes a number between those of its neighbours. Where there is none left, the numbers around it are spread
out again; that touches few books, and seldom.
Source: the method of Itai, Konheim and Rodeh, A sparse table implementation of priority queues, ICALP 1981.
"""

from hashlib import sha256
from typing import Any, Final

from sqlalchemy import (
    BindParameter,
    Connection,
    and_,
    bindparam,
    delete,
    insert,
    or_,
    select,
    update,
)

from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH

__all__ = ["SPACE_BITS", "first_key", "key_between"]

_COLLECTION_BITS: Final = 20
_KEY_BITS: Final = 63
SPACE_BITS: Final = _KEY_BITS - _COLLECTION_BITS
"""For the place in the list; the others tell collections apart, which share one search."""
_LEAST_BITS: Final = 4
_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_NUMBER: Final = bindparam("own_no", type_=BOOK_ROW.c.no.type)
_TITLE: Final = bindparam("own_title", type_=BOOK_ROW.c.title_key.type)
_OTHERS: Final = select(BOOK_ROW.c.search_key).where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.no != _NUMBER)
_IS_BEFORE: Final = and_(BOOK_ROW.c.title_key <= _TITLE, or_(BOOK_ROW.c.title_key < _TITLE, BOOK_ROW.c.no < _NUMBER))
_IS_AFTER: Final = and_(BOOK_ROW.c.title_key >= _TITLE, or_(BOOK_ROW.c.title_key > _TITLE, BOOK_ROW.c.no > _NUMBER))
_BEFORE: Final = _OTHERS.where(_IS_BEFORE).order_by(BOOK_ROW.c.title_key.desc(), BOOK_ROW.c.no.desc()).limit(1)
_AFTER: Final = _OTHERS.where(_IS_AFTER).order_by(BOOK_ROW.c.title_key, BOOK_ROW.c.no).limit(1)
_WITHIN: Final = BOOK_ROW.c.search_key.between(bindparam("first"), bindparam("last"))
_TEXTS: Final = (
    select(BOOK_ROW.c.book, BOOK_ROW.c.search_key, BOOK_SEARCH.c.text)
    .join(BOOK_SEARCH, BOOK_SEARCH.c.rowid == BOOK_ROW.c.search_key)
    .where(BOOK_ROW.c.collection_id == _OURS, _WITHIN)
    .order_by(BOOK_ROW.c.search_key)
    .limit(bindparam("most"))
)
_MOVE: Final = (
    update(BOOK_ROW)
    .where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.book == bindparam("own_book"))
    .values(search_key=bindparam("new_key"))
)
_LIFT: Final = delete(BOOK_SEARCH).where(
    BOOK_SEARCH.c.collection_id == _OURS, BOOK_SEARCH.c.rowid == bindparam("own_key")
)
_PUT: Final = insert(BOOK_SEARCH)


def first_key(collection: str) -> int:
    """The number before all keys of a collection."""
    told_apart = int.from_bytes(sha256(collection.encode()).digest(), "big") >> (256 - _COLLECTION_BITS)
    return told_apart << (_KEY_BITS - _COLLECTION_BITS)


def key_between(connection: Connection, collection: str, title_key: str, number: int) -> int:
    """A key behind that of the book before, and before that of the book behind it, in the list by title."""
    values = {"own_collection": collection, "own_title": title_key, "own_no": number}
    low, high = _neighbours(connection, collection, values)
    if high - low < 2:  # noqa: PLR2004 - no number lies between
        _make_room(connection, collection, low)
        low, high = _neighbours(connection, collection, values)
    # Near its neighbour before: books of a series mostly come in the order of their numbers.
    return low + max(1, (high - low) // 4)


def _neighbours(connection: Connection, collection: str, values: dict[str, Any]) -> tuple[int, int]:
    first = first_key(collection)
    low, high = connection.scalar(_BEFORE, values), connection.scalar(_AFTER, values)
    return first if low is None else low, first + (1 << SPACE_BITS) if high is None else high


def _make_room(connection: Connection, collection: str, around: int) -> None:
    """Spreads the keys of the smallest stretch around one that is not too full; a stretch twice as long may be half as full."""
    for bits in range(_LEAST_BITS, SPACE_BITS + 1):
        start = around >> bits << bits
        most = 1 << bits // 2
        values = {"own_collection": collection, "first": start, "last": start + (1 << bits) - 1, "most": most + 1}
        found = connection.execute(_TEXTS, values).all()
        if len(found) <= most:
            break
    step = (1 << bits) // (len(found) + 1)
    for row in found:
        connection.execute(_LIFT, {"own_collection": collection, "own_key": row.search_key})
    for place, row in enumerate(found, start=1):
        key = start + place * step
        connection.execute(_MOVE, {"own_collection": collection, "own_book": row.book, "new_key": key})
        connection.execute(_PUT, {"collection_id": collection, "rowid": key, "text": row.text})
