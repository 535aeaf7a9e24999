"""The words of every book's entries: kept with its other rows, and looked up by how they begin."""

import re
from collections.abc import Sequence
from typing import Any, Final

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    CompoundSelect,
    Connection,
    Select,
    and_,
    bindparam,
    delete,
    func,
    insert,
    select,
    union_all,
)

from ledger.store.row_tables import BOOK_ROW, WORD_ROW
from ledger.views import FoundRow, Span

__all__ = ["found", "put_words", "vocabulary"]

_OURS: Final[BindParameter[str]] = bindparam("own_collection")
_OF_BOOK: Final = (WORD_ROW.c.collection_id == _OURS, WORD_ROW.c.book == bindparam("own_book"))
_KEPT: Final = select(WORD_ROW.c.word).where(*_OF_BOOK)
_INSERT: Final = insert(WORD_ROW)
_DELETE: Final = delete(WORD_ROW).where(*_OF_BOOK, WORD_ROW.c.word == bindparam("own_word"))
_DIGIT: Final = re.compile(r"\d")
_BEHIND_DIGITS: Final = ":"
"""The sign behind 9: every word with a letter first sorts behind it, every one with a digit before."""


def put_words(connection: Connection, collection: str, book: str, made: Sequence[str], *, is_new: bool) -> None:
    """The words of one book, put in the place of those it had; what is the same is left alone."""
    own = {"own_collection": collection, "own_book": book}
    kept = set() if is_new else set(connection.scalars(_KEPT, own))
    now = set(made)
    if new := sorted(now - kept):
        connection.execute(_INSERT, [{"collection_id": collection, "book": book, "word": each} for each in new])
    if gone := sorted(kept - now):
        connection.execute(_DELETE, [{**own, "own_word": each} for each in gone])


def found(connection: Connection, collection: str, wanted: Sequence[Sequence[Span]], limit: int) -> list[FoundRow]:
    """Books that have, for each word wanted, a word in one of its spans; in the order of titles, no more than the limit."""
    # A word that stands nowhere is met at once; without this, the whole list would be gone along for it.
    standing = [[each for each in spans if _stands(connection, collection, each)] for spans in wanted]
    if not all(standing) or not wanted:
        return []
    own = BOOK_ROW.c.collection_id == collection
    having = (BOOK_ROW.c.book.in_(_having(collection, spans)) for spans in standing)
    columns = [BOOK_ROW.c[name] for name in FoundRow._fields]
    asked = select(*columns).where(own, *having).order_by(BOOK_ROW.c.title_key, BOOK_ROW.c.no).limit(limit)
    return [FoundRow._make(row) for row in connection.execute(asked)]


def vocabulary(connection: Connection, collection: str) -> list[str]:
    """Every word without a digit, each once: the index is gone along from word to word."""
    words = connection.scalars(_VOCABULARY, {"own_collection": collection})
    return [each for each in words if each and not _DIGIT.search(each)]


def _stands(connection: Connection, collection: str, span: Span) -> bool:
    """Some book has a word in that span."""
    return connection.scalar(_of_span(collection, span).limit(1)) is not None


def _having(collection: str, spans: Sequence[Span]) -> CompoundSelect[Any]:
    """Ids of the books with a word in one of the spans; each is looked up for itself, for an index serves no "or"."""
    return union_all(*(_of_span(collection, each) for each in spans))


def _of_span(collection: str, span: Span) -> Select[Any]:
    return select(WORD_ROW.c.book).where(WORD_ROW.c.collection_id == collection, _within(span))


def _within(span: Span) -> ColumnElement[bool]:
    word = WORD_ROW.c.word
    if span.high is None:
        return word == span.low
    within = and_(word >= span.low, word < span.high)
    return and_(within, word.not_like("%.__")) if span.but_sums else within


def _along() -> Select[Any]:
    word, ours = WORD_ROW.c.word, WORD_ROW.c.collection_id == _OURS
    first = select(func.min(word).label("word")).where(ours, word >= _BEHIND_DIGITS)
    along = first.cte("along", recursive=True)
    later = select(func.min(word)).where(ours, word > along.c.word).scalar_subquery()
    along = along.union_all(select(later).where(along.c.word.is_not(None)))
    return select(along.c.word).where(along.c.word.is_not(None))


_VOCABULARY: Final = _along()
