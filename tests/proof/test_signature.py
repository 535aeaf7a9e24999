"""Signed notes: published signatures, notes of every shape, and every way in which one can be wrong."""

from base64 import b64decode
from typing import Any

import pytest

from ledger.proof.checkpoint import origin_of
from ledger.proof.merkle import leaf_hash, root_of
from ledger.proof.note import MOST_SIGNATURES, Note, read_note, write_note
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.signature import (
    ForgedError,
    SigningKey,
    UnsignedError,
    VerifierKey,
    _verifies,
    add_signature,
    open_note,
    parse_vkey,
)
from tests.proof.making import COLLECTION, OTHER_SEED, OWNER, OWNER_SEED, a_cosignature
from tests.proof.vectors import each_in, each_of, load

ERRORS = {"MalformedError": MalformedError, "ForgedError": ForgedError, "UnsignedError": UnsignedError}
SECOND = SigningKey.from_seed("example.org/second", OTHER_SEED)
TEXT = "One line.\nAnother line.\n"


@pytest.mark.parametrize("case", each_of("notes/ed25519.json"))
def test_a_key_signs_as_published_and_accepts_nothing_else(case: Any) -> None:
    key = SigningKey.from_seed("example.org/ledger", bytes.fromhex(case["seed"]))
    assert key.verifier.public.hex() == case["public"]
    message, signature = bytes.fromhex(case["message"]), bytes.fromhex(case["signature"])
    assert key._private.sign(message) == signature
    assert _verifies(key.verifier.public, signature, message)
    assert not _verifies(key.verifier.public, signature, bytes.fromhex(case["refused_message"]))
    for bad in case["refused"]:
        assert not _verifies(key.verifier.public, bytes.fromhex(bad["signature"]), message), bad["why"]


@pytest.mark.parametrize("case", each_of("notes/ed25519.json"))
@pytest.mark.parametrize("number", range(6))
def test_a_bad_signature_of_a_known_key_refuses_the_note(case: Any, number: int) -> None:
    key = SigningKey.from_seed("example.org/ledger", bytes.fromhex(case["seed"]))
    good = key.line(TEXT).signature
    bad = bytes.fromhex(case["refused"][number]["signature"])
    # Group order: RFC 8032 section 5.1; the published refusal "S + L" is done to the signature of our text.
    order = 2**252 + 27742317777372353535851937790883648493
    if case["refused"][number]["why"].startswith("S replaced"):
        bad = good[:32] + (int.from_bytes(good[32:], "little") + order).to_bytes(32, "little")
    note = write_with(key.verifier, TEXT, bad or b"\0")
    with pytest.raises(ForgedError) as caught:
        open_note(note, [key.verifier])
    assert (caught.value.name, caught.value.key_id) == ("example.org/ledger", key.verifier.key_id)


def write_with(key: VerifierKey, text: str, signature: bytes) -> str:
    line = read_note(OWNER.sign(text)).lines[0]
    return write_note(Note(text, (type(line)(key.name, key.key_id, signature),)))


@pytest.mark.parametrize("case", each_in("notes/good"))
def test_a_good_note_gives_its_text_and_who_signed_it(case: Any) -> None:
    keys = [parse_vkey(text) for text in case["keys"]]
    for note in (case["note"], case["note"].encode()):
        opened = open_note(note, keys)
        assert opened.text == case["text"]
        assert [[s.key.name, s.key.key_id.hex(), s.timestamp] for s in opened.verified] == case["verified"]
        assert [[name, key_id.hex()] for name, key_id in opened.unknown] == case["unknown"]
    assert write_note(read_note(case["note"])) == case["note"]


@pytest.mark.parametrize("case", each_in("notes/refused"))
def test_a_bad_note_is_refused_for_its_reason(case: Any) -> None:
    with pytest.raises(ERRORS[case["error"]]) as caught:
        open_note(case["note"], [parse_vkey(text) for text in case["keys"]])
    said = {name: value.hex() if isinstance(value, bytes) else value for name, value in vars(caught.value).items()}
    names = {"problem", "where", "name", "key_id", "signers"} & case.keys()
    assert names
    assert {name: list(said[name]) if name == "signers" else said[name] for name in names} == {
        name: case[name] for name in names
    }


def test_a_whole_small_log_has_the_roots_that_were_signed() -> None:
    log = load("notes/small-log.json")
    key = parse_vkey(log["key"])
    leaves = [leaf_hash(entry.encode()) for entry in log["entries"]]
    for size, note in enumerate(log["checkpoints"]):
        _, said_size, root, _ = open_note(note, [key]).text.split("\n")
        assert int(said_size) == size
        assert b64decode(root) == root_of(leaves[:size])


