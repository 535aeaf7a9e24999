"""The verdict in lines that a person reads: what is proven, what is only claimed, what was found."""

import json
from collections.abc import Iterator, Sequence
from typing import Final

from ledger.proof.cosigning import moment_of
from ledger.proof.eight import STRENGTH, eight_words
from ledger.proof.given import Checked, broken, key_digest
from ledger.proof.handed import HandedReport
from ledger.proof.keys import COSIGNATURE, VerifierKey
from ledger.proof.record import EntryRead
from ledger.proof.record_file import digest_of
from ledger.proof.stamped import StampError

__all__ = ["printable", "told"]

NOT_KNOWN: Final = (
    "It holds together: nothing in it contradicts anything else. Whoever made it may have made all of it.",
    "Get the owner's key by another way than this record, and give it with --key, as a line, as a file, or as the",
    "eight words that the owner reads to you.",
)


def told(checked: Checked) -> Iterator[str]:
    """The lines of the whole verdict, the answer first."""
    report = checked.report
    if report.findings:
        yield from _bad(report)
    elif broken(report):
        own = "is good" if report.signer_known else "holds together, its signer not known"
        yield f"NOT GOOD: the book's own record {own}, and one of an earlier owner is not good."
        yield from () if report.signer_known else NOT_KNOWN
    elif not report.signer_known:
        yield "CONSISTENT, SIGNER NOT KNOWN."
        yield from NOT_KNOWN
    else:
        yield "GOOD."
    yield from _file(checked)
    if not report.findings:
        yield from _proven(report)
        yield from _claimed(report, checked.keys)
        yield from _withheld(report.entries)
    yield from _earlier(report)
    for note in report.notes:
        yield ""
        yield note


def printable(text: str) -> str:
    """A line in which nothing that came from the file can move the cursor, colour the screen or hide other words."""
    return "".join(letter if letter.isprintable() else f"\\u{ord(letter):04x}" for letter in text)


def _bad(report: HandedReport) -> Iterator[str]:
    number = len(report.findings)
    yield f"NOT GOOD: {number} {'thing was' if number == 1 else 'things were'} found."
    for finding in report.findings:
        yield f"  {finding.code}: {finding.sentence}"
    yield "Do not rely on this record."


def _file(checked: Checked) -> Iterator[str]:
    """Which file it was, so that it can be held against paper or against what somebody reads aloud."""
    report = checked.report
    if report.file is None:
        return
    digest = digest_of(checked.record)
    yield ""
    yield f"The record: {report.file.sheet.title}"
    yield f"  SHA-256 {digest}"
    yield f"  In words, its first {STRENGTH} bits: {eight_words(digest)}"
    if checked.by_words and report.signer_known:
        yield f"The key was picked by its eight words, which are {STRENGTH} bits of its digest."
    if not report.signer_known:
        for vkey in checked.named:
            yield f"It names as its owner's key: {vkey}"
            yield f"  In words: {eight_words(key_digest(vkey))}"
            yield "  Ask the owner for these; that they stand here proves nothing."


def _proven(report: HandedReport) -> Iterator[str]:
    signers = ", ".join(
        f"{each.key.name} ({each.key.key_id.hex()})" for each in report.signed if each.timestamp is None
    )
    yield ""
    yield f"Proven with the key of {signers}:" if report.signer_known else "Would be proven, were the signer known:"
    yield f"  Book {report.book}, number {report.book_no}, had these {len(report.entries)} entries and no others"
    yield f"  when the ledger had {report.size} entries on {report.books} books. None was changed, moved or left out."
    if report.file is not None:
        yield "  The words of the record are those that its last entry has the digest of."
        if number := report.checked.get("photographs"):
            yield f"  {number} {'photograph is' if number == 1 else 'photographs are'} those that the entries name."
    if report.held is not None:
        yield f"  The first {report.held} entries of the ledger are those of the checkpoint you hold."
    for each in report.signed:
        if each.key.algorithm == COSIGNATURE:
            yield f"  {each.key.name} ({each.key.key_id.hex()}) saw the ledger so on {_moment(each.timestamp)}."
    yield ""
    yield f"  {'entry':>7}  {'kind':<15} {'happened':<25} {'recorded':<27} leaf"
    for entry in report.entries:
        happened = entry.on or "not known"
        yield f"  {entry.seq:>7}  {entry.kind:<15} {happened:<25} {entry.recorded} {entry.leaf[:8]}"
    yield from _opened(report.entries)


def _opened(entries: Sequence[EntryRead]) -> Iterator[str]:
    shown = [(entry.seq, name, value) for entry in entries for name, value in sorted(entry.opened.items())]
    if shown:
        yield ""
        yield "Opened, as it was sealed when the entry was recorded:"
    for seq, name, value in shown:
        yield f"  {seq:>7}  {name}: {json.dumps(value, ensure_ascii=False)}"


def _claimed(report: HandedReport, keys: Sequence[VerifierKey]) -> Iterator[str]:
    yield ""
    yield "Only claimed by the owner:"
    yield "  What the entries say, and the times at which it happened and was recorded."
    if report.held is None:
        yield "  That nothing was rewritten before the checkpoint was signed: you hold no older one (--held)."
    if not report.stamps and not any(each.timestamp is not None for each in report.signed):
        known = {key.name for key in keys}
        others = sorted({name for name in report.unknown_signers if name not in known})
        asked = f" {', '.join(others)} is named on it; get that key to check it (--key)." if others else ""
        yield f"  When the checkpoint was signed: no second person's signature was checked.{asked}"


def _withheld(entries: Sequence[EntryRead]) -> Iterator[str]:
    closed = [entry for entry in entries if entry.withheld]
    if closed:
        yield ""
        yield "Withheld by the owner (sealed; some may be empty):"
    for entry in closed:
        yield f"  {entry.seq:>7}  {', '.join(entry.withheld)}"


def _earlier(report: HandedReport, inside: str = "") -> Iterator[str]:
    """Records of earlier owners, each with a verdict of its own."""
    for each in report.earlier:
        own = each.report
        title = own.file.sheet.title if own.file else "not readable"
        yield ""
        yield f"Record of an earlier owner{inside}, {each.sha256[:8]}: {title}"
        if own.findings:
            yield from (f"  {line}" for line in _bad(own))
        elif own.signer_known:
            yield "  GOOD: signed with a key that you gave."
        else:
            yield "  CONSISTENT, SIGNER NOT KNOWN. Its owner's key shows who signed it (--key)."
        yield from _earlier(own, f"{inside} before that")


def _moment(seconds: int | None) -> str:
    try:
        return moment_of(seconds or 0).isoformat()
    except StampError:
        return f"second {seconds} after 1970-01-01"
