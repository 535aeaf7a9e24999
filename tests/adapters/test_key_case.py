"""A key under a passphrase: opened by it and by nothing else, and by a second implementation written from the RFCs.

Source: RFC 8439 for ChaCha20-Poly1305, its own worked example in section 2.8.2 among the checks; RFC 7914 for scrypt, as
the standard library has it, checked by the third example of section 12.
"""

import hashlib
import json
import struct
from base64 import b64decode
from typing import Any

import pytest

from ledger.adapters.key_case import CHANCE_BYTES, LockedCase
from ledger.errors import ConflictError, MalformedError
from ledger.proof.canonical import encode
from tests.conftest import COLLECTION

PASSPHRASE = "thirteen walnut shelves, and a stool"
SECRET = "slipsheet signing key\n" + "01" * 32
CHANCE = bytes(range(CHANCE_BYTES))
MASK = 0xFFFF_FFFF


def rotated(value: int, by: int) -> int:
    return (value << by | value >> (32 - by)) & MASK


def quarter(state: list[int], a: int, b: int, c: int, d: int) -> None:
    """Section 2.1."""
    for x, y, z, by in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
        state[x] = (state[x] + state[y]) & MASK
        state[z] = rotated(state[z] ^ state[x], by)


def block(key: bytes, counter: int, nonce: bytes) -> bytes:
    """Section 2.3."""
    begin = [0x61707865, 0x3320646E, 0x79622D32, 0x6B206574, *struct.unpack("<8I", key), counter]
    begin += struct.unpack("<3I", nonce)
    state = list(begin)
    for _ in range(10):
        for column in range(4):
            quarter(state, column, column + 4, column + 8, column + 12)
        for row in range(4):
            quarter(state, row, 4 + (row + 1) % 4, 8 + (row + 2) % 4, 12 + (row + 3) % 4)
    return struct.pack("<16I", *((a + b) & MASK for a, b in zip(state, begin, strict=True)))


def crypted(key: bytes, nonce: bytes, text: bytes) -> bytes:
    """Section 2.4."""
    pad = b"".join(block(key, 1 + at // 64, nonce) for at in range(0, len(text), 64))
    return bytes(a ^ b for a, b in zip(text, pad, strict=False))


def tag_of(key: bytes, nonce: bytes, beside: bytes, sealed: bytes) -> bytes:
    """Sections 2.5, 2.6 and 2.8."""
    one_time = block(key, 0, nonce)
    r = int.from_bytes(one_time[:16], "little") & 0x0FFFFFFC0FFFFFFC0FFFFFFC0FFFFFFF
    said = b"".join(each + bytes(-len(each) % 16) for each in (beside, sealed))
    said += struct.pack("<QQ", len(beside), len(sealed))
    total = 0
    for at in range(0, len(said), 16):
        total = (total + int.from_bytes(said[at : at + 16] + b"\x01", "little")) * r % (2**130 - 5)
    return ((total + int.from_bytes(one_time[16:32], "little")) % 2**128).to_bytes(16, "little")


def test_the_second_implementation_gives_the_example_of_the_standard() -> None:
    """RFC 8439 section 2.8.2."""
    text = b"Ladies and Gentlemen of the class of '99: If I could offer you only one tip for the future, sunscreen would be it."
    key, nonce = bytes(range(0x80, 0xA0)), bytes.fromhex("070000004041424344454647")
    sealed = crypted(key, nonce, text)
    assert sealed.hex().startswith("d31a8d34648e60db7b86afbc53ef7ec2")
    tag = tag_of(key, nonce, bytes.fromhex("50515253c0c1c2c3c4c5c6c7"), sealed)
    assert tag.hex() == "1ae10b594f09e26a7e902ecbd0600691"


def test_the_standard_library_gives_the_example_of_the_other_standard() -> None:
    """RFC 7914 section 12, the third vector."""
    made = hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1, dklen=64, maxmem=2**26)
    assert made.hex().startswith("7023bdcb3afd7348461c06cd81fd38eb")


def test_a_second_reader_opens_it_with_what_the_file_says() -> None:
    said: dict[str, Any] = json.loads(LockedCase().locked(COLLECTION, SECRET, PASSPHRASE, CHANCE))
    sealed = b64decode(said.pop("sealed"))
    cost, nonce = said["key"], b64decode(said["cipher"]["nonce"])
    assert (cost["name"], said["cipher"]["name"]) == ("scrypt", "ChaCha20-Poly1305")
    salt = b64decode(cost["salt"])
    # OWASP, "Password Storage Cheat Sheet": N=2^17, r=8, p=1 is the first of its choices for scrypt.
    assert (cost["n"], cost["r"], cost["p"], len(salt)) == (131072, 8, 1, 32)
    key = hashlib.scrypt(PASSPHRASE.encode(), salt=salt, n=cost["n"], r=cost["r"], p=cost["p"], dklen=32, maxmem=2**28)
    assert crypted(key, nonce, sealed[:-16]).decode() == SECRET
    assert tag_of(key, nonce, encode(said), sealed[:-16]) == sealed[-16:]


def test_the_passphrase_opens_it_however_its_letters_are_composed() -> None:
    case = LockedCase()
    locked = case.locked(COLLECTION, SECRET, "dreizehn Nu\u00dfbaumb\u00f6den", CHANCE)
    assert case.opened(COLLECTION, locked, "dreizehn Nu\u00dfbaumbo\u0308den") == SECRET


def test_another_passphrase_opens_nothing() -> None:
    case = LockedCase()
    with pytest.raises(ConflictError, match="passphrase does not open"):
        case.opened(COLLECTION, case.locked(COLLECTION, SECRET, PASSPHRASE, CHANCE), PASSPHRASE + ".")


def test_it_is_of_one_collection() -> None:
    case = LockedCase()
    locked = case.locked(COLLECTION, SECRET, PASSPHRASE, CHANCE)
    with pytest.raises(MalformedError, match="for another collection"):
        case.opened("z" * 26, locked, PASSPHRASE)
    with pytest.raises(ConflictError):
        case.opened("z" * 26, locked.replace(COLLECTION.encode(), b"z" * 26), PASSPHRASE)


@pytest.mark.parametrize("changed", ['"n":1048576', '"n":1', '"r":64', '"p":1000'])
def test_no_file_can_ask_for_other_costs(changed: str) -> None:
    """So that opening one never takes all memory, and one made weak is not taken for one of ours."""
    case = LockedCase()
    locked = case.locked(COLLECTION, SECRET, PASSPHRASE, CHANCE)
    name = changed.partition(":")[0]
    was = {'"n"': b'"n":131072', '"r"': b'"r":8', '"p"': b'"p":1'}[name]
    assert was in locked
    with pytest.raises(MalformedError, match="locked otherwise"):
        case.opened(COLLECTION, locked.replace(was, changed.encode()), PASSPHRASE)


@pytest.mark.parametrize("data", [b"", b"{}\n", b"[]\n", b'{"sealed":"!"}\n', b"\xff"])
def test_what_is_no_locked_key_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedError):
        LockedCase().opened(COLLECTION, data, PASSPHRASE)
