"""Which words a misspelt one may have meant: a letter left out, doubled, wrong or swapped, and none of the far ones."""

import pytest

from ledger.likeness import nearest_words

WORDS = (
    "tear",
    "tape",
    "there",
    "takes",
    "lamp",
    "lamps",
    "unlit",
    "until",
    "aunt",
    "split",
    "slit",
    "spot",
    "fox",
    "rust",
)


@pytest.mark.parametrize(
    ("asked", "meant"),
    [
        ("taer", ["tear"]),
        ("lmp", ["lamp"]),
        ("foxx", ["fox"]),
        ("ofx", ["fox"]),
        ("unlt", ["unlit"]),
        ("splt", ["split"]),
        ("rusl", ["rust"]),
    ],
)
def test_one_slip_leads_to_the_word_that_was_meant_and_to_no_farther_one(asked: str, meant: list[str]) -> None:
    assert nearest_words(asked, WORDS, 8) == meant


def test_what_begins_a_word_is_like_it_too() -> None:
    assert set(nearest_words("lapm", WORDS, 8)) == {"lamp", "lamps"}


@pytest.mark.parametrize("asked", ["lx", "la", "n-47", "2019", "fix", "zzzz"])
def test_two_letters_a_number_and_a_short_word_with_a_wrong_letter_are_like_none(asked: str) -> None:
    assert nearest_words(asked, WORDS, 8) == []
