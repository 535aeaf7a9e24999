"""Checkpoints, proofs and verification through the door, checked by the code that a stranger would use."""

import json
from base64 import b64decode, urlsafe_b64decode

from ledger.proof import merkle
from ledger.proof.checkpoint import parse
from ledger.proof.signature import open_note
from tests.api.door import Door, fields, problem


def hashes(texts: list[str]) -> list[bytes]:
    return [bytes.fromhex(each) for each in texts]


def test_there_is_no_checkpoint_before_one_is_signed(door: Door) -> None:
    problem(door.get("/checkpoint"), 404)


def test_a_checkpoint_is_signed_over_what_is_there_and_can_be_read_again(door: Door) -> None:
    door.a_book()
    signed = door.client.post("/checkpoint").json()
    note = open_note(signed["note"], [door.ledger.signer.verifier])
    assert (parse(note.text).size, signed["size"]) == (door.size, door.size)
    assert door.get("/checkpoint").json() == signed
    assert door.client.post("/checkpoint").json() == signed


def test_an_inclusion_proof_leads_from_the_bytes_to_the_signed_root(door: Door) -> None:
    # RFC 9162 section 2.1.3.2.
    for _ in range(5):
        door.a_book()
    root = parse(open_note(door.client.post("/checkpoint").json()["note"], [door.ledger.signer.verifier]).text).root
    for seq in range(1, door.size + 1):
        told = door.get(f"/proofs/inclusion?seq={seq}").json()
        leaf = merkle.leaf_hash(b64decode(door.get(f"/events/{seq}").json()["bytes"]))
        assert (told["leaf"], told["size"], told["root"]) == (leaf.hex(), door.size, root.hex())
        merkle.verify_inclusion(seq - 1, door.size, leaf, hashes(told["proof"]), root)


def test_a_consistency_proof_leads_from_one_root_to_the_other(door: Door) -> None:
    # RFC 9162 section 2.1.4.2.
    for _ in range(5):
        door.a_book()
    for first in range(1, door.size + 1):
        told = door.get(f"/proofs/consistency?first={first}").json()
        roots = bytes.fromhex(told["first_root"]), bytes.fromhex(told["second_root"])
        merkle.verify_consistency(first, door.size, hashes(told["proof"]), *roots)
    assert door.get("/proofs/consistency?first=2&second=2").json()["proof"] == []


def test_a_proof_beyond_the_ledger_is_refused_with_its_parameter(door: Door) -> None:
    assert fields(problem(door.get("/proofs/inclusion?seq=1&size=99"), 422)) == ["size"]
    assert fields(problem(door.get("/proofs/consistency?first=99"), 422)) == ["first"]
    assert fields(problem(door.get("/proofs/consistency"), 400)) == ["first"]
    problem(door.get("/proofs/inclusion?seq=99"), 404)


def test_a_books_proof_wants_a_checkpoint_over_the_newest_entry(door: Door) -> None:
    book = door.a_book()
    assert "Sign one" in problem(door.get(f"/proofs/head?book={book}"), 409)["detail"]
    door.client.post("/checkpoint")
    assert door.get(f"/proofs/head?book={book}").json()["head"]["book"] == book
    problem(door.get("/proofs/head?book=nosuchbook"), 404)


def test_a_books_proof_opens_no_price_unless_it_is_asked_for_everything(door: Door) -> None:
    book = door.a_book()
    door.client.post("/checkpoint")

    def opened(asked: str) -> set[str]:
        told = door.get(f"/proofs/head?book={book}{asked}").json()
        values = [urlsafe_b64decode(f"{each}==") for entry in told["entries"] for each in entry["open"]]
        return {json.loads(each)[1] for each in values}

    assert opened("") == opened("&open=shown") == {"earlier_work_words", "stated_by"}
    assert opened("&open=none") == set()
    assert {"price", "seller"} <= opened("&open=all")
    assert fields(problem(door.get(f"/proofs/head?book={book}&open=some"), 400)) == ["open"]


def test_a_whole_ledger_verifies(door: Door) -> None:
    door.a_book()
    anchor = door.client.post("/checkpoint").json()["note"]
    door.a_book()
    told = door.post("/verify", {"anchor": anchor}).json()
    assert (told["ok"], told["findings"], told["notes"]) == (True, [], [])
    assert door.size in told["checked"].values()


def test_without_an_anchor_the_report_says_what_it_cannot_see(door: Door) -> None:
    for answer in (door.client.post("/verify"), door.post("/verify", {}), door.post("/verify", {"anchor": None})):
        assert answer.json()["ok"]
        assert answer.json()["notes"]


def test_an_anchor_that_was_never_signed_is_a_finding(door: Door) -> None:
    door.a_book()
    told = door.post("/verify", {"anchor": "slipsheet\n1\nAAAA\n"}).json()
    assert not told["ok"]
    assert [each["evidence"] for each in told["findings"]] == ["anchor"]


def test_verify_takes_nothing_but_an_anchor(door: Door) -> None:
    assert fields(problem(door.post("/verify", {"anchor": 1}), 422)) == ["anchor"]
    problem(door.post("/verify", "x"), 400)
    problem(door.post("/verify", {}, Content_Type="text/plain"), 415)
