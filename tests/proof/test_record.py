"""The stranger's verdict on a record: what it proves when it is good, and every damage by its name when it is not."""

import copy
import json
from base64 import b64decode, b64encode
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from ledger.proof.canonical import encode
from ledger.proof.record import verify
from ledger.proof.report import Evidence
from ledger.proof.sealing import disclosure
from ledger.proof.signature import SigningKey, add_signature, parse_vkey
from tests.proof.making import (
    BOOK_A,
    BOOK_B,
    BOOK_C,
    OTHER_SEED,
    OWNER,
    Made,
    a_cosignature,
    a_ledger,
    a_price,
    a_salt,
)
from tests.proof.vectors import VECTORS, each_in, load

MADE = a_ledger()
KEYS = [OWNER.verifier]
GOOD = load("record/good.json")
HELD = (VECTORS / "record" / "held.txt").read_text("utf-8")


def damaged(changes: list[dict[str, Any]]) -> Any:
    """The good record with changes done to it, as SOURCES.md of the vectors tells."""
    said = copy.deepcopy(GOOD)
    for change in changes:
        *way, last = change["at"]
        box = said
        for step in way:
            box = box[step]
        if change["do"] == "set":
            box[last] = change["to"]
        elif change["do"] == "drop":
            del box[last]
        elif change["do"] == "insert":
            box.insert(last, change["to"])
        else:
            assert change["do"] == "swap"
            box[last], box[change["with"]] = box[change["with"]], box[last]
    return said


@pytest.mark.parametrize("held", [None, HELD, HELD.encode(), MADE.note, a_ledger(0).note])
def test_a_good_record_is_good_with_and_without_an_older_checkpoint(held: bytes | str | None) -> None:
    report = verify((VECTORS / "record" / "good.json").read_bytes(), KEYS, held)
    assert report.findings == []
    assert report.ok
    assert (report.size, report.books, report.book, report.book_no) == (10, 3, BOOK_A, 1)
    assert [signed.key for signed in report.signed] == KEYS
    assert report.checked["entries"] == 4
    assert report.checked["sealed values"] == 2


def test_a_good_record_tells_what_it_says_what_is_opened_and_what_is_withheld() -> None:
    entries = verify(encode(GOOD), KEYS).entries
    assert [(each.seq, each.book_seq, each.kind, each.on) for each in entries] == [
        (2, 1, "purchase", "1987"),
        (4, 2, "arrival", "2026-03-02"),
        (7, 3, "examination", "2026-03-05T09:30:00+01:00"),
        (9, 4, "intervention", "2026-03-07/2026-03-08"),
    ]
    assert [each.leaf for each in entries] == [MADE.said[each.seq - 1].leaf.hex() for each in entries]
    assert entries[0].opened == {"price": a_price(1250), "seller": "A stall by the harbour"}
    assert [each.withheld for each in entries] == [(), ("remark",), (), ("remark",)]
    assert entries[2].body == {"light": "raking", "pages": 36}
    assert entries[0].recorded == "2026-03-02T10:00:00.000002Z"
    assert (entries[0].act, entries[0].v) == ("alotofthreepaperlanterns", 1)


@pytest.mark.parametrize("book", [BOOK_A, BOOK_B, BOOK_C])
@pytest.mark.parametrize("size", range(6, 11))
def test_every_book_has_a_good_record_at_every_size(book: str, size: int) -> None:
    made = a_ledger(size)
    for first in range(size + 1):
        data = made.proof_file(book, ("price", "seller", "remark", "text"), first=first).to_bytes()
        report = verify(data, KEYS, a_ledger(first).note)
        assert report.findings == []
        assert report.held == first
        assert all(not entry.withheld for entry in report.entries)


@pytest.mark.parametrize("case", each_in("record/damaged"))
def test_a_damaged_record_is_named_by_every_finding(case: Any) -> None:
    keys = [*KEYS, *(parse_vkey(text) for text in case.get("more_keys", ()))]
    report = verify(json.dumps(damaged(case["changes"])).encode(), keys, case.get("held"))
    assert [[each.code, each.evidence.value, each.seq] for each in report.findings] == case["findings"]
    assert report.findings[0].sentence == case["sentence"]
    assert not report.ok
    assert report.entries == []


def test_every_kind_of_damage_that_a_record_can_show_has_its_case() -> None:
    # 20 (a small-order key) is refused where keys are read; 24 to 27 are no part of a record.
    kinds = {case.values[0].get("tamper", 0) for case in each_in("record/damaged")}
    assert kinds - {0} == {*range(1, 20), 21, 22, 23}


def test_what_only_an_older_checkpoint_shows_is_called_so() -> None:
    for name in ("an-older-checkpoint", "a-checkpoint-of-the-same-size"):
        case = load(f"record/damaged/made-anew-with-the-real-key-{name}-at-hand.json")
        data = json.dumps(damaged(case["changes"])).encode()
        assert verify(data, KEYS).ok
        found = verify(data, KEYS, case["held"]).findings
        assert [(each.code, each.evidence) for each in found] == [("history-differs", Evidence.ANCHOR)]


