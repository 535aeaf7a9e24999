"""Verifier keys: their one line of text, and the keys under which one signature would fit every text."""

from base64 import b64encode
from hashlib import sha256
from typing import Any

import pytest

from ledger.proof.report import MalformedError
from ledger.proof.signature import COSIGNATURE, ED25519, VerifierKey, parse_vkey
from tests.proof.making import OWNER
from tests.proof.vectors import each_of

PRIME = 2**255 - 19


def root_mod_prime(square: int) -> int | None:
    """A square root modulo the prime, or None. Source: RFC 8032 section 5.1.3."""
    candidate = pow(square, (PRIME + 3) // 8, PRIME)
    for root in (candidate, candidate * pow(2, (PRIME - 1) // 4, PRIME) % PRIME):
        if (root * root - square) % PRIME == 0:
            return root
    return None


def small_order_ys() -> set[int]:
    """The y of every point whose eightfold is the neutral one, from the curve's equation -x²+y² = 1+dx²y².

    Neutral point: y = 1. Order 2: y = -1. Order 4: y = 0. A point of order 8 doubles to one with y = 0, so that
    x² = -y² there and d·y⁴ + 2y² - 1 = 0.
    Source: RFC 8032 section 5.1 (the curve), section 5.1.4 (the formula for doubling).
    """
    d = -121665 * pow(121666, -1, PRIME) % PRIME
    middle = root_mod_prime(1 + d)
    assert middle is not None
    found = {0, 1, PRIME - 1}
    for square in ((-1 + middle) * pow(d, -1, PRIME) % PRIME, (-1 - middle) * pow(d, -1, PRIME) % PRIME):
        y = root_mod_prime(square)
        if y is not None and root_mod_prime(-square % PRIME) is not None:
            found |= {y, PRIME - y}
    return found


def encodings() -> list[bytes]:
    """Every 32 bytes that say such a y: also above the prime, and with either sign of x."""
    numbers = [number for y in small_order_ys() for number in (y, y + PRIME) if number < 2**255]
    return [(number | sign << 255).to_bytes(32, "little") for number in numbers for sign in (0, 1)]


def vkey_of(name: str, algorithm: int, public: bytes) -> str:
    typed = bytes([algorithm]) + public
    key_id = sha256(name.encode() + b"\n" + typed).hexdigest()[:8]
    return f"{name}+{key_id}+{b64encode(typed).decode()}"


@pytest.mark.parametrize("case", each_of("notes/keys.json"))
def test_a_key_is_one_line_with_the_id_of_name_type_and_key(case: Any) -> None:
    public = bytes.fromhex(case["public"])
    key = VerifierKey.of(case["name"], public, case["type"])
    assert key.key_id.hex() == case["key_id"]
    assert key.vkey == case["vkey"] == vkey_of(case["name"], case["type"], public)
    assert parse_vkey(case["vkey"]) == key == VerifierKey(case["name"], key.key_id, public, case["type"])


@pytest.mark.parametrize("case", each_of("notes/refused-keys.json"))
def test_a_line_that_is_no_key_is_refused_for_its_reason(case: Any) -> None:
    with pytest.raises(MalformedError) as caught:
        parse_vkey(case["vkey"])
    assert caught.value.what == "The verifier key"
    assert caught.value.problem == case["problem"]
    assert caught.value.mend


def test_there_are_eight_points_of_small_order_in_fourteen_spellings() -> None:
    # Five y; x is 0 for y = 1 and y = -1, and each other y belongs to two points.
    assert len(small_order_ys()) == 5
    assert len(set(encodings())) == 14


@pytest.mark.parametrize("public", encodings(), ids=lambda public: public.hex()[:8] + public.hex()[-2:])
@pytest.mark.parametrize("algorithm", [ED25519, COSIGNATURE])
def test_a_key_of_small_order_is_refused_in_every_spelling(public: bytes, algorithm: int) -> None:
    problem = "it is of small order, so that one signature fits every text"
    with pytest.raises(MalformedError) as made:
        VerifierKey.of("example.org/ledger", public, algorithm)
    with pytest.raises(MalformedError) as read:
        parse_vkey(vkey_of("example.org/ledger", algorithm, public))
    assert made.value.problem == read.value.problem == problem


@pytest.mark.parametrize("above", range(2, 19))
def test_a_y_above_the_prime_is_a_second_spelling_and_refused(above: int) -> None:
    public = (PRIME + above).to_bytes(32, "little")
    with pytest.raises(MalformedError) as caught:
        VerifierKey.of("example.org/ledger", public)
    assert caught.value.problem == "it is not spelled as it must be"


@pytest.mark.parametrize("name", ["", "a b", "a+b", "a\u00a0b", "a\nb", "a\tb", "a\x01b", "\ud800", "a\u2003b"])
def test_nobody_signs_under_a_name_with_spaces_plus_or_control_characters(name: str) -> None:
    with pytest.raises(MalformedError) as caught:
        VerifierKey.of(name, OWNER.verifier.public)
    assert "no name for a key" in caught.value.problem


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"public": OWNER.verifier.public[:-1]}, "it has 31 bytes"),
        ({"key_id": bytes(4)}, "its id does not belong to its name and key"),
        ({"name": "example.org/another"}, "its id does not belong to its name and key"),
        ({"algorithm": 6}, "type 0x06 is not one of ours"),
        ({"algorithm": 257}, "type 0x101 is not one of ours"),
    ],
)
def test_a_key_whose_parts_do_not_fit_is_refused(changes: dict[str, Any], problem: str) -> None:
    key = OWNER.verifier
    parts: dict[str, Any] = {"name": key.name, "key_id": key.key_id, "public": key.public} | changes
    with pytest.raises(MalformedError) as caught:
        VerifierKey(**parts)
    assert caught.value.problem == problem