def test_a_note_is_signed_and_opened() -> None:
    note = OWNER.sign(TEXT)
    opened = open_note(note, [OWNER.verifier, SECOND.verifier])
    assert opened.text == TEXT
    assert [signed.key for signed in opened.verified] == [OWNER.verifier]
    assert OWNER.sign(TEXT) == note  # Ed25519 has no chance in it: RFC 8032 section 5.1.6


@pytest.mark.parametrize("text", ["", "no end", "\n", "tab\there\n", "a\r\n", "\ud800\n"])
def test_a_text_that_could_not_be_read_back_is_not_signed(text: str) -> None:
    with pytest.raises(MalformedError) as caught:
        OWNER.sign(text)
    assert caught.value.what == "The note"


@pytest.mark.parametrize("seed", [b"", bytes(31), bytes(33)])
def test_a_seed_has_32_bytes(seed: bytes) -> None:
    with pytest.raises(MalformedError) as caught:
        SigningKey.from_seed("example.org/ledger", seed)
    assert caught.value.problem == f"its seed has {len(seed)} bytes"


def test_a_secret_never_shows() -> None:
    shown = repr(OWNER) + str(OWNER)
    assert OWNER_SEED.hex() not in shown
    assert "_private" not in shown
    assert OWNER.verifier.name in shown


def test_a_new_key_signs_beside_the_old_one() -> None:
    note = add_signature(OWNER.sign(TEXT), SECOND)
    for keys in ([OWNER.verifier], [SECOND.verifier], [SECOND.verifier, OWNER.verifier]):
        opened = open_note(note, keys)
        assert {signed.key for signed in opened.verified} == set(keys)
        assert len(opened.unknown) == 2 - len(keys)


def test_a_key_does_not_sign_a_note_twice() -> None:
    with pytest.raises(MalformedError) as caught:
        add_signature(OWNER.sign(TEXT), OWNER)
    assert caught.value.problem == f"{OWNER.verifier.name} has signed it already"


def test_a_note_holds_64_signatures_and_no_more() -> None:
    note = OWNER.sign(TEXT)
    for number in range(MOST_SIGNATURES - 1):
        note = add_signature(note, SigningKey.from_seed(f"example.org/{number}", OTHER_SEED))
    assert len(open_note(note, [OWNER.verifier]).unknown) == 63
    with pytest.raises(MalformedError) as caught:
        add_signature(note, SECOND)
    assert caught.value.problem == "it has more than 64 signatures"


def test_a_signature_that_stands_twice_counts_once() -> None:
    note = OWNER.sign(TEXT)
    doubled = note + note.rpartition("\n\n")[2]
    assert len(open_note(doubled, [OWNER.verifier, OWNER.verifier]).verified) == 1


def test_a_second_persons_signature_says_when() -> None:
    note, witness = a_cosignature(OWNER.sign(TEXT), "example.org/witness", 1767225600)
    opened = open_note(note, [OWNER.verifier, witness])
    assert [signed.timestamp for signed in opened.verified] == [None, 1767225600]
    assert opened.verified[1].key == witness
    with pytest.raises(ForgedError):
        open_note(note.replace("Another", "An other"), [witness])


def test_one_key_does_not_serve_two_purposes() -> None:
    note, witness = a_cosignature(OWNER.sign(TEXT), "example.org/witness", 1767225600)
    plain = VerifierKey.of("example.org/witness", witness.public)
    assert plain.key_id != witness.key_id
    with pytest.raises(UnsignedError) as caught:
        open_note(note, [plain])
    assert caught.value.signers == (
        f"{OWNER.verifier.name} ({OWNER.verifier.key_id.hex()})",
        f"example.org/witness ({witness.key_id.hex()})",
    )


def test_every_flipped_bit_of_a_note_is_refused() -> None:
    note = OWNER.sign(TEXT).encode()
    for place in range(len(note) * 8):
        bad = bytearray(note)
        bad[place // 8] ^= 1 << place % 8
        with pytest.raises(LedgerError) as caught:
            open_note(bytes(bad), [OWNER.verifier])
        assert isinstance(caught.value, tuple(ERRORS.values()))


def test_the_sentences_name_the_mend() -> None:
    forged = str(ForgedError(name=origin_of(COLLECTION), key_id=b"\1\2\3\4"))
    assert origin_of(COLLECTION) in forged
    assert "01020304" in forged
    assert "ask for a fresh copy" in forged
    assert "by another way than the record itself" in str(UnsignedError(signers=("example.org/a (01020304)",)))
