"""Signs a checkpoint: the ledger's size and roots under the key that lies outside the data folder."""

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.errors import ConflictError, LedgerError, StoreError
from ledger.ports import ENTRIES, HEADS, Anchor, Ledger, Reader, StoredCheckpoint, Writer
from ledger.proof import checkpoint as text_of
from ledger.proof import merkle
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.signature import VerifierKey, open_note, parse_vkey
from ledger.usecases.key_in_use import collection_state, settle
from ledger.usecases.stored import nodes_of, size_of

_TRIES = 5
"""How often the anchor is written again when another process has just written it."""


def sign_checkpoint(ledger: Ledger, actor: Actor, *, over: str | None = None) -> StoredCheckpoint:
    """The checkpoint of the ledger as it stands, kept for ever; the last one again when nothing was added.

    Then the anchor speaks of it. `over` is an anchor that it takes the place of though that speaks of more.
    Keeps: a smaller or inconsistent one than the last is never signed.
    Raises: ConflictError, ForbiddenError, StoreError.
    """
    actor.require(Permission.SIGN)
    # Before the work, for what the work sees may not be durable yet; a key takes over only once its entry is.
    settle(ledger)
    signed = ledger.log.write(lambda writer: sign_within(ledger, writer))
    move_anchor(ledger, signed, over)
    return signed


def move_anchor(ledger: Ledger, signed: StoredCheckpoint, over: str | None = None) -> None:
    """The anchor speaks of this checkpoint, or of a newer one; `over` as for `sign_checkpoint`.

    Requires: the checkpoint is durable
    Raises: ConflictError, StoreError.
    """
    if ledger.anchor is not None:
        _move_anchor(ledger, ledger.anchor, signed, over)


def _move_anchor(ledger: Ledger, anchor: Anchor, signed: StoredCheckpoint, over: str | None) -> None:
    """The anchor onto this checkpoint, unless it is further already."""
    for _ in range(_TRIES):
        try:
            kept = anchor.read()
            if kept == signed.note:
                return
            if kept is not None and kept != over:
                before = _said_by(kept)
                if before.size > signed.size:
                    return
                if before != (now := _said_by(signed.note)):
                    with ledger.log.read() as reader:
                        _refuse_inconsistent(reader, before, now)
            if anchor.swap(kept, signed.note):
                return
        except OSError as error:
            problem = (
                f"the checkpoint is signed, but the anchor {anchor.place} was not written: {error.strerror or error}"
            )
            raise StoreError(problem=problem) from error
    raise StoreError(problem=f"the anchor {anchor.place} is written by others all the time")


def _said_by(note: str) -> Checkpoint:
    """What a note says, whoever signed it.

    Raises: ConflictError.
    """
    try:
        return text_of.parse(note.split("\n\n", 1)[0] + "\n")
    except LedgerError as error:
        raise ConflictError(sentence="The anchor is no checkpoint. Put the right key folder back.") from error


def last_checkpoint(ledger: Ledger, actor: Actor) -> StoredCheckpoint | None:
    """The last checkpoint that was signed."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return reader.last_checkpoint()


def current(reader: Reader) -> Checkpoint:
    """The ledger's size and roots now, not signed."""
    with stored_so():
        size, books = size_of(reader), reader.head().books
        return Checkpoint(
            origin=origin_of(reader.collection),
            size=size,
            root=merkle.root(size, nodes_of(reader, ENTRIES)),
            heads_count=books,
            heads_root=merkle.root(books, nodes_of(reader, HEADS)),
        )


def named_keys(ledger: Ledger, reader: Reader) -> list[VerifierKey]:
    """The keys that the ledger itself names, the oldest first.

    Raises: MalformedError.
    """
    return [parse_vkey(period.vkey) for period in collection_state(ledger, reader).keys]


def sign_within(ledger: Ledger, writer: Writer) -> StoredCheckpoint:
    """As `sign_checkpoint`, in a work that may have written entries before: they are covered, and kept with it or not.

    Requires: the key in use was settled before the work, and its anchor is moved after it
    Raises: ConflictError.
    """
    now = current(writer)
    key = collection_state(ledger, writer).key
    if key is None or key.vkey != ledger.signer.verifier.vkey:
        raise ConflictError(
            sentence="The key file at hand is not the key in use. Put the right key file back, or record a new key first."
        )
    last = writer.last_checkpoint()
    if last is not None:
        if last.size > now.size:
            raise ConflictError(
                sentence=f"A checkpoint of {last.size} entries was signed and there are {now.size} now: entries are "
                "missing. Run verify before anything else."
            )
        before = _opened(ledger, writer, last)
        if before == now:
            return last
        _refuse_inconsistent(writer, before, now)
    note = ledger.signer.sign(now.to_text())
    signed = StoredCheckpoint(size=now.size, note=note, signed=ledger.clock.now())
    writer.put_checkpoint(signed)
    return signed


def _opened(ledger: Ledger, reader: Reader, stored: StoredCheckpoint) -> Checkpoint:
    """The last checkpoint, which the key at hand or an earlier one signed.

    Raises: ConflictError.
    """
    try:
        return text_of.parse(open_note(stored.note, named_keys(ledger, reader)).text)
    except LedgerError as error:
        sentence = "The last checkpoint is not one that a key of this ledger signed. Run verify before anything else."
        raise ConflictError(sentence=sentence) from error


def _refuse_inconsistent(reader: Reader, before: Checkpoint, now: Checkpoint) -> None:
    if before.size == now.size and before.root == now.root:
        sentence = "The last entries of the books are not the ones that were signed. Run verify, then rebuild."
        raise ConflictError(sentence=sentence)
    try:
        proof = merkle.consistency_proof(before.size, now.size, nodes_of(reader, ENTRIES))
        merkle.verify_consistency(before.size, now.size, proof, before.root, now.root)
    except LedgerError as error:
        raise ConflictError(
            sentence=f"The first {before.size} entries are not the ones that were signed. Run verify before anything else."
        ) from error
