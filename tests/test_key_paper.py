"""The signing key on paper: what stands there, and that every slip of the hand is named."""

import pytest

from ledger.key_paper import lines_of, seed_of
from ledger.proof.report import MalformedError

SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
"""The secret key of RFC 8032 section 7.1, test 1."""

# The checks were made with coreutils: printf '1 9d61b19deffd5a60' | sha256sum | cut -c1-2, and so on;
# printf %s SEED | xxd -r -p | sha256sum | cut -c1-8 for the whole.
LINES = [
    "1  9d61 b19d effd 5a60  check 94",
    "2  ba84 4af4 92ec 2cc4  check e5",
    "3  4449 c569 7b32 6919  check 95",
    "4  703b ac03 1cae 7f60  check 3a",
    "whole  644d 50ab",
]


def test_the_lines_are_these() -> None:
    assert lines_of(SEED) == LINES


def test_what_was_written_is_read_back() -> None:
    assert seed_of(LINES) == SEED
    for number in range(256):
        seed = bytes([number]) * 32
        assert seed_of(lines_of(seed)) == seed


def test_spaces_capitals_and_empty_lines_do_not_matter() -> None:
    typed = [line.upper().replace("  ", " ") for line in LINES]
    assert seed_of(["", *typed, "  "]) == SEED
    assert seed_of([line.replace(" ", "") for line in LINES]) == SEED


@pytest.mark.parametrize(
    ("number", "old", "new", "where"),
    [
        (0, "9d61", "9d67", "line 1"),
        (1, "ba84", "b8a4", "line 2"),
        (2, "6919", "691", "line 3"),
        (2, "3  ", "2  ", "line 3"),
        (3, "7f60", "7f6o", "line 4"),
        (3, "check ", "check 0", "line 4"),
    ],
)
def test_a_line_that_was_mistyped_is_named(number: int, old: str, new: str, where: str) -> None:
    typed = list(LINES)
    assert old in typed[number]
    typed[number] = typed[number].replace(old, new)
    with pytest.raises(MalformedError) as caught:
        seed_of(typed)
    assert caught.value.where == where


def test_lines_that_changed_places_are_named() -> None:
    with pytest.raises(MalformedError) as caught:
        seed_of([LINES[1], LINES[0], *LINES[2:]])
    assert caught.value.where == "line 1"


def test_every_single_wrong_digit_is_found() -> None:
    for number, line in enumerate(LINES[:4]):
        for at, digit in enumerate(line[:24]):
            if at < 3 or digit == " ":
                continue
            for other in set("0123456789abcdef") - {digit}:
                with pytest.raises(MalformedError):
                    seed_of([*LINES[:number], line[:at] + other + line[at + 1 :], *LINES[number + 1 :]])


def test_the_whole_must_fit_and_nothing_may_be_missing() -> None:
    with pytest.raises(MalformedError) as caught:
        seed_of([*LINES[:4], "whole  0000 0000"])
    assert caught.value.where == "the last line"
    with pytest.raises(MalformedError, match="4 lines"):
        seed_of(LINES[:4])


def test_only_a_whole_seed_is_written() -> None:
    with pytest.raises(ValueError, match="32 bytes"):
        lines_of(SEED[:31])
