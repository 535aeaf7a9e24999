"""Holds the records that are kept beside the ledger against their digests, and what they need against what is there."""

from ledger.errors import MalformedError
from ledger.events.disclosure import Disclosure
from ledger.events.earlier import Earlier, Verdict
from ledger.ports import Ledger, Reader
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.report import Evidence, Report
from ledger.usecases.stored import readable

__all__ = ["audit_records", "received_pictures"]


def received_pictures(ledger: Ledger) -> set[str]:
    """The digests of the photographs that came with received records."""
    found: set[str] = set()
    if ledger.handing is None:
        return found
    with ledger.handing.read() as reader:
        for each in reader.all_records():
            if each.received:
                found |= _named(each.data)
    return found


def audit_records(ledger: Ledger, reader: Reader, report: Report) -> None:
    """Every record that is kept, and those that entries speak of and that are not there."""
    if ledger.handing is None:
        return
    kept: set[str] = set()
    made: set[int] = set()
    with ledger.handing.read() as beside:
        for each in beside.all_records():
            report.count("records")
            kept.add(each.sha256)
            made |= set() if each.received else {each.seq}
            short = each.sha256[:8]
            if digest_of(each.data) != each.sha256:
                sentence = f"The record {short} that is kept was changed. Put back a backup that is whole."
                report.add("record-changed", sentence, book=each.book or None)
            elif each.received:
                _need_pictures(ledger, each.data, short, report)
    for entry in readable(reader, Disclosure.kind):
        if isinstance(entry.event, Disclosure) and entry.seq not in made:
            # Making it may have been cut off behind the entry, so that nobody has it: no damage, and worth knowing.
            report.notes.append(f"Entry {entry.seq} tells of a record that is not kept here.")
    for entry in readable(reader, Earlier.kind):
        event = entry.event
        if isinstance(event, Earlier) and event.verdict in _KEPT and event.record not in kept:
            report.notes.append(f"Entry {entry.seq} tells of an earlier record that is not kept here.")


_KEPT = frozenset({Verdict.WHOLE, Verdict.UNKNOWN_SIGNER})


def _need_pictures(ledger: Ledger, data: bytes, short: str, report: Report) -> None:
    for name in sorted(_named(data)):
        found = ledger.pictures.digest(name)
        if found is None:
            sentence = f"Photograph {name[:8]} of the received record {short} is missing."
            report.add("picture-missing", sentence, evidence=Evidence.MISSING)
        elif found != name:
            report.add("picture-changed", f"Photograph {name[:8]} of the received record {short} was changed.")


def _named(data: bytes) -> set[str]:
    """The photographs that a record names; none where it cannot be read."""
    try:
        return {each.sha256 for each in RecordFile.from_bytes(data).pictures}
    except MalformedError:
        return set()
