"""Codes: what another decoder reads from them is what was put in, and their edges are as light as readers need."""

import pytest

from ledger.adapters.codes import QUIET, SegnoCodes
from ledger.errors import MalformedError
from tests.scanning import drawn, scanned, squares

BOOK = "http://192.168.1.20:8450/books/b7q2m4x6n5k3j8h2g4f6d5s3a7"
JOIN = "http://bench.example:8450/join/-3Xw9Jt1yQ_7fT0pKq5vLr2sNn8mZb4cUe6dGhAiBjE"
TEXTS = [BOOK, JOIN, "https://b.example/", "http://[2001:db8::7]:8450/books/a", "x"]
HALVES = {" ": (True, True), "\N{FULL BLOCK}": (False, False)} | {
    "\N{UPPER HALF BLOCK}": (False, True),
    "\N{LOWER HALF BLOCK}": (True, False),
}
"""In a terminal that writes light on dark, what is filled is light: the upper and the lower square, dark or not."""


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_drawn_is_read_by_another_decoder(text: str) -> None:
    # OpenCV's QRCodeDetectorAruco, a decoder of its own.
    assert scanned(drawn(squares(SegnoCodes().drawn(text)))) == text


@pytest.mark.parametrize("text", TEXTS)
def test_what_a_terminal_shows_is_read_by_another_decoder(text: str) -> None:
    dark: list[list[bool]] = []
    for line in SegnoCodes().in_words(text).split("\n"):
        upper, lower = zip(*(HALVES[each] for each in line), strict=True)
        dark += [list(upper), list(lower)]
    side = SegnoCodes().drawn(text).side
    assert scanned(drawn([row[:side] for row in dark[:side]])) == text


@pytest.mark.parametrize("text", TEXTS)
def test_four_light_squares_lie_around_a_code_and_its_size_is_one_of_the_standards(text: str) -> None:
    dark = squares(SegnoCodes().drawn(text))
    side = len(dark)
    # ISO/IEC 18004: 21 squares for version 1, four more for each version up to 40.
    assert side - 2 * QUIET in {17 + 4 * version for version in range(1, 41)}
    edge = {*range(QUIET), *range(side - QUIET, side)}
    assert not any(dark[y][x] for y in range(side) for x in range(side) if x in edge or y in edge)
    assert all(dark[QUIET][QUIET : QUIET + 7])


def test_the_same_text_gives_the_same_code() -> None:
    assert SegnoCodes().drawn(BOOK) == SegnoCodes().drawn(BOOK)
    assert SegnoCodes().drawn(BOOK) != SegnoCodes().drawn(BOOK + "a")


def test_a_stained_code_is_still_read() -> None:
    # Level M restores some 15 % of the code words (ISO/IEC 18004, error correction); a stain of five by five squares in
    # the middle of a code of 33 by 33 hides under 3 % of it.
    dark = squares(SegnoCodes().drawn(BOOK))
    middle = len(dark) // 2
    for y in range(middle - 2, middle + 3):
        dark[y][middle - 2 : middle + 3] = [True] * 5
    assert scanned(drawn(dark)) == BOOK


def test_a_text_that_is_too_long_is_refused() -> None:
    # ISO/IEC 18004 table 7: a code of version 40 and level M holds 2331 bytes.
    assert SegnoCodes().drawn("a" * 2331).side == 177 + 2 * QUIET
    with pytest.raises(MalformedError, match="longer than a code can hold"):
        SegnoCodes().drawn("a" * 2332)
