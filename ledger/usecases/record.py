"""The one door into the ledger: check in the order of happening, append, project, all in one transaction."""

import base64
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.errors import (
    ConflictError,
    DamagedError,
    InvalidError,
    KeyReusedError,
    NotFoundError,
    RuleError,
    StaleError,
)
from ledger.events import Event
from ledger.events.disclosure import Disclosure
from ledger.events.erasure import Erasure
from ledger.history import fold, history, verdict
from ledger.ports import Chance, Codec, Ledger, Receipt, Writer
from ledger.proof.sealing import SALT_BYTES
from ledger.sealed import Sealed
from ledger.usecases.ahead import ahead_warnings
from ledger.usecases.append import Place, append
from ledger.usecases.drafts import ACT_MOST, Draft, placed, refuse_flaws
from ledger.usecases.elsewhere import other_copy_problems, same_holder_warnings
from ledger.usecases.forget import forget_beside

__all__ = [
    "ACT_MOST",
    "REQUEST_BYTES",
    "Draft",
    "Recorded",
    "Request",
    "random_id",
    "record",
    "record_within",
    "written_before",
]

REQUEST_BYTES = hashlib.sha256().digest_size
"""Bytes of what is kept of a request."""


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """What was written: the entries of one act, warnings that did not stop it, and whether it had been written before."""

    act: str
    entries: tuple[Entry, ...]
    warnings: tuple[str, ...] = ()
    replayed: bool = False


@dataclass(frozen=True, kw_only=True)
class Request:
    """How a door asked: its idempotency key with the bytes it must match, and the books' tags it read before."""

    key: str | None = None
    body: bytes = b""
    tags: Mapping[str, int] | None = None
    """Number of entries each book had when it was read."""
    act: str | None = None
    """Id for the act; left out, one is drawn."""


def random_id(chance: Chance) -> str:
    """26 letters and digits that nobody can guess: 128 random bits in base32."""
    return base64.b32encode(chance.bytes(16)).decode().rstrip("=").lower()


def record(ledger: Ledger, actor: Actor, drafts: Sequence[Draft], request: Request | None = None) -> Recorded:
    """Writes the drafts as one act: all of them, or none.

    Keeps: with a key, the same request writes once and later gets the same answer.
    Raises: InvalidError, RuleError, NotFoundError, ConflictError, StaleError, KeyReusedError, ForbiddenError,
    StoreError.
    """
    _refuse_unfit(actor, drafts)
    recorded = ledger.log.write(lambda writer: _Act(ledger, actor, request or Request(), writer).write(drafts))
    if any(isinstance(draft.event, Erasure) for draft in drafts):
        if ledger.accounts is not None:
            # What was typed into a form that still waits for its sender may be the very value.
            ledger.accounts.store.write(lambda writer: writer.let_go_of_all())
        gone = [each.event.erased for each in recorded.entries if isinstance(each.event, Erasure)]
        places = {(place.entry, place.name) for erased in gone for place in erased}
        forget_beside(ledger, places)
    return recorded


def record_within(
    writer: Writer, ledger: Ledger, actor: Actor, drafts: Sequence[Draft], request: Request | None = None
) -> Recorded:
    """As `record`, in a work that writes more than this act: all that the work writes is kept, or none.

    Requires: no draft is an erasure, for values are forgotten beside the ledger only once it is durable
    Raises: what `record` raises.
    """
    assert not any(isinstance(draft.event, Erasure) for draft in drafts)
    _refuse_unfit(actor, drafts)
    return _Act(ledger, actor, request or Request(), writer).write(drafts)


def written_before(writer: Writer, ledger: Ledger, actor: Actor, request: Request) -> Recorded | None:
    """What this very request wrote when it came before; None where it did not. Raises: KeyReusedError."""
    return _Act(ledger, actor, request, writer).replay()


def _refuse_unfit(actor: Actor, drafts: Sequence[Draft]) -> None:
    for draft in drafts:
        actor.require_to_write(draft.event.kind)
    refuse_flaws(drafts)


def _refuse_unreadable(event: Event, codec: Codec) -> None:
    """What is written is read for ever, so it is read once before; a door in Python checks no types and no limits.

    Raises: InvalidError.
    """
    body, values = codec.split(event)
    on = None if event.on is None else str(event.on)
    codec.join(event.kind, event.v, on, body, {name: Sealed.of(value) for name, value in values.items()})


