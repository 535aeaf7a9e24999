"""The read models' tables: rows that are worked out from the entries, made anew when their shape changes, never migrated.

As everywhere, every primary and unique key begins with `collection_id`.
"""

from typing import Final

from sqlalchemy import Column, Index, MetaData, Table, Text, UniqueConstraint

from ledger.store.tables import KEYED, STRICT, Sorted, Whole

__all__ = ["BOOK_ROW", "BOOK_SEARCH", "COST_ROW", "PICTURE_ROW", "SEARCH_PARTS", "WORD_ROW"]

_ROWS: Final = MetaData()

_ALIKE: Final = ("kept", "status", "holding", "heading", "on_bench")
"""What lists are narrowed by most. It stands in every index that a list is read along, so that the rows left out are
never fetched, and a rare kind is found in a long list without a look at each row."""

BOOK_ROW: Final = Table(
    "book_row",
    _ROWS,
    Column("collection_id", Text, primary_key=True),
    Column("book", Text, primary_key=True),
    Column("no", Whole, nullable=False),
    Column("status", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("number", Text, nullable=False),
    Column("start_year", Whole),
    Column("publisher", Text),
    Column("cover_date", Text),
    Column("holding", Text),
    Column("holder_number", Text),
    Column("grade_as_written", Text),
    Column("grade_step", Whole),
    Column("heading", Text),
    Column("spot", Text),
    Column("on_bench", Whole, nullable=False),
    Column("cover", Text),
    Column("state", Text, nullable=False),
    Column("entries", Whole, nullable=False),
    Column("since", Text),
    Column("title_key", Sorted, nullable=False),
    Column("number_key", Sorted, nullable=False),
    Column("grade_key", Whole, nullable=False),
    Column("last_seq", Whole, nullable=False),
    Column("kept", Whole, nullable=False),
    Column("grade_low", Whole),
    Column("opinion_of", Text),
    Column("stated_seq", Whole),
    Column("stated_field", Text),
    Column("place_seq", Whole),
    Column("place_field", Text),
    Column("placed_on", Text),
    Column("room", Text),
    Column("wall", Text),
    Column("x_cm", Text),
    Column("y_cm", Text),
    Column("height_mm", Text),
    Column("width_mm", Text),
    Column("written_on", Text, nullable=False),
    Column("search_key", Whole, nullable=False),
    Index("book_row_title", "collection_id", "title_key", "no", *_ALIKE, "grade_key"),
    Index("book_row_number", "collection_id", "number_key", "no", *_ALIKE, "grade_key"),
    Index("book_row_grade", "collection_id", "grade_key", "no", *_ALIKE),
    Index("book_row_recent", "collection_id", "last_seq", "no", *_ALIKE, "grade_key"),
    Index("book_row_found", "collection_id", "search_key", *_ALIKE, "grade_key"),
    Index("book_row_holder", "collection_id", "holder_number"),
    Index("book_row_alike", "collection_id", *_ALIKE),
    Index("book_row_placed", "collection_id", "spot", "place_seq", "place_field", "status", "search_key"),
    UniqueConstraint("collection_id", "no"),
    sqlite_strict=STRICT["sqlite_strict"],
)
"""Each book as the lists and walls show it, the keys it is put in order by, and `search_key`, its row in `book_search`."""

PICTURE_ROW: Final = Table(
    "picture_row",
    _ROWS,
    Column("collection_id", Text, primary_key=True),
    Column("clean", Text, primary_key=True),
    Column("book", Text, primary_key=True),
    Index("picture_row_book", "collection_id", "book"),
    sqlite_strict=KEYED["sqlite_strict"],
    sqlite_with_rowid=KEYED["sqlite_with_rowid"],
)
"""The clean copies of each book's photographs; what is not here is shown to nobody."""

COST_ROW: Final = Table(
    "cost_row",
    _ROWS,
    Column("collection_id", Text, primary_key=True),
    Column("book", Text, primary_key=True),
    Column("place", Whole, primary_key=True, autoincrement=False),
    Column("period", Whole, nullable=False),
    Column("seq", Whole, nullable=False),
    Column("what", Text, nullable=False),
    Column("day", Text, nullable=False),
    Column("year", Whole, nullable=False),
    Column("currency", Text, nullable=False),
    Column("minor", Whole, nullable=False),
    Column("why", Text, nullable=False),
    Column("held", Whole, nullable=False),
    Column("gain", Text, nullable=False),
    Column("gain_year", Whole, nullable=False),
    Index("cost_row_sums", "collection_id", "currency", "what", "year", "why", "held", "gain", "gain_year", "minor"),
    sqlite_strict=KEYED["sqlite_strict"],
    sqlite_with_rowid=KEYED["sqlite_with_rowid"],
)
"""What each book cost and is worth, a row for each sum; see `ledger/cost_rows.py`."""

WORD_ROW: Final = Table(
    "word_row",
    _ROWS,
    Column("collection_id", Text, primary_key=True),
    Column("book", Text, primary_key=True),
    Column("word", Sorted, primary_key=True),
    Index("word_row_word", "collection_id", "word", "book"),
    sqlite_strict=KEYED["sqlite_strict"],
    sqlite_with_rowid=KEYED["sqlite_with_rowid"],
)
"""The words of each book's entries, see `ledger/finding.py`. They are kept one by one and not in a search of the
database's own, so that one that was erased is gone from its pages at once."""

BOOK_SEARCH: Final = Table(
    "book_search",
    MetaData(),
    Column("collection_id", Text, primary_key=True),
    Column("rowid", Whole, primary_key=True, autoincrement=False),
    Column("text", Text, nullable=False),
)
"""The text that is searched. It is made by hand, since SQLite keeps it as a virtual table whose own `rowid` it is
looked up by; see `read_models`."""

SEARCH_PARTS: Final = tuple(f"{BOOK_SEARCH.name}_{part}" for part in ("data", "idx", "content", "docsize", "config"))
"""Tables that SQLite keeps behind the search. Source: sqlite.org, FTS5, section 9."""
