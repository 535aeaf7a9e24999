"""Which words a misspelt one may have meant: a letter left out, doubled, wrong or swapped, and none of the far ones."""

from string import ascii_lowercase

import pytest

from ledger.likeness import nearest_words, slips

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
    "want",
    "cannot",
    "another",
    "anything",
    "tannery",
)


@pytest.mark.parametrize(
    ("asked", "meant"),
    [
        ("taer", ["tear"]),
        ("annt", ["aunt"]),
        ("anuther", ["another"]),
        ("taneri", ["tannery"]),
        ("foxx", ["fox"]),
        ("ofx", ["fox"]),
        ("unlt", ["unlit"]),
        ("splt", ["spot", "split"]),
        ("rusl", ["rust"]),
    ],
)
def test_one_slip_leads_to_the_word_that_was_meant_and_to_no_farther_one(asked: str, meant: list[str]) -> None:
    assert nearest_words(asked, WORDS, 8) == meant


def test_a_word_that_goes_on_as_the_one_that_was_meant_comes_behind_it() -> None:
    assert nearest_words("lapm", WORDS, 8) == ["lamp", "lamps"]
    assert nearest_words("lapm", WORDS, 1) == ["lamp"]


def test_a_word_that_is_not_written_out_and_has_a_slip_leads_to_those_that_begin_so() -> None:
    assert nearest_words("anytj", WORDS, 8) == ["anything"]
    assert nearest_words("tanmer", WORDS, 8) == ["tannery"]


def one_slip_from(word: str) -> set[str]:
    """Every word that one slip makes of it, by what Damerau (1964) counts as one."""
    cuts = [(word[:at], word[at:]) for at in range(len(word) + 1)]
    less = {a + b[1:] for a, b in cuts if b}
    swapped = {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1}
    wrong = {a + letter + b[1:] for a, b in cuts if b for letter in ascii_lowercase}
    more = {a + letter + b for a, b in cuts for letter in ascii_lowercase}
    return (less | swapped | wrong | more) - {word}


@pytest.mark.parametrize("word", ["lamp", "aunt", "tape", "spot"])
def test_slips_are_counted_as_they_are_made(word: str) -> None:
    once = one_slip_from(word)

    assert {slips(each, word)[0] for each in once} == {1}
    for each in sorted(once)[::17]:
        for twice in sorted(one_slip_from(each) - once - {word})[::7]:
            at_once = slips(twice, word)[0]
            # A letter that is put between two and then changes places with one of them is two changes to one place.
            assert at_once == 2 or (at_once == 3 and len(twice) != len(word)), (twice, word)


def test_what_is_begun_is_counted_to_the_beginning_that_is_nearest() -> None:
    assert slips("lam", "lamps") == (2, 0)
    assert slips("lma", "lamps") == (3, 1)
    assert slips("", "lamps") == (5, 0)
    assert slips("lamps", "") == (5, 5)


@pytest.mark.parametrize("asked", ["lx", "la", "n-47", "2019", "fix", "zzzz"])
def test_two_letters_a_number_and_a_short_word_with_a_wrong_letter_are_like_none(asked: str) -> None:
    assert nearest_words(asked, WORDS, 8) == []
