"""Adds one checked event to the chain: bytes, links, both trees, sealed values."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from ledger.damage import as_stored
from ledger.entry import Entry
from ledger.errors import ConflictError, DamagedError, MalformedError, NotFoundError
from ledger.events import Event, NotUnderstood
from ledger.ports import ENTRIES, HEADS, BookHead, Chance, Codec, LogHead, SealedValue, StoredEntry, Writer
from ledger.proof import merkle
from ledger.proof.canonical import Plain
from ledger.proof.envelope import FMT, Envelope, head_leaf, moment_text
from ledger.proof.sealing import SALT_BYTES, digest, disclosure

_GIVEN: Final = frozenset({"book", "act"})
"""Fields of an entry that a door gives; what is wrong with them is no damage."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where an entry will stand: the book it speaks of with its number, or neither for the collection itself."""

    book: str | None
    book_no: int | None
    act: str
    actor: str
    recorded: datetime


def append(writer: Writer, event: Event, place: Place, codec: Codec, chance: Chance) -> Entry:
    """The entry of an event that may stand, written with everything that proves it.

    Keeps: nodes read and written are O(log n), O(1) on average for the entries' tree.
    Requires: the event has passed its checks; `place.book_no` is the head's books plus one for a new book.
    Raises: DamagedError where what is stored is not the end of a ledger; MalformedError for a place that is none.
    """
    assert not isinstance(event, NotUnderstood), "an entry that is not understood is never written anew"
    try:
        return _append(writer, event, place, codec, chance)
    except DamagedError:
        raise
    except ConflictError as error:
        # Nobody else writes meanwhile, so what does not follow on was changed behind the program's back.
        raise DamagedError(what="The end of the ledger", problem=str(error).rstrip(".")) from error
    except MalformedError as error:
        if error.where in _GIVEN:
            raise
        raise as_stored(error) from error


def _append(writer: Writer, event: Event, place: Place, codec: Codec, chance: Chance) -> Entry:
    head = writer.head()
    body, values = codec.split(event)
    sealed = [
        SealedValue(seq=head.size + 1, name=name, salt=chance.bytes(SALT_BYTES), value=value)
        for name, value in sorted(values.items())
    ]
    envelope = _envelope(event, place, head.size + 1, _book_head(writer, place.book), body, sealed, writer.collection)
    data = envelope.to_bytes()
    leaf = merkle.leaf_hash(data)
    writer.put_entry(_stored(envelope, data, leaf, place.recorded))
    writer.put_sealed(sealed)
    writer.put_nodes(ENTRIES, merkle.appended(head.size, leaf, lambda which: writer.nodes(ENTRIES, which)))
    _move_book_head(writer, envelope, leaf, head)
    return Entry(
        seq=envelope.seq,
        book=envelope.book,
        book_no=envelope.book_no,
        book_seq=envelope.book_seq,
        act=envelope.act,
        actor=envelope.actor,
        recorded=place.recorded,
        leaf=leaf.hex(),
        event=event,
    )


def _envelope(  # noqa: PLR0913
    event: Event,
    place: Place,
    seq: int,
    before: BookHead | None,
    body: dict[str, Plain],
    sealed: list[SealedValue],
    collection: str,
) -> Envelope:
    return Envelope(
        fmt=FMT,
        collection=collection,
        seq=seq,
        book=place.book,
        book_no=place.book_no,
        book_seq=None if place.book is None else (before.seq + 1 if before else 1),
        book_prev=before.leaf if before else None,
        act=place.act,
        kind=event.kind,
        v=event.v,
        on=None if event.on is None else str(event.on),
        recorded=moment_text(place.recorded),
        actor=place.actor,
        body=body,
        sealed={each.name: digest(disclosure(each.salt or b"", each.name, each.value)) for each in sealed},
    )


def _book_head(writer: Writer, book: str | None) -> BookHead | None:
    if book is None:
        return None
    try:
        return writer.book_head(book)
    except NotFoundError:
        return None


def _stored(envelope: Envelope, data: bytes, leaf: bytes, recorded: datetime) -> StoredEntry:
    return StoredEntry(
        seq=envelope.seq,
        data=data,
        leaf=leaf.hex(),
        book=envelope.book,
        book_no=envelope.book_no,
        book_seq=envelope.book_seq,
        act=envelope.act,
        kind=envelope.kind,
        actor=envelope.actor,
        recorded=recorded,
    )


def _move_book_head(writer: Writer, envelope: Envelope, leaf: bytes, head: LogHead) -> None:
    """The book's place in the heads' tree now holds this entry."""
    if envelope.book is None or envelope.book_no is None or envelope.book_seq is None:
        return
    moved = BookHead(book=envelope.book, no=envelope.book_no, seq=envelope.book_seq, leaf=leaf.hex())
    writer.put_book_head(moved)
    hashed = merkle.leaf_hash(head_leaf(moved.book, moved.no, moved.seq, moved.leaf))

    def read(which: Sequence[tuple[int, int]]) -> list[bytes]:
        return writer.nodes(HEADS, which)

    if moved.seq == 1:
        writer.put_nodes(HEADS, merkle.appended(head.books, hashed, read))
    else:
        writer.put_nodes(HEADS, merkle.replaced(head.books, moved.no - 1, hashed, read))
