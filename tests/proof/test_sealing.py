"""Sealed fields: the digests the standard prints, and every disclosure that must not open anything."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.proof.report import MalformedError
from ledger.proof.sealing import SALT_BYTES, check, digest, disclosure, is_digest, open_disclosure
from tests.proof.test_canonical import PLAIN
from tests.proof.vectors import each_in, each_of

SALT = bytes(range(16))


@pytest.mark.parametrize("case", each_of("sealing/published.json"))
def test_the_digest_is_made_over_the_string_and_not_over_what_it_says(case: Any) -> None:
    assert digest(case["disclosure"]) == case["digest"] != case["digest_of_decoded"]
    assert is_digest(case["digest"])


@pytest.mark.parametrize("case", each_of("sealing/made.json"))
def test_a_disclosure_is_made_and_opened(case: Any) -> None:
    salt = bytes.fromhex(case["salt"])
    text = disclosure(salt, case["name"], case["value"])
    assert text == case["disclosure"]
    assert digest(text) == case["digest"]
    assert open_disclosure(text) == (salt, case["name"], case["value"])
    assert check({case["name"]: case["digest"]}, [text]) == {case["name"]: case["value"]}


@pytest.mark.parametrize("case", each_in("sealing/refused"))
def test_a_disclosure_that_opens_nothing_is_refused_for_its_reason(case: Any) -> None:
    with pytest.raises(MalformedError) as caught:
        check(case["sealed"], case["disclosures"])
    assert (caught.value.where, caught.value.problem) == (case["where"], case["problem"])
    assert caught.value.mend


def test_fields_that_nobody_opened_are_withheld() -> None:
    texts = {name: disclosure(bytes([number]) * 16, name, number) for number, name in enumerate("abc")}
    sealed = {name: digest(text) for name, text in texts.items()}
    assert check(sealed, []) == {}
    assert check(sealed, [texts["b"]]) == {"b": 1}
    assert check(sealed, texts.values()) == {"a": 0, "b": 1, "c": 2}


def test_an_empty_field_has_a_digest_like_any_other() -> None:
    empty, full = (digest(disclosure(SALT, "seller", value)) for value in (None, "A stall by the harbour"))
    assert is_digest(empty)
    assert len(empty) == len(full) == 43


@pytest.mark.parametrize("length", [0, 1, 15])
def test_a_salt_that_could_be_guessed_is_refused(length: int) -> None:
    with pytest.raises(MalformedError) as caught:
        disclosure(bytes(length), "price", 1)
    assert (caught.value.where, caught.value.problem) == ("salt", f"it has {length} bytes of salt")


@pytest.mark.parametrize("name", ["", "_sd", "..."])
def test_a_reserved_name_is_refused(name: str) -> None:
    with pytest.raises(MalformedError) as caught:
        disclosure(SALT, name, 1)
    assert caught.value.where == "name"


@pytest.mark.parametrize(
    "text", ["", "A" * 42, "A" * 44, "A" * 42 + "B", "+" * 43, "A" * 43 + "\n", "\u0661" * 43, None, 1]
)
def test_what_is_no_digest_is_none(text: object) -> None:
    assert not is_digest(text)


def test_every_flipped_bit_of_a_disclosure_is_refused() -> None:
    text = disclosure(SALT, "price", {"minor": 1250, "currency": "EUR", "exponent": 2})
    sealed = {"price": digest(text)}
    for place in range(len(text) * 8):
        bad = bytearray(text.encode())
        bad[place // 8] ^= 1 << place % 8
        with pytest.raises(MalformedError):
            check(sealed, [bad.decode("latin-1")])


@settings(deadline=None)
@given(st.binary(min_size=SALT_BYTES, max_size=40), PLAIN)
def test_any_plain_value_can_be_sealed_and_opened(salt: bytes, value: Any) -> None:
    text = disclosure(salt, "value", value)
    assert open_disclosure(text) == (salt, "value", value)
    assert check({"value": digest(text)}, [text]) == {"value": value}
