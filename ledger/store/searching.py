"""A search as a statement that is made once for many searches: what is bound, and what it is bound to."""

from collections.abc import Collection, Sequence
from typing import Final

from sqlalchemy import ColumnElement, bindparam

from ledger.store.row_tables import BOOK_SEARCH

__all__ = ["asked_for", "found_by"]

_TRIGRAM: Final = 3
_MATCH: Final = "match"
_LIKE: Final = "like_"
_ESCAPE: Final = "/"


def asked_for(dialect: str, words: Sequence[str]) -> dict[str, str]:
    """What is bound for a search, by name.

    SQLite looks words of three letters and more up among their trigrams: as a phrase they are found exactly where the
    text holds them. All others are looked for in every text, or, by PostgreSQL, among its own trigrams.
    Source: sqlite.org, FTS5, section 4.3.4.
    """
    looked_up = [word for word in words if dialect == "sqlite" and len(word) >= _TRIGRAM]
    bound = {f"{_LIKE}{place}": _pattern(word) for place, word in enumerate(words) if word not in looked_up}
    if looked_up:
        bound[_MATCH] = " ".join('"{}"'.format(word.replace('"', '""')) for word in looked_up)
    return bound


def found_by(dialect: str, bound: Collection[str]) -> list[ColumnElement[bool]]:
    """What a text that holds every word must meet; empty when nothing is searched for.

    On SQLite the collection is not asked for: it stands in no index of the search, and a key belongs to one alone.
    """
    text = BOOK_SEARCH.c.text
    likes = sorted(name for name in bound if name.startswith(_LIKE))
    conditions: list[ColumnElement[bool]] = [text.like(bindparam(name), escape=_ESCAPE) for name in likes]
    if _MATCH in bound:
        conditions.insert(0, text.match(bindparam(_MATCH)))
    if conditions and dialect != "sqlite":
        conditions.append(BOOK_SEARCH.c.collection_id == bindparam("collection"))
    return conditions


def _pattern(word: str) -> str:
    for sign in (_ESCAPE, "%", "_"):
        word = word.replace(sign, _ESCAPE + sign)
    return f"%{word}%"
