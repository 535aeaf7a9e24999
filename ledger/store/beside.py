"""What lies beside the entries, row by row, for a verification to judge: receipts, and rows of the lists left over."""

from collections.abc import Iterator
from typing import Final

from sqlalchemy import BindParameter, ColumnElement, Connection, Table, bindparam, exists, or_, select

from ledger.ports import Receipt
from ledger.store import records
from ledger.store.read_models import are_made
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.tables import COLLECTION, RECEIPT

__all__ = ["of_nowhere", "receipts", "strays"]

BATCH: Final = 500
"""Receipts read at once."""

_OURS: Final[BindParameter[str]] = bindparam("collection")
_LAST: Final[BindParameter[int]] = bindparam("last")
_RECEIPTS: Final = (
    select(RECEIPT)
    .where(
        RECEIPT.c.collection_id == _OURS,
        RECEIPT.c.first >= _LAST,
        or_(RECEIPT.c.first > _LAST, RECEIPT.c.key > bindparam("key")),
    )
    .order_by(RECEIPT.c.first, RECEIPT.c.key)
    .limit(BATCH)
)
_BEFORE_ALL: Final = -(2**63)


def receipts(connection: Connection, collection: str) -> Iterator[Receipt]:
    """Every receipt of a collection, by the first entry it speaks of."""
    last, key = _BEFORE_ALL, ""
    while rows := connection.execute(_RECEIPTS, {"collection": collection, "last": last, "key": key}).all():
        yield from (records.receipt(row) for row in rows)
        last, key = rows[-1].first, rows[-1].key


def strays(connection: Connection, collection: str) -> list[str]:
    """Texts that no row of a book leads to, photographs and sums of no book, and rows of a collection that is not there.

    Nothing while the lists are not there in today's shape.
    """
    if not are_made(connection, collection):
        return []
    of_text, of_picture = BOOK_ROW.c.search_key == BOOK_SEARCH.c.rowid, BOOK_ROW.c.book == PICTURE_ROW.c.book
    texts = select(BOOK_SEARCH.c.rowid).where(_left_over(BOOK_SEARCH, of_text))
    pictures = select(PICTURE_ROW.c.clean, PICTURE_ROW.c.book).where(_left_over(PICTURE_ROW, of_picture))
    costs = select(COST_ROW.c.seq, COST_ROW.c.book).where(_left_over(COST_ROW, BOOK_ROW.c.book == COST_ROW.c.book))
    of_word = select(WORD_ROW.c.book).distinct().where(_left_over(WORD_ROW, BOOK_ROW.c.book == WORD_ROW.c.book))
    rows = select(BOOK_ROW.c.book).where(of_nowhere(BOOK_ROW))
    found = (
        ("text {} of the search", texts.order_by(BOOK_SEARCH.c.rowid)),
        ("photograph {} of book {}", pictures.order_by(PICTURE_ROW.c.book, PICTURE_ROW.c.clean)),
        ("a sum of entry {} of book {}", costs.order_by(COST_ROW.c.book, COST_ROW.c.place)),
        ("words of book {}", of_word.order_by(WORD_ROW.c.book)),
        ("the row of book {}", rows.order_by(BOOK_ROW.c.book)),
    )
    ours = {"collection": collection}
    return [words.format(*row) for words, asked in found for row in connection.execute(asked, ours)]


def _left_over(table: Table, of_book: ColumnElement[bool]) -> ColumnElement[bool]:
    """A row of ours that belongs to no book of the lists, or one of a collection that is not there."""
    owned = exists().where(BOOK_ROW.c.collection_id == table.c.collection_id, of_book)
    return or_(of_nowhere(table), (table.c.collection_id == _OURS) & ~owned)


def of_nowhere(table: Table) -> ColumnElement[bool]:
    """A row of a collection that is not there."""
    return ~exists().where(COLLECTION.c.collection_id == table.c.collection_id)