def test_other_heads_at_the_same_size_contradict_the_checkpoint_held() -> None:
    other = replace(MADE.checkpoint, heads_root=a_ledger(9).heads_tree.root)
    found = verify(encode(GOOD), KEYS, OWNER.sign(other.to_text())).findings
    sentence = "The checkpoint you hold tells other last entries of the books at the same size."
    assert [(each.code, each.evidence, each.sentence) for each in found] == [
        ("history-differs", Evidence.ANCHOR, sentence)
    ]


def test_no_key_is_never_verified() -> None:
    assert [each.code for each in verify(encode(GOOD), []).findings] == ["checkpoint-other-key"]


def test_two_keys_under_one_name_and_id_are_refused() -> None:
    twin = replace(OWNER.verifier)
    object.__setattr__(twin, "public", OTHER_SEED)
    assert [each.code for each in verify(encode(GOOD), [OWNER.verifier, twin]).findings] == ["checkpoint-unreadable"]


def test_a_key_that_took_over_signs_beside_the_old_one() -> None:
    new = SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED)
    file = replace(MADE.proof_file(BOOK_A), checkpoint=add_signature(MADE.note, new))
    for keys in ([OWNER.verifier], [new.verifier], [new.verifier, OWNER.verifier]):
        report = verify(file.to_bytes(), keys)
        assert report.ok
        assert len(report.signed) == len(keys)


def test_a_second_persons_signature_tells_when_the_ledger_was_seen() -> None:
    note, witness = a_cosignature(MADE.note, "example.org/witness", 1767225600)
    file = replace(MADE.proof_file(BOOK_A), checkpoint=note)
    report = verify(file.to_bytes(), [OWNER.verifier, witness])
    assert report.ok
    assert [signed.timestamp for signed in report.signed] == [None, 1767225600]
    assert verify(file.to_bytes(), KEYS).unknown_signers == ("example.org/witness",)
    assert [each.code for each in verify(file.to_bytes(), [witness]).findings] == ["checkpoint-other-key"]


def test_a_sealed_value_given_back_after_a_correction_elsewhere_still_opens_its_own_entry_only() -> None:
    said = copy.deepcopy(GOOD)
    said["entries"][3]["open"] = [disclosure(a_salt(9, "remark"), "remark", "Drückt sich glatt")]
    assert verify(encode(said), KEYS).entries[3].opened == {"remark": "Drückt sich glatt"}
    said["entries"][1]["open"] = said["entries"][3]["open"]
    assert [(each.code, each.seq) for each in verify(encode(said), KEYS).findings] == [("sealed-value-differs", 4)]


def a_small_record() -> Any:
    made = Made()
    made.write("note", BOOK_B)
    made.write("note", BOOK_A, sealed={"text": "Yes"})
    return json.loads(made.proof_file(BOOK_A, ("text",)).to_bytes())


def turned(data: bytes) -> Iterator[bytes]:
    """The same bytes with one bit turned, for every bit."""
    for place in range(len(data) * 8):
        bad = bytearray(data)
        bad[place // 8] ^= 1 << place % 8
        yield bytes(bad)


@pytest.mark.long
def test_every_flipped_bit_of_a_proof_file_is_refused_and_breaks_nothing() -> None:
    data = encode(a_small_record())
    assert verify(data, KEYS).ok
    for bad in turned(data):
        report = verify(bad, KEYS)
        assert report.findings
        assert not report.ok


@pytest.mark.long
def test_every_flipped_bit_of_an_entry_a_hash_and_the_head_is_refused() -> None:
    said = a_small_record()
    entry, head = said["entries"][0], said["head"]
    expected = {"entry-not-in-ledger", "not-canonical", "not-an-entry", "unknown-format", "other-collection"}
    for bad in turned(b64decode(entry["bytes"])):
        changed = {**said, "entries": [{**entry, "bytes": b64encode(bad).decode()}]}
        codes = {each.code for each in verify(encode(changed), KEYS).findings}
        assert codes & (expected | {"entry-after-checkpoint", "proof-malformed"})
    for bad in turned(b64decode(entry["proof"][0])):
        changed = {**said, "entries": [{**entry, "proof": [b64encode(bad).decode()]}]}
        assert [each.code for each in verify(encode(changed), KEYS).findings] == ["entry-not-in-ledger"]
    for bad in turned(bytes.fromhex(head["leaf"])):
        codes = {each.code for each in verify(encode({**said, "head": {**head, "leaf": bad.hex()}}), KEYS).findings}
        assert codes == {"head-differs", "head-not-in-ledger"}
    for bad in turned(b64decode(head["proof"][0])):
        changed = {**said, "head": {**head, "proof": [b64encode(bad).decode()]}}
        assert [each.code for each in verify(encode(changed), KEYS).findings] == ["head-not-in-ledger"]
