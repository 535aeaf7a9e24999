"""Finds books by any word of their entries, a misspelt one too; says which texts hold what was asked for."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final, TypeAlias

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
_BEHIND_DIGITS: Final = ":"
"""The sign behind 9."""

Spans: TypeAlias = Sequence[Span]
"""Where the words lie by which one word is found."""


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
    spans: tuple[Span, ...] = ()
    """Where the words lie that are marked in the texts."""
    more: bool = False
    """There are further books."""

    def is_marked(self, word: str) -> bool:
        """A word of a text is one that was looked for."""
        return any(each.holds(word) for each in self.spans)


def find(ledger: Ledger, actor: Actor, text: str, limit: int = FOUND_MOST) -> Found:
    """The books in which every word is found, the last letters of each left out or not.

    A word of one letter is found only as it is. A number is found whole, so that 41 finds neither 410 nor 41.00; its last
    digits, or the part behind its point, are taken as left out only where nothing is found otherwise, and even then no
    sum is found by half of its digits. A word that stands nowhere is taken for those most like it; and where the words
    stand in no book together, each is, beside itself.
    Raises: InvalidError for more words than may be asked for.
    """
    actor.require(Permission.READ)
    asked = asked_words(text)
    if len(asked) > WORDS_MOST:
        said = f"A search has at most {WORDS_MOST} words, and this one {len(asked)}. Leave some out."
        raise InvalidError(problems=(Problem(field="q", sentence=said),))
    with ledger.log.read() as reader:
        rows, found = _rows(reader, asked, limit + 1)
        found = replace(found, more=len(rows) > limit)
        return replace(found, books=tuple(_with_texts(ledger, reader, row, found) for row in rows[:limit]))


def _rows(reader: Reader, asked: Sequence[str], limit: int) -> tuple[list[FoundRow], Found]:
    """The books, and what their words were taken for."""
    whole, begun = ({word: spans(word) for word in asked} for spans in (_whole, _begun))
    readings = [whole] if whole == begun else [whole, begun]
    for own in readings:
        if rows := reader.found(list(own.values()), limit):
            return rows, _taken(own)

    @cache
    def meant_by(word: str) -> Meant:
        return Meant(asked=word, words=tuple(nearest_words(word, reader.vocabulary(), _LIKE_MOST)))

    for own in readings:
        missing = [word for word in asked if not reader.found([own[word]], 1)]
        for doubted in dict.fromkeys((tuple(missing), tuple(asked))):
            meant = tuple(each for word in doubted if (each := meant_by(word)).words)
            like = {each.asked: [Span(word) for word in each.words] for each in meant}
            spans = {word: [*own[word], *like.get(word, ())] for word in asked}
            if rows := reader.found(list(spans.values()), limit):
                return rows, _taken(spans, meant)
    return [], Found()


def _taken(spans: Mapping[str, Spans], meant: tuple[Meant, ...] = ()) -> Found:
    return Found(meant=meant, spans=tuple(span for each in spans.values() for span in each))


def _whole(word: str) -> Spans:
    """All that begins with it; of a number, what goes on with neither a digit nor a point."""
    if len(word) == 1:
        return [Span(word)]
    if not word[-1].isdecimal():
        return [Span(word, word + _LAST)]
    return [Span(word, f"{word}."), Span(f"{word}/", f"{word}0"), Span(word + _BEHIND_DIGITS, word + _LAST)]


def _begun(word: str) -> Spans:
    """All that begins with it; of a number without a point no sum, but of that many whole ones."""
    if len(word) == 1 or not word[-1].isdecimal():
        return _whole(word)
    if "." in word:
        return [Span(word, word + _LAST)]
    return [Span(word, word + _LAST, but_sums=True), Span(f"{word}.", f"{word}/")]


def _with_texts(ledger: Ledger, reader: Reader, row: FoundRow, found: Found) -> BookFound:
    try:
        moments = history(reader.of_book(row.book), ledger.codec)
    except LedgerError:
        return BookFound(row=row, texts=())  # what is wrong with it is told on its own page
    texts = list(dict.fromkeys(_holding(said_in(moments), found)))
    return BookFound(row=row, texts=tuple(texts[:TEXTS_MOST]), more=max(0, len(texts) - TEXTS_MOST))


def _holding(texts: Iterator[Said], found: Found) -> Iterator[Said]:
    return (said for said in texts if any(found.is_marked(word) for word in words_in(said.text)))
