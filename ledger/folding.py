"""Texts as a search sees them."""

import unicodedata
from typing import Final

__all__ = ["folded", "words_of"]

_FRACTION: Final = "\u2044"
"""The stroke of a half sign taken apart; people type another."""
_UNSEEN: Final = frozenset({"Cc", "Cs"})


def folded(text: str) -> str:
    """A text as a search sees it: without accents, without the difference of capitals, with single spaces."""
    if text.isascii() and text.isprintable():  # nearly every text: nothing to take apart, nothing unseen in it
        return " ".join(text.lower().split())
    apart = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold()).replace(_FRACTION, "/")
    plain = (" " if unicodedata.category(each) in _UNSEEN else each for each in apart)
    return " ".join("".join(each for each in plain if not unicodedata.combining(each)).split())


def words_of(text: str) -> list[str]:
    """The words of a search, each of which must be found."""
    return list(dict.fromkeys(folded(text).split()))
