"""A reader who comes back: whether the ledger still has all that they hold, and a record that proves it to them."""

from dataclasses import dataclass, replace
from typing import Final

from ledger.damage import stored_so
from ledger.errors import InvalidError, Problem
from ledger.ports import ENTRIES, Ledger
from ledger.proof import merkle
from ledger.proof.checkpoint import Checkpoint
from ledger.proof.checkpoint import parse as parse_checkpoint
from ledger.proof.forms import record_alone
from ledger.proof.proof_file import Consistency
from ledger.proof.record_file import RecordFile
from ledger.proof.report import LedgerError
from ledger.usecases.checkpoint import current
from ledger.usecases.hand_on import Made
from ledger.usecases.stored import nodes_of

__all__ = ["RECORD_MOST", "CameBack", "checkpoint_in", "come_back", "with_growth"]

RECORD_MOST: Final = 16 * 1024 * 1024
"""Bytes of a record, without its photographs, that a reader may hold against the ledger: a hundred entries with their
proofs and words have some hundred kilobytes, and whoever has the address may send one. Our assumption."""
NOTE_MOST: Final = 64 * 1024
"""Bytes of a checkpoint by itself: four lines, and no more signatures than a note has."""


@dataclass(frozen=True, kw_only=True)
class CameBack:
    """What somebody holds against the ledger as it is now. `kept` is true where it still begins with all of that."""

    held: int
    now: int
    kept: bool
    other: bool = False
    """It is a checkpoint of another ledger."""


def checkpoint_in(data: bytes) -> Checkpoint:
    """The checkpoint in a record, in whichever form, or in a file that is one by itself; whoever signed it.

    Keeps: of the file no more is unpacked than the record in it, and of that no more than `RECORD_MOST` bytes.
    Raises: InvalidError.
    """
    try:
        try:
            note = RecordFile.from_bytes(record_alone(data, most=RECORD_MOST)).proof.checkpoint
        except LedgerError:
            if len(data) > NOTE_MOST:
                raise
            note = data.decode("utf-8")
        return parse_checkpoint(note.split("\n\n", 1)[0] + "\n")
    except (LedgerError, UnicodeDecodeError) as error:
        sentence = (
            "This is no record and no checkpoint of one, or what is in it is larger than a record is. "
            "Choose the page, the zip, the sheet or the file that you hold."
        )
        raise InvalidError(problems=(Problem(field="file", sentence=sentence),)) from error


def come_back(ledger: Ledger, held: Checkpoint) -> CameBack:
    """Whether the ledger still begins with what that checkpoint speaks of."""
    with stored_so(), ledger.log.read() as reader:
        now = current(reader)
        if held.origin != now.origin:
            return CameBack(held=held.size, now=now.size, kept=False, other=True)
        if not 1 <= held.size <= now.size:
            return CameBack(held=held.size, now=now.size, kept=False)
        then = merkle.root(held.size, nodes_of(reader, ENTRIES))
    return CameBack(held=held.size, now=now.size, kept=then == held.root)


def with_growth(ledger: Ledger, made: Made, held: int) -> Made:
    """The record with what proves that its ledger begins with the first `held` entries; as it is, where it has fewer."""
    size = parse_checkpoint(made.file.proof.checkpoint.split("\n\n", 1)[0] + "\n").size
    if not 1 <= held <= size or made.kept.received:
        return made
    with stored_so(), ledger.log.read() as reader:
        proof = merkle.consistency_proof(held, size, nodes_of(reader, ENTRIES))
    grown = replace(made.file.proof, consistency=Consistency(first=held, proof=tuple(proof)))
    file = replace(made.file, proof=grown)
    return replace(made, file=file, kept=replace(made.kept, data=file.to_bytes()))
