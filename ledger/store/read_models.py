"""The read models' tables: made when they are missing or of an old shape, emptied, and noted as made."""

from collections.abc import Sequence
from hashlib import sha256
from typing import Final

from sqlalchemy import ColumnElement, Connection, Index, delete, insert, inspect, select, text
from sqlalchemy.schema import CreateIndex, CreateTable

from ledger.rows import ROWS_VERSION
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, SEARCH_PARTS, WORD_ROW
from ledger.store.tables import READ_MODEL

__all__ = ["SEARCH_INDEX", "are_made", "made_for", "make_read_models", "narrowed", "note_shape", "shape_of"]

SEARCH_INDEX: Final = "book_search_text"

# Substrings are found through their trigrams by either database; only how such an index is made differs.
_SEARCH: Final = {
    "sqlite": ("CREATE VIRTUAL TABLE book_search USING fts5(collection_id UNINDEXED, text, tokenize='trigram')",),
    "postgresql": (
        "CREATE TABLE book_search (collection_id TEXT, rowid BIGINT, text TEXT NOT NULL, PRIMARY KEY (collection_id, rowid))",
        f"CREATE INDEX {SEARCH_INDEX} ON book_search USING gin (text gin_trgm_ops)",
    ),
}


_MADE: Final = (BOOK_ROW, PICTURE_ROW, COST_ROW, WORD_ROW)
"""The read models that are tables like others."""

_NAMES: Final = frozenset({BOOK_SEARCH.name, *(each.name for each in _MADE)})
_TRIGRAM: Final = 3


def shape_of(connection: Connection) -> str:
    """A digest over how the read models are made today: their tables, and what their rows mean."""
    made = [str(CreateTable(each).compile(dialect=connection.dialect)) for each in _MADE]
    made += [str(CreateIndex(each).compile(dialect=connection.dialect)) for each in _indexes()]
    made += [*_SEARCH[connection.dialect.name], str(ROWS_VERSION)]
    return sha256("\n".join(made).encode()).hexdigest()


def make_read_models(connection: Connection) -> bool:
    """Empty tables of today's shape, unless all collections have theirs; says whether they were made.

    Requires: a connection that may create and drop tables.
    """
    shape = shape_of(connection)
    shapes = set(connection.scalars(select(READ_MODEL.c.shape)))
    names = set(inspect(connection).get_table_names())
    if shapes == {shape} and names >= _needed(connection):
        return False
    if BOOK_SEARCH.name in names and not names >= _needed(connection) - _NAMES:
        _let_go_of_search(connection)
    for name in sorted(_NAMES):
        connection.execute(text(f"DROP TABLE IF EXISTS {name}"))
    for each in _MADE:
        each.create(connection)
    for statement in _SEARCH[connection.dialect.name]:
        connection.execute(text(statement))
    connection.execute(delete(READ_MODEL))
    return True


def made_for(connection: Connection, collection: str) -> str | None:
    """The shape for which a collection's rows were last made; None when they must be made anew."""
    return connection.scalar(select(READ_MODEL.c.shape).where(READ_MODEL.c.collection_id == collection))


def are_made(connection: Connection, collection: str) -> bool:
    """The tables are there, and the collection's rows were made for today's shape of them."""
    names = set(inspect(connection).get_table_names())
    return names >= {*_needed(connection), READ_MODEL.name} and made_for(connection, collection) == shape_of(connection)


def _let_go_of_search(connection: Connection) -> None:
    """SQLite does not drop a search whose own tables are not all there; its name is taken out of the schema instead.

    Source: sqlite.org, PRAGMA writable_schema.
    """
    connection.exec_driver_sql("PRAGMA writable_schema = ON")
    connection.execute(text("DELETE FROM sqlite_schema WHERE name = :name"), {"name": BOOK_SEARCH.name})
    connection.exec_driver_sql("PRAGMA writable_schema = RESET")
    for part in SEARCH_PARTS:
        connection.execute(text(f"DROP TABLE IF EXISTS {part}"))


def _needed(connection: Connection) -> frozenset[str]:
    """The tables of the lists, and those that SQLite keeps behind the search."""
    return _NAMES | frozenset(SEARCH_PARTS if connection.dialect.name == "sqlite" else ())


def note_shape(connection: Connection, collection: str) -> None:
    """From now on a collection's rows are of today's shape."""
    connection.execute(delete(READ_MODEL).where(READ_MODEL.c.collection_id == collection))
    connection.execute(insert(READ_MODEL).values(collection_id=collection, shape=shape_of(connection)))


def narrowed(connection: Connection, words: Sequence[str]) -> list[ColumnElement[bool]]:
    """What lets only a few texts be looked at, where the database does not see to it by itself.

    SQLite is asked with MATCH and never with a bare LIKE: its 3.40.1 looks two letters up among the trigrams, which have
    three, and crashes. A LIKE with an escape sign is not looked up.
    Source: sqlite.org, FTS5, section 4.3.4, for words that have a trigram.
    """
    looked_up = [word for word in words if len(word) >= _TRIGRAM]
    if connection.dialect.name != "sqlite" or not looked_up:
        return []
    quoted = ('"{}"'.format(word.replace('"', '""')) for word in looked_up)
    return [BOOK_SEARCH.c.text.match(" ".join(quoted))]


def _indexes() -> list[Index]:
    return sorted((index for each in _MADE for index in each.indexes), key=lambda index: str(index.name))
