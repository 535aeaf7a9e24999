"""Receives the record of an earlier owner: checked, kept as it came, told by an entry, and never merged."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, MalformedError, Problem
from ledger.events.earlier import Earlier, Verdict
from ledger.events.purchase import Purchase
from ledger.handing import HandingStore, HandingWriter, KeptRecord
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.proof.forms import check_file, open_file
from ledger.proof.handed import HandedReport
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.signature import VerifierKey
from ledger.sealed import Sealed
from ledger.usecases.disclose import need_handing
from ledger.usecases.drafts import Draft, refuse_flaws
from ledger.usecases.record import Recorded, Request, random_id, record
from ledger.when import When

__all__ = ["Received", "issue_said", "look_at", "receive", "verdict_of"]

PURCHASE: Final = "purchase"


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
    def verdict(self) -> Verdict:
        """What checking it came to, in one word."""
        return verdict_of(self.report)


def verdict_of(report: HandedReport) -> Verdict:
    """What checking a record came to; whatever is found in those of owners before stays theirs."""
    if not report.ok:
        return Verdict.BROKEN
    return Verdict.WHOLE if report.signer_known else Verdict.UNKNOWN_SIGNER


def look_at(actor: Actor, data: bytes, keys: Sequence[VerifierKey] = ()) -> Received:
    """What a file is, before anything is kept of it; `keys` came by another way than the file."""
    actor.require(Permission.RECORD)
    report = check_file(data, keys)
    try:
        record_file, beside = open_file(data)
    except MalformedError:
        record_file, beside = data, {}
    return Received(sha256=digest_of(record_file), report=report, data=record_file, beside=beside)


def issue_said(received: Received) -> dict[str, Plain] | None:
    """The issue that the record's last purchase names, as plain data to fill a form; it is its maker's word."""
    said = [each.body.get("issue") for each in received.report.entries if each.kind == PURCHASE]
    return next((each for each in reversed(said) if isinstance(each, dict)), None)


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
