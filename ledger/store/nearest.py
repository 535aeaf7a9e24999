"""The titles of a list: those most like a misspelt one, and the books that are here of one or of each."""

from typing import Any, Final

from sqlalchemy import BindParameter, ColumnElement, Connection, bindparam, func, literal, select

from ledger.folding import folded
from ledger.likeness import nearest
from ledger.rows import BEHIND_TITLE
from ledger.store.row_tables import BOOK_ROW
from ledger.views import NumberedRow

__all__ = ["nearest_titles", "numbered"]

_OURS: Final[BindParameter[str]] = bindparam("collection")
_JUST_BEHIND: Final = chr(ord(BEHIND_TITLE) + 1)
"""Sorts behind every key of a title, and before every other title."""


def nearest_titles(connection: Connection, collection: str, text: str, limit: int) -> list[str]:
    """The titles as they are written, the likest first.

    Every title is looked at once, however many numbers of it there are: the index is gone along from title to title.
    """
    folded = [each for each in connection.scalars(_titles(connection.dialect.name), {"collection": collection}) if each]
    found = nearest(text, folded, limit)
    return [title for each in found if (title := _as_written(connection, collection, each)) is not None]


def _titles(dialect: str) -> Any:  # noqa: ANN401 - a statement
    first = select(func.min(BOOK_ROW.c.title_key).label("key")).where(BOOK_ROW.c.collection_id == _OURS)
    along = first.cte("along", recursive=True)
    beyond = _title(along.c.key, dialect).concat(literal(_JUST_BEHIND))
    later = select(func.min(BOOK_ROW.c.title_key)).where(
        BOOK_ROW.c.collection_id == _OURS, BOOK_ROW.c.title_key > beyond
    )
    along = along.union_all(select(later.scalar_subquery()).where(along.c.key.is_not(None)))
    return select(_title(along.c.key, dialect)).where(along.c.key.is_not(None))


def _title(key: ColumnElement[str], dialect: str) -> ColumnElement[str]:
    if dialect == "sqlite":
        return func.substr(key, 1, func.instr(key, BEHIND_TITLE) - 1)
    return func.split_part(key, BEHIND_TITLE, 1)


def numbered(connection: Connection, collection: str, title: str | None) -> list[NumberedRow]:
    """The books in the collection, in the order of titles; of one title alone where it is given, however it is spelled."""
    key = BOOK_ROW.c.title_key
    asked = select(*(BOOK_ROW.c[name] for name in NumberedRow._fields)).where(
        BOOK_ROW.c.collection_id == collection, BOOK_ROW.c.kept == 1
    )
    if title is not None:
        plain = folded(title)
        asked = asked.where(key >= plain + BEHIND_TITLE, key < plain + _JUST_BEHIND)
    return [NumberedRow._make(row) for row in connection.execute(asked.order_by(key, BOOK_ROW.c.no))]


def _as_written(connection: Connection, collection: str, title: str) -> str | None:
    key, own = BOOK_ROW.c.title_key, BOOK_ROW.c.collection_id == collection
    within = (key >= title + BEHIND_TITLE, key < title + _JUST_BEHIND)
    return connection.scalar(select(BOOK_ROW.c.title).where(own, *within).order_by(key).limit(1))
