"""The checkpoint's text has one spelling; who signed it decides whether it is one."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.proof.attested import open_checkpoint
from ledger.proof.checkpoint import Checkpoint, collection_of, origin_of, parse
from ledger.proof.report import MalformedError
from ledger.proof.signature import COSIGNATURE, SigningKey, UnsignedError, VerifierKey
from tests.proof.making import COLLECTION, OTHER_SEED, OWNER, a_cosignature, a_ledger
from tests.proof.vectors import each_in, each_of

GOOD = a_ledger().checkpoint


@pytest.mark.parametrize("case", each_of("checkpoints/good.json"))
def test_a_checkpoint_is_read_and_written_the_same(case: Any) -> None:
    found = parse(case["text"])
    assert found.to_text() == case["text"]
    root, heads_root = bytes.fromhex(case["root"]), bytes.fromhex(case["heads_root"])
    assert found == Checkpoint(case["origin"], case["size"], root, case["heads_count"], heads_root)


@pytest.mark.parametrize("case", each_in("checkpoints/refused"))
def test_a_text_that_is_no_checkpoint_is_refused_for_its_reason(case: Any) -> None:
    with pytest.raises(MalformedError) as caught:
        parse(case["text"])
    assert caught.value.what == "The checkpoint"
    assert (caught.value.where, caught.value.problem) == (case["where"], case["problem"])
    assert caught.value.mend


@pytest.mark.parametrize("text", ["", "\n", "\n\n\n\n", GOOD.to_text() * 2, GOOD.to_text().replace("\n", "\u2028")])
def test_a_text_of_other_lines_is_refused(text: str) -> None:
    with pytest.raises(MalformedError):
        parse(text)


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"size": -1}, "size"),
        ({"size": 2**53}, "size"),
        ({"root": b"short"}, "size"),
        ({"heads_count": 11}, "heads"),
        ({"heads_count": 0}, "heads"),
        ({"heads_root": b""}, "heads"),
        ({"origin": "example.org/ledger"}, "line 1"),
    ],
)
def test_a_checkpoint_that_could_not_be_read_back_is_never_made(change: dict[str, Any], where: str) -> None:
    with pytest.raises(MalformedError) as caught:
        replace(GOOD, **change)
    assert caught.value.where == where


def test_the_origin_names_the_collection_and_nothing_on_the_network() -> None:
    assert origin_of(COLLECTION) == f"{COLLECTION}.slipsheet.invalid"
    assert collection_of(origin_of(COLLECTION)) == COLLECTION


@pytest.mark.parametrize(
    "collection", ["", "short", COLLECTION.upper(), COLLECTION + "a", COLLECTION[:-1] + "1", "a b"]
)
def test_only_a_collections_id_gives_an_origin(collection: str) -> None:
    with pytest.raises(MalformedError) as caught:
        origin_of(collection)
    assert caught.value.where == "collection"


def test_a_checkpoint_is_one_when_its_own_name_signed_it() -> None:
    note = a_ledger().note
    checkpoint, opened = open_checkpoint(note, [OWNER.verifier])
    assert checkpoint == GOOD
    assert [signed.key for signed in opened.verified] == [OWNER.verifier]


def test_cosignatures_alone_make_no_checkpoint() -> None:
    stranger = SigningKey.from_seed("example.org/stranger", OTHER_SEED)
    note, witness = a_cosignature(a_ledger().note, "example.org/witness", 1767225600)
    with pytest.raises(UnsignedError) as caught:
        open_checkpoint(note, [witness])
    assert caught.value.signers[0] == f"example.org/witness ({witness.key_id.hex()})"
    with pytest.raises(UnsignedError):
        open_checkpoint(stranger.sign(GOOD.to_text()), [stranger.verifier])


def test_the_owners_name_as_a_witness_is_not_the_owner() -> None:
    note, witness = a_cosignature(a_ledger().note, OWNER.verifier.name, 1767225600)
    assert witness == VerifierKey.of(OWNER.verifier.name, witness.public, COSIGNATURE)
    with pytest.raises(UnsignedError):
        open_checkpoint(note, [witness])
