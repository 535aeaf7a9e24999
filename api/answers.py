"""Entries as they are answered: each as it was recorded, and what became of it since."""

from collections.abc import Iterable
from dataclasses import dataclass

from fastapi import Request, Response

from api.schemas import EntryAnswer, SealedField, Told, Written, WrittenEntry
from ledger.entry import Entry
from ledger.events import Event, NotUnderstood
from ledger.history import Moment, history
from ledger.ports import Codec, Ledger, Reader
from ledger.proof.envelope import moment_text
from ledger.usecases.record import Recorded


@dataclass(frozen=True)
class Teller:
    """Tells entries of one view of the ledger, reading each chain once."""

    ledger: Ledger
    reader: Reader

    def tell(self, entries: Iterable[Entry]) -> list[EntryAnswer]:
        """Every entry with its corrections and its withdrawal, in the order given."""
        wanted = list(entries)
        moments: dict[int, Moment] = {}
        for book in dict.fromkeys(entry.book for entry in wanted):
            chain = self.reader.of_collection() if book is None else self.reader.of_book(book)
            moments.update((each.entry.seq, each) for each in history(chain, self.ledger.codec))
        return [told(moments[entry.seq], self.ledger.codec) for entry in wanted]

    def moments(self, moments: Iterable[Moment]) -> list[EntryAnswer]:
        """Moments in the order given."""
        return [told(each, self.ledger.codec) for each in moments]

    def book(self, book: str) -> list[Moment]:
        """A book's moments in the order of happening."""
        return history(self.reader.of_book(book), self.ledger.codec)


def told(moment: Moment, codec: Codec) -> EntryAnswer:
    """One entry with what became of it."""
    entry = moment.entry
    kind, version = _kind(entry.event)
    return EntryAnswer(
        seq=entry.seq,
        book=entry.book,
        book_seq=entry.book_seq,
        act=entry.act,
        kind=kind,
        v=version,
        recorded=moment_text(entry.recorded),
        actor=entry.actor,
        leaf=entry.leaf,
        corrected_by=list(moment.corrected_by),
        withdrawn_by=moment.withdrawn_by,
        in_force=moment.in_force,
        now=_said(moment.event, codec) if moment.corrected_by else None,
        **dict(_said(entry.event, codec)),
    )


def written(recorded: Recorded) -> Written:
    """What an append is answered with: only what never changes, so that it is the same when it is sent again."""
    return Written(
        act=recorded.act,
        entries=[_written(entry) for entry in recorded.entries],
        warnings=list(recorded.warnings),
    )


def placed(request: Request, response: Response, place: str) -> None:
    """The answer says where that is which was made.

    Source: RFC 9110 section 10.2.2: the location may be relative.
    """
    response.headers["Location"] = request.scope.get("root_path", "") + place


def answered(request: Request, response: Response, recorded: Recorded, place: str) -> Written:
    """What was written, with where it is, the tag its book has now, and whether it had been written before."""
    placed(request, response, place)
    books = {entry.book: entry.book_seq for entry in recorded.entries}
    if len(books) == 1 and None not in books:
        response.headers["ETag"] = tag(next(iter(books.values())) or 0)
    if recorded.replayed:
        response.headers[REPLAYED] = "?1"
    return written(recorded)


REPLAYED = "Idempotency-Replayed"
"""A name of our own: the draft on idempotency keys has no header that tells a repeated answer from a first one."""


def tag(entries: int) -> str:
    """A book's tag: how many entries it has, so that any write to it changes the tag."""
    return f'"{entries}"'


def _written(entry: Entry) -> WrittenEntry:
    return WrittenEntry(
        seq=entry.seq,
        book=entry.book,
        book_seq=entry.book_seq,
        kind=_kind(entry.event)[0],
        on=entry.event.on_as_written,
        recorded=moment_text(entry.recorded),
        actor=entry.actor,
        summary=entry.event.summary(),
        leaf=entry.leaf,
    )


def _said(event: Event, codec: Codec) -> Told:
    body, values = (event.body, {}) if isinstance(event, NotUnderstood) else codec.split(event)
    sealed = {
        name: SealedField(state=held.state.value, value=values.get(name, held.value))
        for name, held in event.sealed_fields().items()
    }
    return Told(on=event.on_as_written, summary=event.summary(), body=dict(body), sealed=sealed)


def _kind(event: Event) -> tuple[str, int]:
    if isinstance(event, NotUnderstood):
        return event.wire_kind, event.version
    return event.kind, event.v