class _Act:
    """One act being written inside the writer's transaction."""

    def __init__(self, ledger: Ledger, actor: Actor, request: Request, writer: Writer) -> None:
        self.ledger, self.actor, self.request, self.writer = ledger, actor, request, writer
        self.chains: dict[str | None, list[Entry]] = {}
        self.written: list[Entry] = []
        self.warnings: list[str] = []
        self.erased: list[int] = []
        self.books = writer.head().books

    def write(self, drafts: Sequence[Draft]) -> Recorded:
        """Everything of it, or an error and nothing."""
        if replay := self.replay():
            return replay
        self._refuse_stale()
        act = self._act_id()
        now = self.ledger.clock.now()
        for index, draft in enumerate(drafts):
            self._add(draft, act, now, index, len(drafts))
        self._project()
        self._keep_receipt()
        if self.erased:
            self.writer.forget_receipts(self.erased)
        return Recorded(act=act, entries=tuple(self.written), warnings=tuple(dict.fromkeys(self.warnings)))

    def replay(self) -> Recorded | None:
        """The earlier answer, when this key has been used."""
        key = self.request.key
        receipt = self.writer.receipt(key) if key is not None else None
        if receipt is None or key is None:
            return None
        # After an erasure the salted hash is gone with the value, and nothing is left to compare with.
        if receipt.salt is not None and receipt.request != _request_hash(receipt.salt, self.request.body):
            raise KeyReusedError(key=key)
        count = receipt.count if receipt.count <= ACT_MOST else 0
        try:
            entries = tuple(self.writer.entry(receipt.first + offset) for offset in range(count))
        except NotFoundError:
            entries = ()
        if len({entry.act for entry in entries}) != 1:
            raise DamagedError(
                what=f"The receipt of the key {key}", problem="it does not speak of the entries of one act"
            )
        return Recorded(act=entries[0].act, entries=entries, warnings=receipt.warnings, replayed=True)

    def _refuse_stale(self) -> None:
        for book, expected in (self.request.tags or {}).items():
            found = self.writer.book_head(book).seq
            if found != expected:
                raise StaleError(book=book, expected=expected, found=found)

    def _act_id(self) -> str:
        """The id of the act, which no other has."""
        act = self.request.act
        if act is None:
            return random_id(self.ledger.chance)
        try:
            self.writer.of_act(act)
        except NotFoundError:
            return act
        raise ConflictError(sentence=f"There is an act {act} already. Give this one another id, or none.")

    def _chain(self, draft: Draft) -> tuple[str | None, int | None, list[Entry]]:
        """The book's id, its number and its entries so far."""
        if draft.new_book:
            self.books += 1
            book = self._new_id(draft)
            self.chains[book] = []
            return book, self.books, self.chains[book]
        if draft.book not in self.chains:
            whole = self.writer.of_collection() if draft.book is None else self.writer.of_book(draft.book)
            self.chains[draft.book] = whole
        chain = self.chains[draft.book]
        return draft.book, chain[0].book_no if draft.book is not None else None, chain

    def _new_id(self, draft: Draft) -> str:
        """The id of a new book, which no other has."""
        if draft.id is None:
            return random_id(self.ledger.chance)
        if draft.id not in self.chains:
            try:
                self.writer.book_head(draft.id)
            except NotFoundError:
                return draft.id
        raise ConflictError(sentence=f"There is a book {draft.id} already. Give the new one another id, or none.")

    def _add(self, draft: Draft, act: str, now: datetime, index: int, count: int) -> None:
        book, number, chain = self._chain(draft)
        event = draft.event.complete(chain)
        place = Place(book=book, book_no=number, act=act, actor=self.actor.id, recorded=now)
        candidate = Entry(
            seq=self.writer.head().size + 1,
            book=book,
            book_no=number,
            book_seq=len(chain) + 1 if book else None,
            act=act,
            actor=self.actor.id,
            recorded=now,
            leaf="",
            event=event,
        )
        codec = self.ledger.codec
        try:
            _refuse_unreadable(event, codec)
            refused, warned = verdict(chain, candidate, codec, self.ledger.collection)
        except InvalidError as error:
            raise InvalidError(problems=placed(error.problems, index, count)) from error
        refused += other_copy_problems(event, self._chain_of, codec)
        if refused:
            raise RuleError(problems=placed(refused, index, count))
        self.warnings += [each.sentence for each in warned]
        self.warnings += same_holder_warnings(event, book, self.written, self.writer)
        self.warnings += ahead_warnings(event, chain, codec, now)
        entry = append(self.writer, event, place, codec, self.ledger.chance)
        chain.append(entry)
        self.written.append(entry)
        if isinstance(event, Erasure):
            self._erase(event)
            chain[:] = self.writer.of_collection() if book is None else self.writer.of_book(book)

    def _chain_of(self, book: str) -> Sequence[Entry]:
        """Another book's entries, those of this act among them."""
        return self.chains[book] if book in self.chains else self.writer.of_book(book)

    def _erase(self, event: Erasure) -> None:
        """Salt and value go; says who holds the value already."""
        for place in event.erased:
            self.writer.erase_sealed(place.entry, [place.name])
        self.erased += [place.entry for place in event.erased]
        for chain in self.chains.values():
            for entry in chain:
                if isinstance(entry.event, Disclosure):
                    shown = {(each.entry, each.name) for each in entry.event.opened}
                    self.warnings += [
                        f"{place.name} of entry {place.entry} was shown in the record of entry {entry.seq}; "
                        "whoever received it still has it."
                        for place in event.erased
                        if (place.entry, place.name) in shown
                    ]

    def _project(self) -> None:
        """Read models of every book touched, after all of the act."""
        for book, chain in self.chains.items():
            if book is None:
                continue
            moments = history(chain, self.ledger.codec)
            number = chain[0].book_no
            assert number is not None
            self.writer.project(fold(book, number, moments), moments)

    def _keep_receipt(self) -> None:
        if self.request.key is None:
            return
        salt = self.ledger.chance.bytes(SALT_BYTES)
        self.writer.put_receipt(
            Receipt(
                key=self.request.key,
                salt=salt,
                request=_request_hash(salt, self.request.body),
                first=self.written[0].seq,
                count=len(self.written),
                warnings=tuple(dict.fromkeys(self.warnings)),
            )
        )


def _request_hash(salt: bytes, body: bytes) -> bytes:
    """A hash that tells nothing of the request once its salt is gone."""
    return hashlib.sha256(salt + body).digest()
