"""Lays one entry open for somebody who wants to see for themselves: its bytes, its digests, what stands beside it."""

from collections.abc import Mapping
from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.entry import Entry
from ledger.errors import DamagedError, NotFoundError
from ledger.history import Moment, history
from ledger.ports import Ledger, StoredCheckpoint
from ledger.proof.envelope import Envelope
from ledger.usecases.prove import InclusionProof, inclusion
from ledger.views import BookRow

__all__ = ["LaidOpen", "bytes_of", "lay_open"]


@dataclass(frozen=True, kw_only=True)
class LaidOpen:
    """One entry with all that a reader needs to check it and to go on from it."""

    entry: Entry
    moments: tuple[Moment, ...]
    """Its whole chain in the order of happening: of its book, or of the collection itself."""
    data: bytes
    """What is stored and hashed."""
    digests: Mapping[str, str]
    """Of every sealed field, as they stand in the bytes."""
    act: tuple[Entry, ...]
    """The entries written together with it, itself among them."""
    row: BookRow | None
    """Its book; None for an entry of the collection itself."""
    proof: InclusionProof
    """That it is in the ledger as far as the last checkpoint reaches; as the ledger is now, if it reaches less far."""
    checkpoint: StoredCheckpoint | None
    """The last one, if it covers the entry."""

    @property
    def moment(self) -> Moment:
        """The entry as it counts now."""
        return next(moment for moment in self.moments if moment.entry.seq == self.entry.seq)


def lay_open(ledger: Ledger, actor: Actor, seq: int) -> LaidOpen:
    """One entry, laid open.

    Raises: NotFoundError; MalformedError where its bytes are damaged.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        entry = reader.entry(seq)
        chain = reader.of_collection() if entry.book is None else reader.of_book(entry.book)
        data = reader.stored(seq, 1)[0].data
        act = tuple(reader.of_act(entry.act))
        row = None if entry.book is None else reader.book(entry.book)
        last = reader.last_checkpoint()
        if last is not None and last.size > reader.head().size:
            raise DamagedError(what="The last checkpoint", problem="beside it stands that it covers more than there is")
    covering = last if last is not None and last.size >= seq else None
    return LaidOpen(
        entry=entry,
        moments=tuple(history(chain, ledger.codec)),
        data=data,
        digests=Envelope.from_bytes(data).sealed,
        act=act,
        row=row,
        proof=inclusion(ledger, actor, seq, covering.size if covering else None),
        checkpoint=covering,
    )


def bytes_of(ledger: Ledger, actor: Actor, seq: int) -> bytes:
    """The bytes of one entry as they are stored, whether they can be read or not.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        stored = reader.stored(seq, 1)
    if not stored:
        raise NotFoundError(what="entry", name=str(seq))
    return stored[0].data
