"""The chain of signing keys as a file, for whoever holds a record under an earlier one."""

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.errors import ConflictError
from ledger.events.key import Key
from ledger.ports import ENTRIES, Ledger
from ledger.proof import merkle
from ledger.proof.key_chain import KeysFile
from ledger.proof.proof_file import EntryProof
from ledger.usecases.stamps import given_note
from ledger.usecases.stored import nodes_of

__all__ = ["keys_file"]


def keys_file(ledger: Ledger, actor: Actor) -> bytes:
    """Every `key` entry under the newest checkpoint, with nothing opened, and no other entry.

    Raises: ConflictError where the last change of keys is not signed yet.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        last = reader.last_checkpoint()
        numbers = sorted(reader.numbers_of(Key.kind))
        if last is None or not numbers or numbers[-1] > last.size:
            raise ConflictError(sentence="No checkpoint covers the newest key yet. Sign one, then ask again.")
        read = nodes_of(reader, ENTRIES)
        entries = tuple(
            EntryProof(
                data=reader.stored(seq, 1)[0].data,
                proof=tuple(merkle.inclusion_proof(seq - 1, last.size, read)),
            )
            for seq in numbers
        )
        return KeysFile(checkpoint=given_note(ledger, last.note), entries=entries).to_bytes()
