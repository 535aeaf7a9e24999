"""Every bad note, checkpoint, entry, proof, disclosure and document of the vectors, put into a record: refused there too.

SOURCES.md of the vectors says where each is from.
"""

from base64 import b64encode
from dataclasses import replace
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from ledger.proof.given import Asked, check_given
from ledger.proof.proof_file import Consistency
from ledger.proof.signature import parse_vkey
from tests.proof.agreeing import disagreements
from tests.proof.making import OWNER, OWNER_SEED, a_ledger
from tests.proof.recording import Given
from tests.proof.tampering import FORMS, GOOD, data, entry, note, proof, raw
from tests.proof.vectors import each_in, each_of

CODES = {
    "MalformedError": "checkpoint-unreadable",
    "ForgedError": "checkpoint-forged",
    "UnsignedError": "checkpoint-other-key",
}
KEY = OWNER.verifier.vkey


def found_in(given: Given, *keys: str) -> list[tuple[str, str]]:
    """What is found in the record alone, which is the same in each form; the other verifier refuses it as well."""
    asked = Asked(keys=tuple(parse_vkey(text) for text in keys))
    found = check_given(given.data, asked).report.findings
    assert found
    for form in ("record.json", "folder"):
        assert disagreements([(form, FORMS[form](given))], keys) == []
    return [(each.code, each.sentence) for each in found]


@pytest.mark.parametrize("case", each_in("notes/refused"))
def test_a_bad_note_in_a_record_is_refused_for_its_reason(case: Any) -> None:
    found = found_in(note(lambda _: case["note"])(GOOD), *case["keys"])
    assert case.get("problem", "") in dict(found)[CODES[case["error"]]]


@pytest.mark.parametrize("case", each_in("checkpoints/refused"))
def test_a_text_that_is_no_checkpoint_is_refused_though_the_owners_key_signed_it(case: Any) -> None:
    signature = Ed25519PrivateKey.from_private_bytes(OWNER_SEED).sign(case["text"].encode())
    line = b64encode(OWNER.verifier.key_id + signature).decode()
    found = found_in(note(lambda _: f"{case['text']}\n\u2014 {OWNER.verifier.name} {line}\n")(GOOD), KEY)
    assert "checkpoint-unreadable" in [code for code, _ in found]


@pytest.mark.parametrize("case", each_in("chain/refused"))
def test_bytes_that_are_no_entry_are_refused_in_a_record(case: Any) -> None:
    found = found_in(data(7, lambda _: case["text"].encode())(GOOD), KEY)
    assert case["code"] in [code for code, _ in found]
    assert any(case["problem"] in sentence for _, sentence in found)


@pytest.mark.parametrize("case", [each for each in each_in("sealing/refused") if each.values[0]["disclosures"]])
def test_a_bad_disclosure_is_refused_in_a_record(case: Any) -> None:
    found = found_in(entry(2, lambda each: replace(each, opened=tuple(case["disclosures"])))(GOOD), KEY)
    assert "sealed-value-differs" in [code for code, _ in found]


def can_stand(case: Any) -> bool:
    """A proof of an entry; a record cannot spell a hash of no bytes at all."""
    return "index" in case and all(case["proof"])


@pytest.mark.parametrize("case", [each for each in each_in("merkle/refused") if can_stand(each.values[0])])
def test_a_bad_proof_is_refused_in_a_record(case: Any) -> None:
    hashes = tuple(bytes.fromhex(each) for each in case["proof"])
    found = found_in(entry(7, lambda each: replace(each, proof=hashes))(GOOD), KEY)
    assert {code for code, _ in found} & {"entry-not-in-ledger", "proof-malformed"}


@pytest.mark.parametrize(
    "case", [each for each in each_in("merkle/refused") if "first" in each.values[0] and all(each.values[0]["proof"])]
)
def test_a_bad_proof_of_growth_is_refused_in_a_record_that_is_held_against_an_older_checkpoint(case: Any) -> None:
    """The hashes of each bad proof between another two sizes, in place of those that lead from the older checkpoint."""
    growth = Consistency(first=6, proof=tuple(bytes.fromhex(each) for each in case["proof"]))
    given = proof(lambda said: replace(said, consistency=growth))(GOOD)
    held = a_ledger(6).note
    found = check_given(given.data, Asked(keys=(OWNER.verifier,), held=held.encode())).report.findings
    assert {each.code for each in found} & {"history-differs", "proof-malformed"}
    assert disagreements([("growth", given.data)], [KEY], held) == []


@pytest.mark.parametrize("case", each_in("canonical/refused"))
def test_a_document_that_has_no_one_form_is_no_record(case: Any) -> None:
    text = case["text"].encode() if "text" in case else bytes.fromhex(case["hex"])
    found = found_in(raw(lambda _: text)(GOOD), KEY)
    assert [code for code, _ in found] == ["file-unreadable"]


@pytest.mark.parametrize("case", each_of("notes/refused-keys.json"))
def test_a_bad_key_named_in_a_record_is_told(case: Any) -> None:
    found = found_in(GOOD.with_file(keys=(KEY, case["vkey"])), KEY)
    assert [code for code, _ in found] == ["key-unreadable"]
    assert case["problem"] in found[0][1]
