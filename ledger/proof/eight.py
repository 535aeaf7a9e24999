"""A digest in eight words, to be read aloud or typed from paper; they stand for its first 88 bits and no more.

The list beside this file has 2,048 words, so that each stands for eleven bits. No two begin with the same four letters,
and none becomes another by one letter changed, left out or put in.
"""

import re
from functools import cache
from pathlib import Path
from typing import Final, NoReturn

from ledger.proof.report import MalformedError

__all__ = ["ELEVEN_BITS", "STRENGTH", "WORDS", "eight_words", "first_bytes", "is_words", "list_of_words"]

ELEVEN_BITS: Final = 11
"""What one word stands for."""
WORDS: Final = 8
STRENGTH: Final = WORDS * ELEVEN_BITS
"""Bits. Whoever looks for something else under words that exist already needs some 2**88 tries; whoever makes two
things at once that have the same words needs some 2**44. So words are good for what its maker wants to be known by."""
_BYTES: Final = STRENGTH // 8
_SPLIT: Final = re.compile(r"[\s,]+")
_LEAST: Final = 4
_WHAT: Final = "The eight words"


@cache
def list_of_words() -> tuple[str, ...]:
    """All words, in the order of the alphabet: the first stands for 0, the last for 2,047."""
    return tuple((Path(__file__).parent / "words.txt").read_text("ascii").split())


def eight_words(digest_hex: str) -> str:
    """The words of a digest in hexadecimal, of which the first 22 digits count.

    Requires: at least 22 digits
    """
    number = int.from_bytes(bytes.fromhex(digest_hex)[:_BYTES], "big")
    assert len(digest_hex) >= 2 * _BYTES
    places = (number >> ELEVEN_BITS * (WORDS - 1 - place) & (2**ELEVEN_BITS - 1) for place in range(WORDS))
    return " ".join(list_of_words()[place] for place in places)


def first_bytes(text: str) -> bytes:
    """The first 11 bytes of the digest that words stand for; capitals do not count, nor what parts the words.

    Raises: MalformedError.
    """
    said = _words_in(text)
    if len(said) != WORDS:
        _refuse(f"there are {len(said)} of them", f"There are {WORDS}, parted by spaces.")
    places = {word: place for place, word in enumerate(list_of_words())}
    number = 0
    for word in said:
        if word not in places:
            like = [each for each in places if each[:_LEAST] == word[:_LEAST]]
            mend = f"Was it {like[0]}?" if like else "Ask for the word again, letter by letter."
            _refuse(f"{word[:20]!a} is not in the list", mend)
        number = number << ELEVEN_BITS | places[word]
    return number.to_bytes(_BYTES, "big")


def is_words(text: str) -> bool:
    """Whether a text is meant as words: several, of letters alone."""
    said = _words_in(text)
    return len(said) > 1 and all(word.isascii() and word.isalpha() for word in said)


def _words_in(text: str) -> list[str]:
    return [word for word in _SPLIT.split(text.lower()) if word]


def _refuse(problem: str, mend: str) -> NoReturn:
    raise MalformedError(what=_WHAT, problem=problem, mend=mend)
