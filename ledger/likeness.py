"""Which titles, or which words, a misspelt one may have meant: those most like what was asked for."""

from collections.abc import Iterable
from difflib import SequenceMatcher
from heapq import nlargest
from typing import Final

from ledger.folding import words_of

__all__ = ["LEAST", "likeness", "nearest", "nearest_words", "slips"]

LEAST: Final = 0.5
"""Titles less like it than this are not meant. Our assumption."""
_SHORT, _LONG = 3, 6
"""A word of fewer letters than the first is like too many others; one of as many as the second may have two slips, one
between them a single one. Our assumption."""


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
    """The words with the fewest slips from the one asked for, those of its length first; else those that it begins so.

    What it begins as it is, is found without that and is none of them.
    A slip is a letter too many, too few or wrong, or two neighbours that changed places. Words that a word found goes on
    as, such as its plural, come with it. One of three letters is not like another with a wrong letter; one with a digit
    is like none but itself: another number is another thing.
    """
    if len(asked) < _SHORT or any(sign.isdigit() for sign in asked):
        return []
    most = 1 + (len(asked) >= _LONG)
    scored = [(*slips(asked, word), word) for word in words if _may_be_meant(asked, word, most)]
    least = min((whole for whole, _, _ in scored), default=0)
    if least <= most:
        meant = tuple(word for whole, _, word in scored if whole == least)
        found = [each for each in scored if each[2].startswith(meant)]
    else:
        least = min(begun for _, begun, _ in scored)
        found = [each for each in scored if each[1] == least and len(asked) > _SHORT]
    ranked = sorted(found, key=lambda each: (each[0], abs(len(each[2]) - len(asked)), each[2]))
    return [word for _, _, word in ranked[:limit]]


def _may_be_meant(asked: str, word: str, most: int) -> bool:
    """The word, or its beginning, is no more slips away than that, and not found already."""
    # Each letter that is missing is a slip: that spares nearly all of the work.
    if len(set(asked).difference(word[: len(asked) + most])) > most or word.startswith(asked):
        return False
    if len(asked) == len(word) == _SHORT and sorted(asked) != sorted(word):
        return False
    return _begins_so(asked, word, most)


def slips(asked: str, word: str) -> tuple[int, int]:
    """How many slips lead from one word to the other, and how many at least to one that the other begins with.

    Source: F. J. Damerau, A Technique for Computer Detection and Correction of Spelling Errors, Communications of the ACM
    7 (3), 1964, for what a slip is; no letter is changed twice (optimal string alignment).
    """
    before: list[int] = []
    row = list(range(len(word) + 1))
    for place, letter in enumerate(asked, start=1):
        above, before = before, row
        row = [place]
        for at, other in enumerate(word, start=1):
            cost = min(before[at] + 1, row[at - 1] + 1, before[at - 1] + (letter != other))
            if place > 1 < at and letter == word[at - 2] and asked[place - 2] == other:
                cost = min(cost, above[at - 2] + 1)
            row.append(cost)
    return row[-1], min(row)


def _begins_so(asked: str, word: str, most: int) -> bool:
    """The word begins with one that so many slips at most lead to."""
    same = 0
    while same < len(asked) and same < len(word) and asked[same] == word[same]:
        same += 1
    left, other = asked[same:], word[same:]
    if len(left) <= most:
        return True
    return most > 0 and (
        _begins_so(left[1:], other, most - 1)
        or _begins_so(left, other[1:], most - 1)
        or _begins_so(left[1:], other[1:], most - 1)
        or (left[:2] == other[1::-1] and _begins_so(left[2:], other[2:], most - 1))
    )


def _likeness(matchers: list[SequenceMatcher[str]], title: str) -> float:
    words = title.split()
    return sum(max((_ratio(each, word) for word in words), default=0.0) for each in matchers) / len(matchers)


def _ratio(matcher: SequenceMatcher[str], word: str) -> float:
    matcher.set_seq1(word)
    # What can be said at a glance spares most of the work.
    if matcher.real_quick_ratio() < LEAST / 2 or matcher.quick_ratio() < LEAST / 2:
        return 0.0
    return matcher.ratio()
