"""Eight words: what they stand for, the list they come from, and what is said of a word that is not in it."""

from hashlib import sha256
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.proof.eight import STRENGTH, eight_words, first_bytes, is_words, list_of_words
from ledger.proof.report import MalformedError

LIST = list_of_words()
ABC = sha256(b"abc").hexdigest()


def a_letter_apart(one: str, other: str) -> bool:
    """Whether one letter changed, left out or put in makes one of the other."""
    if len(one) == len(other):
        return sum(mine != yours for mine, yours in zip(one, other, strict=True)) == 1
    short, long = sorted((one, other), key=len)
    return len(long) == len(short) + 1 and any(long[:at] + long[at + 1 :] == short for at in range(len(long)))


def test_the_list_has_2048_words_of_three_to_eight_small_letters_in_the_order_of_the_alphabet() -> None:
    assert len(LIST) == 2048 == 2**11
    assert all(one < other for one, other in pairwise(LIST))
    assert all(3 <= len(each) <= 8 and each.isascii() and each.isalpha() and each.islower() for each in LIST)


def test_no_two_words_begin_alike_or_are_one_letter_apart() -> None:
    assert len({each[:4] for each in LIST}) == 2048
    by_length: dict[int, list[str]] = {}
    for word in LIST:
        near = [other for length in (-1, 0, 1) for other in by_length.get(len(word) + length, [])]
        assert not [other for other in near if a_letter_apart(word, other)], word
        by_length.setdefault(len(word), []).append(word)


@pytest.mark.parametrize(
    "word", ["genuine", "original", "perfect", "restore", "repair", "damage", "proof", "false", "valuable", "failure"]
)
def test_no_word_could_be_taken_for_a_claim_about_the_book_or_for_a_verdict(word: str) -> None:
    assert word not in LIST


def test_the_words_of_a_published_digest_are_its_first_88_bits_by_hand() -> None:
    """Source: the digest of "abc" in FIPS PUB 180-4's examples, ba7816bf 8f01cfea 414140…, parted in elevens by hand."""
    bits = "1011101001111000000101101011111110001111000000011100111111101010010000010100000101000000"
    assert STRENGTH == len(bits) == 88
    assert f"{int(ABC[:22], 16):088b}" == bits
    assert eight_words(ABC).split() == [LIST[int(bits[at : at + 11], 2)] for at in range(0, 88, 11)]


def test_the_first_and_the_last_word_are_nothing_and_everything() -> None:
    assert eight_words("00" * 32) == " ".join([LIST[0]] * 8)
    assert eight_words("ff" * 32) == " ".join([LIST[-1]] * 8)


@given(st.binary(min_size=32, max_size=32))
def test_words_lead_back_to_the_bytes_they_came_from(digest: bytes) -> None:
    words = eight_words(digest.hex())
    assert first_bytes(words) == digest[:11]
    assert first_bytes(words.upper().replace(" ", ", ")) == digest[:11]
    assert is_words(words)


def test_another_bit_within_the_first_88_is_another_word_and_one_behind_is_not() -> None:
    number = int(ABC, 16)
    for bit in range(256):
        other = f"{number ^ 1 << 255 - bit:064x}"
        changed = sum(
            mine != yours for mine, yours in zip(eight_words(ABC).split(), eight_words(other).split(), strict=True)
        )
        assert changed == (1 if bit < 88 else 0)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "there are 0 of them. There are 8, parted by spaces."),
        ("aardvark " * 7, "there are 7 of them."),
        ("aardvark " * 9, "there are 9 of them."),
        ("aardvark " * 7 + "veranda", "'veranda' is not in the list. Was it verandah?"),
        ("aardvark " * 7 + "xylophone", "'xylophone' is not in the list. Ask for the word again, letter by letter."),
        ("aardvark " * 7 + "\u0430ardvark", r"'\u0430ardvark' is not in the list."),
    ],
)
def test_what_are_no_eight_words_is_refused_with_the_mend(text: str, told: str) -> None:
    with pytest.raises(MalformedError) as caught:
        first_bytes(text)
    assert f"The eight words: {told}" in str(caught.value)


@pytest.mark.parametrize("text", ["key.txt", "aardvark", "name+0011+AAAA", "folder/one two", "", "one 2"])
def test_a_file_name_or_a_key_is_not_taken_for_words(text: str) -> None:
    assert not is_words(text)
