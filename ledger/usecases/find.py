"""Finds books by any word of their entries, a misspelt one too; says which texts hold what was asked for."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, LedgerError, Problem
from ledger.finding import Said, asked_words, said_in, words_in
from ledger.history import history
from ledger.likeness import nearest_words
from ledger.ports import Ledger, Reader
from ledger.views import FoundRow, Span

__all__ = ["FOUND_MOST", "TEXTS_MOST", "WORDS_MOST", "BookFound", "Found", "Meant", "find"]

FOUND_MOST: Final = 30
"""Books that are named; more of them are narrowed by another word."""
TEXTS_MOST: Final = 6
"""Texts that are shown of one book."""
WORDS_MOST: Final = 12
"""Words that may be asked for at once; a longer text was pasted."""
_LIKE_MOST: Final = 8
"""Words that a misspelt one may have meant."""
_LAST: Final = "\U0010ffff"
"""Behind every letter."""


@dataclass(frozen=True, kw_only=True)
class Meant:
    """A word that stands nowhere, and those that are like it."""

    asked: str
    words: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BookFound:
    """One book, with the texts in it that hold what was asked for; none where it has left since."""

    row: FoundRow
    texts: tuple[Said, ...]
    more: int = 0
    """Texts beyond those that are shown."""


@dataclass(frozen=True, kw_only=True)
class Found:
    """What was found, in the order of titles."""

    books: tuple[BookFound, ...] = ()
    meant: tuple[Meant, ...] = ()
    """Words that were taken for others, as long as nothing is found without."""
    words: frozenset[str] = frozenset()
    """How the words begin that are marked in the texts, or what they are."""
    more: bool = False
    """There are further books."""

    def is_marked(self, word: str) -> bool:
        """A word of a text is one that was looked for."""
        return any(word == each or (len(each) > 1 and word.startswith(each)) for each in self.words)


def find(ledger: Ledger, actor: Actor, text: str, limit: int = FOUND_MOST) -> Found:
    """The books in which every word is found, the last letters of each left out or not.

    A word of one letter is found only as it is. A word that stands nowhere is taken for those most like it; and where
    the words stand in no book together, each is, beside itself.
    Raises: InvalidError for more words than may be asked for.
    """
    actor.require(Permission.READ)
    asked = asked_words(text)
    if len(asked) > WORDS_MOST:
        said = f"A search has at most {WORDS_MOST} words, and this one {len(asked)}. Leave some out."
        raise InvalidError(problems=(Problem(field="q", sentence=said),))
    with ledger.log.read() as reader:
        rows, meant = _rows(reader, asked, limit + 1)
        words = frozenset([*asked, *(word for each in meant for word in each.words)])
        found = Found(meant=meant, words=words, more=len(rows) > limit)
        books = tuple(_with_texts(ledger, reader, row, found) for row in rows[:limit])
    return Found(books=books, meant=meant if books else (), words=words, more=found.more)


def _rows(reader: Reader, asked: Sequence[str], limit: int) -> tuple[list[FoundRow], tuple[Meant, ...]]:
    own = {word: [_span(word)] for word in asked}
    rows = reader.found(list(own.values()), limit)
    if rows or not asked:
        return rows, ()
    missing = [word for word in asked if not reader.found([own[word]], 1)]
    for doubted in dict.fromkeys((tuple(missing), tuple(asked))):
        meant = tuple(each for word in doubted if (each := _meant(reader, word)).words)
        like = {each.asked: [Span(word) for word in each.words] for each in meant}
        if rows := reader.found([[*own[word], *like.get(word, ())] for word in asked], limit):
            return rows, meant
    return [], ()


def _meant(reader: Reader, word: str) -> Meant:
    return Meant(asked=word, words=tuple(nearest_words(word, reader.vocabulary(), _LIKE_MOST)))


def _span(word: str) -> Span:
    return Span(word, word + _LAST) if len(word) > 1 else Span(word)


def _with_texts(ledger: Ledger, reader: Reader, row: FoundRow, found: Found) -> BookFound:
    try:
        moments = history(reader.of_book(row.book), ledger.codec)
    except LedgerError:
        return BookFound(row=row, texts=())  # what is wrong with it is told on its own page
    texts = list(dict.fromkeys(_holding(said_in(moments), found)))
    return BookFound(row=row, texts=tuple(texts[:TEXTS_MOST]), more=max(0, len(texts) - TEXTS_MOST))


def _holding(texts: Iterator[Said], found: Found) -> Iterator[Said]:
    return (said for said in texts if any(found.is_marked(word) for word in words_in(said.text)))
