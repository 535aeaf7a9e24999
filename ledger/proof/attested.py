"""A checkpoint with its signatures: the ledger's own name must be among those who signed it."""

from collections.abc import Sequence

from ledger.proof.checkpoint import Checkpoint, parse
from ledger.proof.signature import ED25519, OpenedNote, UnsignedError, VerifierKey, open_note


def open_checkpoint(note: bytes | str, keys: Sequence[VerifierKey]) -> tuple[Checkpoint, OpenedNote]:
    """The checkpoint of a note that the ledger itself signed; cosignatures alone do not make one.

    Raises: MalformedError, ForgedError, UnsignedError.
    """
    opened = open_note(note, keys)
    checkpoint = parse(opened.text)
    if not any((each.key.name, each.key.algorithm) == (checkpoint.origin, ED25519) for each in opened.verified):
        signers = [*((each.key.name, each.key.key_id) for each in opened.verified), *opened.unknown]
        raise UnsignedError(signers=tuple(f"{name} ({key_id.hex()})" for name, key_id in signers))
    return checkpoint, opened
