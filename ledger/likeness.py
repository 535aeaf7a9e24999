"""Which titles a misspelt one may have meant: those whose words are most like the words that were asked for."""

from collections.abc import Iterable
from difflib import SequenceMatcher
from heapq import nlargest
from typing import Final

from ledger.rows import words_of

__all__ = ["LEAST", "likeness", "nearest"]

LEAST: Final = 0.5
"""Titles less like it than this are not meant. Our assumption."""


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


def _likeness(matchers: list[SequenceMatcher[str]], title: str) -> float:
    words = title.split()
    return sum(max((_ratio(each, word) for word in words), default=0.0) for each in matchers) / len(matchers)


def _ratio(matcher: SequenceMatcher[str], word: str) -> float:
    matcher.set_seq1(word)
    # What can be said at a glance spares most of the work.
    if matcher.real_quick_ratio() < LEAST / 2 or matcher.quick_ratio() < LEAST / 2:
        return 0.0
    return matcher.ratio()
