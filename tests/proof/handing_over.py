"""A small invented ledger whose key is changed, with a record made under the first key, and the chain that joins them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ledger.proof.canonical import Plain
from ledger.proof.checkpoint import origin_of
from ledger.proof.cosigning import with_lines
from ledger.proof.key_chain import KeysFile, rotation_statement
from ledger.proof.note import Line
from ledger.proof.proof_file import EntryProof
from ledger.proof.record_file import RecordFile
from ledger.proof.signature import CosigningKey, SigningKey
from tests.proof.making import BOOK_A, COLLECTION, OTHER_SEED, OWNER, Made
from tests.proof.recording import a_sheet

FIRST = OWNER
SECOND = SigningKey.from_seed(origin_of(COLLECTION), b"\x09" * 32)
THIRD = SigningKey.from_seed(origin_of(COLLECTION), b"\x0a" * 32)
WITNESS = CosigningKey.from_seed("a-neighbour", OTHER_SEED)


def a_house() -> Made:
    """A key, and one book that a record was made of: three entries."""
    made = Made()
    key_entry(made, "start", FIRST)
    made.write("purchase", BOOK_A, on="1987", body={"means": "bought"}, sealed={"seller": "A stall by the harbour"})
    said: dict[str, Plain] = {"statement": a_sheet().digest, "opened": [], "previous_head": made.heads[BOOK_A].leaf}
    made.write("disclosure", BOOK_A, on="2026-03-20", body=said, sealed={"recipient": "A neighbour"})
    return made


def key_entry(
    made: Made, action: str, key: SigningKey, handover: str | None = None, stolen_since: str | None = None
) -> None:
    body: dict[str, Plain] = {
        "action": action,
        "vkey": key.verifier.vkey,
        "handover": handover,
        "stolen_since": stolen_since,
    }
    made.write("key", body=body, sealed={"remark": "The first key lies in the bank"})


def handed_over(old: SigningKey = FIRST, new: SigningKey = SECOND) -> str:
    """The note by which the old key hands over."""
    return old.sign(rotation_statement(COLLECTION, old.verifier.vkey, new.verifier.vkey))


def after(action: str = "rotate", *, handover: str | None = None, stolen_since: str | None = None) -> Made:
    """The house with a second key in use."""
    made = a_house()
    key_entry(
        made, action, SECOND, handed_over() if action == "rotate" and handover is None else handover, stolen_since
    )
    return made


def chain_of(made: Made, signer: SigningKey = SECOND, left_out: Sequence[int] = ()) -> bytes:
    """The file of keys, signed by that key."""
    entries = tuple(
        EntryProof(data=each.to_bytes(), proof=made.proof_of(each.seq))
        for each in made.said
        if each.kind == "key" and each.seq not in left_out
    )
    return KeysFile(checkpoint=signer.sign(made.checkpoint.to_text()), entries=entries).to_bytes()


def record_of(
    made: Made, signer: SigningKey = FIRST, lines: Sequence[Line] = (), stamps: Sequence[bytes] = (), **said: Any
) -> bytes:
    """The record of the book, under a checkpoint that this key signed."""
    note = with_lines(signer.sign(made.checkpoint.to_text()), lines)
    record = RecordFile(
        proof=replace(made.proof_file(BOOK_A), checkpoint=note),
        sheet=a_sheet(),
        keys=(signer.verifier.vkey,),
        stamps=tuple(stamps),
    )
    return replace(record, **said).to_bytes()
