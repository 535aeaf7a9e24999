"""Records of earlier owners as a check found them, each with its own verdict: what holds of one says nothing of another."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ledger.events.earlier import Verdict
from ledger.proof.canonical import Plain
from ledger.proof.handed import Glance, HandedReport, check_record, glance_over
from ledger.proof.record import RecordReport, read_entry
from ledger.proof.record_file import RecordFile
from ledger.proof.sheet import Sheet

__all__ = ["EarlierSeen", "OpenedThere", "earlier_seen", "seen_alone", "seen_at_a_glance", "verdict_of"]


@dataclass(frozen=True, kw_only=True)
class OpenedThere:
    """A sealed field that an earlier owner opened: the number of its entry there, its name, its value."""

    entry: int
    name: str
    value: Plain


@dataclass(frozen=True, kw_only=True)
class EarlierSeen:
    """One record of an earlier owner. `inside` is the digest of the record that it came with."""

    sha256: str
    inside: str
    verdict: Verdict
    findings: tuple[str, ...]
    sheet: Sheet | None
    """Its words; None where it cannot be read."""
    opened: tuple[OpenedThere, ...]

    @property
    def broken(self) -> bool:
        """Something was found in it."""
        return self.verdict is Verdict.BROKEN


def verdict_of(report: HandedReport) -> Verdict:
    """What checking a record came to; whatever is found in those of owners before stays theirs."""
    if not report.ok:
        return Verdict.BROKEN
    return Verdict.WHOLE if report.signer_known else Verdict.UNKNOWN_SIGNER


def earlier_seen(report: HandedReport, sha256: str) -> tuple[EarlierSeen, ...]:
    """Every earlier record in the one that was checked, each before those that it has in turn."""
    return tuple(_each(report, sha256))


def seen_alone(data: bytes, beside: Mapping[str, bytes], sha256: str) -> tuple[EarlierSeen, ...]:
    """A kept record checked without a key from elsewhere, then the earlier ones in it."""
    report = check_record(data, beside)
    return (_seen(sha256, "", report), *earlier_seen(report, sha256))


def seen_at_a_glance(
    data: bytes, beside: Mapping[str, bytes], sha256: str, glanced: Mapping[str, Glance | None]
) -> tuple[EarlierSeen, ...]:
    """As `seen_alone`, of photographs no more than their size and first bytes; each is checked when it is read."""
    report = check_record(data, beside, pictures=False)
    glance_over(report, glanced)
    return (_seen(sha256, "", report), *earlier_seen(report, sha256))


def _each(report: HandedReport, inside: str) -> Iterator[EarlierSeen]:
    for each in report.earlier:
        yield _seen(each.sha256, inside, each.report)
        yield from _each(each.report, each.sha256)


def _seen(sha256: str, inside: str, report: HandedReport) -> EarlierSeen:
    return EarlierSeen(
        sha256=sha256,
        inside=inside,
        verdict=verdict_of(report),
        findings=tuple(each.sentence for each in report.findings),
        sheet=report.file.sheet if report.file else None,
        opened=() if report.file is None else tuple(_opened(report.file)),
    )


def _opened(file: RecordFile) -> Iterator[OpenedThere]:
    """Good or not: whoever has the file can read them."""
    reading = RecordReport()
    for each in (*file.proof.entries, *file.collection):
        read_entry("An entry", each, None, reading)
    for entry in reading.entries:
        yield from (OpenedThere(entry=entry.seq, name=name, value=said) for name, said in entry.opened.items())
