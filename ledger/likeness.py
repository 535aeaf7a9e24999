"""Which titles, or which words, a misspelt one may have meant: those most like what was asked for."""

from collections.abc import Iterable
from difflib import SequenceMatcher
from heapq import nlargest
from typing import Final

from ledger.folding import words_of

__all__ = ["LEAST", "likeness", "nearest", "nearest_words"]

LEAST: Final = 0.5
"""Titles less like it than this are not meant. Our assumption."""
_LEAST_WORD: Final = 0.75
"""The same of single words: of four letters one may be wrong. Our assumption."""
_LETTERS_LEAST: Final = 3
"""A shorter word is like too many others; of three letters none may be wrong, but one left out. Our assumption."""
_BEHIND_MOST: Final = 0.1
"""A word that is less like it by more than this than the likest one is not meant. Our assumption."""


def nearest(asked: str, titles: Iterable[str], limit: int) -> list[str]:
    """The titles most like what was asked for, the likest first; none of them where nothing is like it.

    Requires: titles as a search sees them.
    """
    words = [word for word in words_of(asked) if any(sign.isalpha() for sign in word)]
    if not words:
        return []
    # The text looked at again and again is the second of a matcher's two, which it remembers.
    matchers = [SequenceMatcher(b=word, autojunk=False) for word in words]
    scored = ((_likeness(matchers, title), title) for title in titles)
    best = nlargest(limit, ((score, title) for score, title in scored if score >= LEAST))
    return [title for _, title in best]


def likeness(asked: str, title: str) -> float:
    """How like a title is to what was asked for: 1 where it has every word of it, 0 where it shares no letter with any.

    The mean, over the words asked for, of twice the letters shared in order by that word and the likest word of the
    title, through the letters of both.
    Source: Ratcliff and Metzener, Pattern Matching: The Gestalt Approach, Dr. Dobb's Journal, July 1988.
    """
    return _likeness([SequenceMatcher(b=word, autojunk=False) for word in words_of(asked)], title)


def nearest_words(asked: str, words: Iterable[str], limit: int) -> list[str]:
    """The words most like the one asked for, or like one that it begins, the likest first, and none far behind that.

    A word with a digit in it is like none but itself: another number is another thing.
    """
    if len(asked) < _LETTERS_LEAST or any(sign.isdigit() for sign in asked):
        return []
    # The text looked at again and again is the second of a matcher's two, which it remembers.
    matcher = SequenceMatcher(b=asked, autojunk=False)
    longest, letters = 2 * len(asked), frozenset(asked)
    scored = []
    for word in words:
        short = word[: len(asked)]
        # A word that shares few letters with it cannot be like it: that spares nearly all of the work.
        shared = 2 * len(letters.intersection(word)) + len(asked) - len(letters)
        if not _LETTERS_LEAST <= len(word) <= longest or shared < len(asked):
            continue
        if (score := max(_word_ratio(matcher, asked, word), _word_ratio(matcher, asked, short))) >= _LEAST_WORD:
            scored.append((score, word))
    best = nlargest(limit, scored)
    return [word for score, word in best if score >= best[0][0] - _BEHIND_MOST]


def _word_ratio(matcher: SequenceMatcher[str], asked: str, word: str) -> float:
    matcher.set_seq1(word)
    if matcher.real_quick_ratio() < _LEAST_WORD or (most := matcher.quick_ratio()) < _LEAST_WORD:
        return 0.0
    if most == 1 and _is_swapped(asked, word):
        return 1 - 1 / (2 * len(word))  # no letter is wrong, so it is half a slip. Our assumption.
    return matcher.ratio()


def _is_swapped(one: str, other: str) -> bool:
    """Two neighbours have changed places: the slip of a quick hand. The letters are known to be the same."""
    unlike = [place for place, (this, that) in enumerate(zip(one, other, strict=True)) if this != that]
    return len(unlike) == 2 and unlike[1] == unlike[0] + 1  # noqa: PLR2004 - a pair


def _likeness(matchers: list[SequenceMatcher[str]], title: str) -> float:
    words = title.split()
    return sum(max((_ratio(each, word) for word in words), default=0.0) for each in matchers) / len(matchers)


def _ratio(matcher: SequenceMatcher[str], word: str) -> float:
    matcher.set_seq1(word)
    # What can be said at a glance spares most of the work.
    if matcher.real_quick_ratio() < LEAST / 2 or matcher.quick_ratio() < LEAST / 2:
        return 0.0
    return matcher.ratio()
