"""Keeps the read models: a book's rows in the transaction of its entry, and all of them anew when asked."""

from collections.abc import Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import BindParameter, Connection, Row, and_, bindparam, delete, insert, or_, select, update

from ledger.book import Book
from ledger.history import Moment
from ledger.rows import listing
from ledger.store.beside import of_nowhere
from ledger.store.cost_rows import put_costs
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.shelf_order import key_between
from ledger.store.words import put_words

if TYPE_CHECKING:
    from ledger.rows import Listing

__all__ = ["clear", "project", "state_hash", "values_of"]

_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_KEPT: Final = select(BOOK_ROW.c.title_key, BOOK_ROW.c.search_key).where(
    BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.book == bindparam("own_book")
)
_UPDATE_ROW: Final = update(BOOK_ROW).where(BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.book == bindparam("own_book"))
_INSERT_ROW: Final = insert(BOOK_ROW)
_UPDATE_TEXT: Final = (
    update(BOOK_SEARCH)
    .where(BOOK_SEARCH.c.collection_id == _OURS, BOOK_SEARCH.c.rowid == bindparam("own_key"))
    .values(text=bindparam("text"))
)
_INSERT_TEXT: Final = insert(BOOK_SEARCH)
_DELETE_TEXT: Final = delete(BOOK_SEARCH).where(
    BOOK_SEARCH.c.collection_id == _OURS, BOOK_SEARCH.c.rowid == bindparam("own_key")
)
_OF_BOOK: Final = (PICTURE_ROW.c.collection_id == _OURS, PICTURE_ROW.c.book == bindparam("own_book"))
_PICTURES: Final = select(PICTURE_ROW.c.clean).where(*_OF_BOOK)
_INSERT_PICTURE: Final = insert(PICTURE_ROW)
_DELETE_PICTURE: Final = delete(PICTURE_ROW).where(*_OF_BOOK, PICTURE_ROW.c.clean == bindparam("own_clean"))


def project(connection: Connection, collection: str, book: Book, moments: Sequence[Moment]) -> None:
    """The rows of one book, put in the place of those it had."""
    made = listing(book, moments)
    own = {"own_collection": collection, "own_book": book.id}
    kept = connection.execute(_KEPT, own).one_or_none()
    key = _key(connection, collection, made, kept)
    values = values_of(made, key)
    if kept is None:
        connection.execute(_INSERT_ROW, {**values, "collection_id": collection})
    else:
        connection.execute(_UPDATE_ROW, {**values, **own})
    changed = connection.execute(_UPDATE_TEXT, {"text": made.search, "own_collection": collection, "own_key": key})
    if changed.rowcount == 0:
        connection.execute(_INSERT_TEXT, {"collection_id": collection, "rowid": key, "text": made.search})
    if made.pictures:
        _put_pictures(connection, collection, book.id, set(made.pictures))
    put_costs(connection, collection, book.id, made.costs, is_new=kept is None)
    put_words(connection, collection, book.id, made.words, is_new=kept is None)


def _key(connection: Connection, collection: str, made: "Listing", kept: Row[Any, Any] | None) -> int:
    """The key that its text is found by: the one it has, or, under another title, a new one with no text of its own yet."""
    if kept is not None and kept.title_key == made.title_key:
        return int(kept.search_key)
    if kept is not None:
        connection.execute(_DELETE_TEXT, {"own_collection": collection, "own_key": kept.search_key})
    key = key_between(connection, collection, made.title_key, made.row.no)
    connection.execute(_DELETE_TEXT, {"own_collection": collection, "own_key": key})
    return key


def _put_pictures(connection: Connection, collection: str, book: str, clean: set[str]) -> None:
    own = {"own_collection": collection, "own_book": book}
    kept = set(connection.scalars(_PICTURES, own))
    if new := sorted(clean - kept):
        rows = [{"collection_id": collection, "clean": each, "book": book} for each in new]
        connection.execute(_INSERT_PICTURE, rows)
    if gone := sorted(kept - clean):
        connection.execute(_DELETE_PICTURE, [{**own, "own_clean": each} for each in gone])


def clear(connection: Connection, collection: str) -> None:
    """No rows of this collection are left, nor of one that is not there."""
    for table in (BOOK_SEARCH, BOOK_ROW, PICTURE_ROW, COST_ROW, WORD_ROW):
        connection.execute(delete(table).where(or_(table.c.collection_id == collection, of_nowhere(table))))


def state_hash(connection: Connection, collection: str) -> str:
    """A hash over every row of the read models; equal rows, equal hash, in whatever order they were made."""
    total = sha256()
    # The keys of the search hang on the order in which books came; what is found by them does not.
    columns = [column for column in BOOK_ROW.c if column is not BOOK_ROW.c.search_key]
    own = BOOK_ROW.c.collection_id == collection
    rows = select(*columns).where(own).order_by(BOOK_ROW.c.book)
    joined = BOOK_SEARCH.outerjoin(BOOK_ROW, and_(own, BOOK_ROW.c.search_key == BOOK_SEARCH.c.rowid))
    texts = select(BOOK_ROW.c.book, BOOK_SEARCH.c.text).select_from(joined)
    texts = texts.where(BOOK_SEARCH.c.collection_id == collection).order_by(BOOK_ROW.c.book, BOOK_SEARCH.c.text)
    pictures = select(PICTURE_ROW).where(PICTURE_ROW.c.collection_id == collection)
    costs = select(COST_ROW).where(COST_ROW.c.collection_id == collection).order_by(COST_ROW.c.book, COST_ROW.c.place)
    words = select(WORD_ROW).where(WORD_ROW.c.collection_id == collection).order_by(WORD_ROW.c.book, WORD_ROW.c.word)
    for statement in (rows, texts, pictures.order_by(PICTURE_ROW.c.clean, PICTURE_ROW.c.book), costs, words):
        for row in connection.execute(statement):
            total.update(repr(tuple(row)).encode())
    return total.hexdigest()


def values_of(made: "Listing", key: int) -> dict[str, Any]:
    """The row of a book, but for the collection it is in."""
    return {
        **vars(made.row),
        **vars(made.drawn),
        "on_bench": int(made.row.on_bench),
        "kept": int(made.drawn.kept),
        "title_key": made.title_key,
        "number_key": made.number_key,
        "grade_key": made.grade_key,
        "last_seq": made.last_seq,
        "search_key": key,
    }
