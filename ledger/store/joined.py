"""A stored entry, read: its bytes and the sealed values beside them put together again."""

from collections.abc import Mapping
from typing import Any

from ledger.entry import Entry
from ledger.errors import DamagedError, InvalidError, MalformedError
from ledger.events._base import with_article
from ledger.ports import Codec, SealedValue, StoredEntry
from ledger.proof.envelope import Envelope
from ledger.proof.nodes import HASH_BYTES
from ledger.sealed import Sealed
from ledger.store import records

__all__ = ["joined"]


def joined(stored: StoredEntry, held: Mapping[str, SealedValue], codec: Codec) -> Entry:
    """A stored entry, read: its envelope, with every sealed field open, withheld or erased.

    Raises: DamagedError where the bytes are no entry, do not say what their kind says, or are not those of the place
    in which they are looked up.
    """
    said = _envelope(stored)
    sealed = {name: _in_hand(held.get(name)) for name in said.sealed}
    try:
        event = codec.join(said.kind, said.v, said.on, said.body, sealed)
    except InvalidError as error:
        problem = f"it is not what {with_article(said.kind)} says, or a value beside it is not"
        where = error.problems[0].field if error.problems else ""
        raise DamagedError(what=f"Entry {said.seq}", where=where, problem=problem) from error
    return Entry(
        seq=said.seq,
        book=said.book,
        book_no=said.book_no,
        book_seq=said.book_seq,
        act=said.act,
        actor=said.actor,
        recorded=records.moment(said.recorded),
        leaf=stored.leaf,
        event=event,
    )


def _envelope(stored: StoredEntry) -> Envelope:
    try:
        said = Envelope.from_bytes(stored.data)
    except MalformedError as error:
        raise DamagedError(what=f"Entry {stored.seq}", where=error.where, problem=error.problem) from error
    places = (stored.seq, stored.book, stored.book_no, stored.book_seq, stored.act, stored.kind)
    if (said.seq, said.book, said.book_no, said.book_seq, said.act, said.kind) != places:
        problem = "beside it stands another number, book, act or kind than in its bytes"
        raise DamagedError(what=f"Entry {stored.seq}", problem=problem)
    if len(stored.leaf) != 2 * HASH_BYTES:
        raise DamagedError(what=f"Entry {stored.seq}", problem="the hash beside it is none")
    return said


def _in_hand(value: SealedValue | None) -> Sealed[Any]:
    if value is None:
        return Sealed.withheld()
    return Sealed.erased() if value.salt is None else Sealed.of(value.value)
