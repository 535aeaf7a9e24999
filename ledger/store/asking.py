"""What is asked of a list, checked: its order, the length of a page, the words of a search, and the cursor."""

import base64
import json
import re
from typing import Final

from ledger.errors import InvalidError, Problem
from ledger.folding import words_of
from ledger.views import PAGE_MOST, ListQuery

__all__ = ["SORTS", "WORDS_MOST", "page_limit", "read_cursor", "search_words", "sort_key", "write_cursor"]

SORTS: Final = {"title": "title_key", "number": "number_key", "grade": "grade_key", "recent": "last_seq"}
"""What the list of books can be put in order by, and the key of `rows.Listing` that does it."""

WORDS_MOST: Final = 24
"""Words a search may have; a longer one is a text that was pasted."""

_TEXTUAL: Final = frozenset({"title", "number"})
_NOT_KEPT: Final = re.compile("[\0\ud800-\udfff]")
"""No database keeps these in a text."""

_MOST: Final = 2**63
"""Databases keep whole numbers below this."""


def sort_key(query: ListQuery) -> str:
    """The name of the key a query puts books in order by.

    Raises: InvalidError for an order that there is not.
    """
    if query.sort not in SORTS:
        raise _invalid("sort", f"The list cannot be put in order by {query.sort}. Choose one of {', '.join(SORTS)}.")
    return SORTS[query.sort]


def page_limit(limit: int) -> int:
    """How many rows a page has.

    Raises: InvalidError for more than a page may have, or none.
    """
    if not 1 <= limit <= PAGE_MOST:
        raise _invalid("limit", f"A page has 1 to {PAGE_MOST} rows, not {limit}.")
    return limit


def search_words(query: ListQuery) -> list[str]:
    """The words that a book must have, all of them; none when nothing is searched for.

    Raises: InvalidError for more words than a search may have.
    """
    words = words_of(query.text or "")
    if len(words) > WORDS_MOST:
        raise _invalid("q", f"A search has at most {WORDS_MOST} words, and this one {len(words)}. Leave some out.")
    return words


def write_cursor(query: ListQuery, value: str | int, number: int) -> str:
    """The cursor behind a row, by its key and its book's number; it is good for this order only."""
    text = json.dumps([query.sort, query.descending, value, number], separators=(",", ":"))
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def read_cursor(query: ListQuery) -> tuple[str | int, int]:
    """Key and book's number of the row behind which a query goes on.

    Raises: InvalidError for what `write_cursor` did not write for this order.
    """
    text = query.after or ""
    try:
        padded = text + "=" * (-len(text) % 4)
        sort, descending, value, number = json.loads(base64.b64decode(padded, b"-_", validate=True))
        good = write_cursor(query, value, number) == text and (sort, descending) == (query.sort, query.descending)
    except (ValueError, TypeError, RecursionError):
        good = False
    if not good or not _fits(query.sort, value) or not _fits("", number):
        raise _invalid("after", "This cursor was not given out for this list in this order. Begin again without it.")
    return value, number


def _fits(sort: str, value: object) -> bool:
    if sort in _TEXTUAL:
        return isinstance(value, str) and not _NOT_KEPT.search(value)
    return type(value) is int and abs(value) < _MOST


def _invalid(field: str, sentence: str) -> InvalidError:
    return InvalidError(problems=(Problem(field=field, sentence=sentence),))
