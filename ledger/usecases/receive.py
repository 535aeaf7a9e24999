"""Receives the record of an earlier owner: checked, kept as it came, told by an entry, and never merged."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.entry import Entry
from ledger.errors import InvalidError, LedgerError, MalformedError, Problem
from ledger.events.earlier import Earlier, Verdict
from ledger.events.identification import Identification
from ledger.events.purchase import Purchase
from ledger.handing import HandingStore, HandingWriter, KeptRecord
from ledger.history import history
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.proof.forms import check_taken, take_out, unreadable
from ledger.proof.handed import HandedReport
from ledger.proof.record import EntryRead
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.signature import VerifierKey
from ledger.sealed import Sealed
from ledger.usecases.disclose import need_handing
from ledger.usecases.drafts import Draft, refuse_flaws
from ledger.usecases.earlier_seen import EarlierSeen, earlier_seen, verdict_of
from ledger.usecases.record import Recorded, Request, random_id, record
from ledger.when import When

__all__ = ["UNPACKED_MOST", "Received", "issue_said", "look_at", "receive"]

THEIRS: Final = "theirs"
"""Whoever wrote, and of which book: nobody here knows either."""
UNPACKED_MOST: Final = 256 * 1024 * 1024
"""Bytes that a zip unpacks to which comes through a form or the service. Photographs hardly pack, so what is sent there, of
64 MiB at most in a form, never comes near this by itself; a larger record is checked by the command. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Received:
    """A file that claims to be a record: what checking came to, and what was in it where that could be read."""

    sha256: str
    report: HandedReport
    data: bytes
    beside: dict[str, bytes]

    @property
    def file(self) -> RecordFile | None:
        """The record, where it could be read at all."""
        return self.report.file

    @property
    def size(self) -> int:
        """Bytes of all that was in it."""
        return len(self.data) + sum(map(len, self.beside.values()))

    @property
    def verdict(self) -> Verdict:
        """What checking it came to, in one word; of earlier records in it that says nothing."""
        return verdict_of(self.report)

    @property
    def earlier(self) -> tuple[EarlierSeen, ...]:
        """The earlier records in it, each with its own verdict."""
        return earlier_seen(self.report, self.sha256)


def look_at(actor: Actor, data: bytes, keys: Sequence[VerifierKey] = ()) -> Received:
    """What a file is, before anything is kept of it; `keys` came by another way than the file."""
    actor.require(Permission.RECORD)
    try:
        taken = take_out(data, most=UNPACKED_MOST)
    except MalformedError as error:
        return Received(sha256=digest_of(data), report=unreadable(error), data=data, beside={})
    report = check_taken(taken, keys)
    return Received(sha256=digest_of(taken.record), report=report, data=taken.record, beside=dict(taken.beside))


def issue_said(ledger: Ledger, received: Received) -> dict[str, Plain] | None:
    """The issue that the record's entries in force leave the book with, as plain data to fill a form.

    It is its maker's word. None where none is named, or the entries do not follow one another by the rules.
    """
    try:
        moments = history([_as_entry(ledger, each) for each in received.report.entries], ledger.codec)
    except LedgerError:
        return None
    named = [each.event for each in moments if each.in_force and isinstance(each.event, Purchase | Identification)]
    if not named:
        return None
    said = ledger.codec.split(named[-1])[0]["issue"]
    return said if isinstance(said, dict) else None


def _as_entry(ledger: Ledger, read: EntryRead) -> Entry:
    """An entry of somebody else's ledger, with nothing open but what they opened.

    Raises: InvalidError.
    """
    shown: dict[str, Sealed[Any]] = {name: Sealed.of(value) for name, value in read.opened.items()}
    closed: dict[str, Sealed[Any]] = {name: Sealed.withheld() for name in read.withheld}
    return Entry(
        seq=read.seq,
        book=THEIRS,
        book_no=1,
        book_seq=read.book_seq,
        act=read.act,
        actor=THEIRS,
        recorded=datetime.fromisoformat(read.recorded),
        leaf=read.leaf,
        event=ledger.codec.join(read.kind, read.v, read.on, read.body, shown | closed),
    )


def receive(  # noqa: PLR0913 - what, for which book, and how it is told
    ledger: Ledger,
    actor: Actor,
    received: Received,
    *,
    book: str | None = None,
    purchase: Purchase | None = None,
    on: When | None = None,
    from_whom: str | None = None,
    remark: str | None = None,
    request: Request | None = None,
) -> Recorded:
    """One act: the purchase, where the book comes with its record, and the entry that names the record and its verdict.

    What can be read is kept beside the ledger first, so that no entry speaks of what is not there.
    Requires: exactly one of `book` and `purchase`
    Raises: InvalidError where the file is no record, or comes without its photographs; what `record` raises.
    """
    actor.require(Permission.RECORD)
    handing = need_handing(ledger)
    _refuse_unless_whole(received)
    told = _told(received, on, from_whom, remark)
    own = book or random_id(ledger.chance)
    drafts = [Draft(event=told, book=own)]
    if purchase is not None:
        drafts = [Draft(event=purchase, new_book=True, id=own), *drafts]
    refuse_flaws(drafts)
    _keep(ledger, handing, received, own)
    return record(ledger, actor, drafts, request)


def _refuse_unless_whole(received: Received) -> None:
    file = received.file
    if file is None:
        sentence = "This file is no record that could be kept. Ask for it again, as a page or a bag."
        raise InvalidError(problems=(Problem(field="file", sentence=sentence),))
    if received.report.ok and any(each.sha256 not in received.beside for each in file.pictures):
        sentence = "The record alone comes without its photographs. Take the page or the bag."
        raise InvalidError(problems=(Problem(field="file", sentence=sentence),))


def _told(received: Received, on: When | None, from_whom: str | None, remark: str | None) -> Earlier:
    checkpoint = received.report.checkpoint
    return Earlier(
        on=on,
        record=received.sha256,
        verdict=received.verdict,
        origin=checkpoint.origin if checkpoint else None,
        size=checkpoint.size if checkpoint else None,
        from_whom=Sealed.of(from_whom),
        remark=Sealed.of(remark),
    )


def _keep(ledger: Ledger, handing: HandingStore, received: Received, book: str) -> None:
    """What is in it as it came, by its digests; what has another digest than it is named by is left out."""
    now = ledger.clock.now()
    records = {name: data for name, data in _records_in(received).items() if digest_of(data) == name}
    for data in records.values():
        for each in RecordFile.from_bytes(data).pictures:
            picture = received.beside.get(each.sha256)
            if picture is not None and digest_of(picture) == each.sha256:
                ledger.pictures.keep(picture)

    def work(writer: HandingWriter) -> None:
        for name, data in records.items():
            writer.put_record(KeptRecord(sha256=name, book=book, received=True, seq=0, made=now, data=data))

    handing.write(work)


def _records_in(received: Received) -> dict[str, bytes]:
    """The record and those of the owners before, by the digests they are named by, where they can be read."""
    found: dict[str, bytes] = {}
    waiting = [(received.sha256, received.data)]
    while waiting:
        name, data = waiting.pop()
        try:
            file = RecordFile.from_bytes(data)
        except MalformedError:
            continue
        found[name] = data
        waiting += [
            (each, received.beside[each]) for each in file.earlier if each in received.beside and each not in found
        ]
    return found
