"""Many new books written in one work: every book checked as one is, then put in by the hundred.

The one door for single acts is `ledger/usecases/record.py`; this is the same for a whole collection that comes at once.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Final

from ledger.actor import Actor
from ledger.book import Book
from ledger.entry import Entry
from ledger.errors import InvalidError, Problem, RuleError
from ledger.events import Event
from ledger.happening import by_date
from ledger.history import checked, fold, history, verdict
from ledger.many import ManyBooks
from ledger.mended import Moment, mended
from ledger.ports import ENTRIES, HEADS, BookHead, Chance, Codec, Ledger, Receipt, SealedValue, StoredEntry, Writer
from ledger.proof import merkle
from ledger.proof.canonical import Plain
from ledger.proof.envelope import FMT, Envelope, head_leaf, moment_text
from ledger.proof.sealing import SALT_BYTES, digest, disclosure
from ledger.sealed import Sealed
from ledger.usecases.record import random_id

__all__ = ["NewBooks", "misfits"]

AT_ONCE: Final = 200
"""Books that are put in together."""
IDS_AT_ONCE: Final = (200, 16_000)
"""Ids that are drawn together, at first and at most: as many again as were drawn before."""
_TRIED: Final = datetime.fromisoformat("2000-01-01T00:00:00+00:00")


def misfits(events: Sequence[Event], codec: Codec) -> tuple[tuple[int, Problem], ...]:
    """What stands against a new book with these events, each with the place of its event; nothing where it may come in.

    Keeps: what may come in by this is what `record` would let in, its purchase first.
    """
    found: list[tuple[int, Problem]] = []
    for at, event in enumerate(events):
        try:
            _readable(event, codec)
        except InvalidError as error:
            found += [(at, problem) for problem in error.problems]
    return tuple(found) or _told(_as_entries(events), codec)[2]


@dataclass
class _Tree:
    """A tree that only grows; the last node of each level is at hand, and what lies before it is asked for."""

    name: str
    size: int
    writer: Writer
    made: list[tuple[int, int, bytes]] = field(default_factory=list)
    _last: dict[int, tuple[int, bytes]] = field(default_factory=dict)

    def append(self, leaf: bytes) -> None:
        """One more leaf at the end."""
        new = merkle.appended(self.size, leaf, self._read)
        self.size += 1
        for level, index, found in new:
            self._last[level] = (index, found)
        self.made += new

    def taken(self) -> list[tuple[int, int, bytes]]:
        """The nodes made since they were last taken."""
        made, self.made = self.made, []
        return made

    def _read(self, which: Sequence[tuple[int, int]]) -> list[bytes]:
        held = {(level, index): found for level, (index, found) in self._last.items()}
        asked = [each for each in which if each not in held]
        held |= dict(zip(asked, self.writer.nodes(self.name, asked), strict=True)) if asked else {}
        return [held[each] for each in which]


class _Ids:
    """Ids nobody can guess, handed out in their order: what a database keeps by them is then written side by side."""

    def __init__(self, chance: Chance) -> None:
        self._chance, self._drawn = chance, 0
        self._left: Iterator[str] = iter(())

    def next(self) -> str:
        """The next one."""
        if (found := next(self._left, None)) is None:
            some = max(IDS_AT_ONCE[0], min(self._drawn, IDS_AT_ONCE[1]))
            self._drawn += some
            self._left = iter(sorted(random_id(self._chance) for _ in range(some)))
            found = next(self._left)
        return found


@dataclass
class _Waiting:
    """What is to be put in with the next books."""

    entries: list[StoredEntry] = field(default_factory=list)
    sealed: list[SealedValue] = field(default_factory=list)
    heads: list[BookHead] = field(default_factory=list)
    receipts: list[Receipt] = field(default_factory=list)
    books: list[tuple[Book, Sequence[Moment]]] = field(default_factory=list)


class NewBooks:
    """Books that are new, inside the writer's transaction: all that is added is kept with it, or nothing.

    Keeps: each book is one act under one idempotency key; what is put in proves itself like any other entry.
    Requires: `finish` is called at the end
    """

    def __init__(self, ledger: Ledger, actor: Actor, writer: Writer) -> None:
        head = writer.head()
        self._ledger, self._actor, self._writer = ledger, actor, writer
        self._now = ledger.clock.now()
        self._first = head.books + 1
        self._trees = {name: _Tree(name, size, writer) for name, size in ((ENTRIES, head.size), (HEADS, head.books))}
        self._waiting = _Waiting()
        self._book_ids, self._acts = _Ids(ledger.chance), _Ids(ledger.chance)
        self.books = self.entries = 0

    def add(self, events: Sequence[Event], key: str, said: bytes) -> None:
        """One book with its events, its purchase first; `said` is what the key stands for.

        Raises: InvalidError, RuleError; what is wrong is at `events.N.field`.
        """
        for event in events:
            self._actor.require_to_write(event.kind)
        if len(self._waiting.books) >= AT_ONCE:
            self._flush()
        codec, chance = self._ledger.codec, self._ledger.chance
        book, act, number = self._book_ids.next(), self._acts.next(), self._trees[HEADS].size + 1
        first, entries, before = self._trees[ENTRIES].size + 1, [], None
        for at, event in enumerate(events, start=1):
            envelope, sealed = self._envelope(event, (book, number, at, before), act, codec, chance)
            entry = self._put(envelope, sealed, event)
            before = entry.leaf
            entries.append(entry)
        state, moments, problems = _told(entries, codec)
        if problems:
            raise RuleError(problems=tuple(problem for _, problem in problems))
        salt = chance.bytes(SALT_BYTES)
        receipt = Receipt(key=key, salt=salt, request=sha256(salt + said).digest(), first=first, count=len(entries))
        self._end_book(state, entries[-1].leaf, moments, receipt)

    def finish(self, count: Callable[[int], None]) -> None:
        """All of them are there and are found by a search; `count` is told again and again how many are."""
        self._flush()
        if self.books:
            self._writer.find_places(self._first, count)

    def _envelope(
        self, event: Event, place: tuple[str, int, int, str | None], act: str, codec: Codec, chance: Chance
    ) -> tuple[Envelope, list[SealedValue]]:
        book, number, at, before = place
        body, values = _readable(event, codec)
        seq = self._trees[ENTRIES].size + 1
        sealed = [
            SealedValue(seq=seq, name=name, salt=chance.bytes(SALT_BYTES), value=values[name])
            for name in sorted(values)
        ]
        return Envelope(
            fmt=FMT,
            collection=self._writer.collection,
            seq=seq,
            book=book,
            book_no=number,
            book_seq=at,
            book_prev=before,
            act=act,
            kind=event.kind,
            v=event.v,
            on=None if event.on is None else str(event.on),
            recorded=moment_text(self._now),
            actor=self._actor.id,
            body=body,
            sealed={each.name: digest(disclosure(each.salt or b"", each.name, each.value)) for each in sealed},
        ), sealed

    def _put(self, envelope: Envelope, sealed: list[SealedValue], event: Event) -> Entry:
        data = envelope.to_bytes()
        leaf = merkle.leaf_hash(data)
        self._trees[ENTRIES].append(leaf)
        stored = StoredEntry(
            seq=envelope.seq,
            data=data,
            leaf=leaf.hex(),
            book=envelope.book,
            book_no=envelope.book_no,
            book_seq=envelope.book_seq,
            act=envelope.act,
            kind=envelope.kind,
            actor=envelope.actor,
            recorded=self._now,
        )
        self._waiting.entries.append(stored)
        self._waiting.sealed += sealed
        return Entry(
            seq=stored.seq,
            book=stored.book,
            book_no=stored.book_no,
            book_seq=stored.book_seq,
            act=stored.act,
            actor=stored.actor,
            recorded=self._now,
            leaf=stored.leaf,
            event=event,
        )

    def _end_book(self, state: Book, last: str, moments: Sequence[Moment], receipt: Receipt) -> None:
        head = BookHead(book=state.id, no=state.no, seq=receipt.count, leaf=last)
        self._trees[HEADS].append(merkle.leaf_hash(head_leaf(head.book, head.no, head.seq, head.leaf)))
        waiting = self._waiting
        waiting.heads.append(head)
        waiting.receipts.append(receipt)
        waiting.books.append((state, moments))
        self.books += 1
        self.entries += receipt.count

    def _flush(self) -> None:
        waiting, self._waiting = self._waiting, _Waiting()
        if waiting.books:
            self._writer.put_many(
                ManyBooks(
                    entries=waiting.entries,
                    sealed=waiting.sealed,
                    entry_nodes=self._trees[ENTRIES].taken(),
                    head_nodes=self._trees[HEADS].taken(),
                    heads=waiting.heads,
                    receipts=waiting.receipts,
                    books=waiting.books,
                )
            )


def _readable(event: Event, codec: Codec) -> tuple[dict[str, Plain], dict[str, Plain]]:
    """The event's body and sealed values; it is read once before it is written, for it will be read for ever.

    Raises: InvalidError.
    """
    body, values = codec.split(event)
    on = None if event.on is None else str(event.on)
    codec.join(event.kind, event.v, on, body, {name: Sealed.of(value) for name, value in values.items()})
    return body, values


def _told(entries: Sequence[Entry], codec: Codec) -> tuple[Book, list[Moment], tuple[tuple[int, Problem], ...]]:
    """The book, its moments in the order of happening, and the rules they break, each by the place of its entry.

    What breaks none in the order of its dates breaks none; only else is it asked whether they leave another order.
    """
    book, number = entries[0].book, entries[0].book_no
    assert book is not None
    assert number is not None
    moments = by_date(mended(entries, codec))
    state, wrong = checked(book, number, moments)
    if not wrong:
        return state, moments, ()
    found: list[tuple[int, Problem]] = []
    for at, entry in enumerate(entries):
        refused, _ = verdict(entries[:at], entry, codec)
        found += [(at, problem) for problem in refused]
    moments = history(entries, codec)
    return fold(book, number, moments), moments, tuple(found)


def _as_entries(events: Sequence[Event]) -> list[Entry]:
    """The events as entries of a book that is not written yet."""
    return [
        Entry(
            seq=at,
            book="new",
            book_no=1,
            book_seq=at,
            act="",
            actor="",
            recorded=_TRIED,
            leaf="",
            event=event,
        )
        for at, event in enumerate(events, start=1)
    ]
