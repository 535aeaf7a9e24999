"""Check a book's proof file by hand: `python -m ledger.proof FILE --key VKEY [--held CHECKPOINT_FILE]`.

It needs this folder, Python, rfc8785 and cryptography, and nothing else: no ledger, no network.
"""

import argparse
import json
import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from ledger.proof.keys import COSIGNATURE
from ledger.proof.record import EntryRead, RecordReport, verify
from ledger.proof.report import MalformedError
from ledger.proof.signature import VerifierKey, parse_vkey

GOOD, FOUND, UNUSABLE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the verdict; 0 for a good record, 1 for one with findings, 2 for a call or a file that cannot be used."""
    given = _arguments(arguments)
    try:
        keys = [parse_vkey(text.strip()) for text in given.key]
        data = given.file.read_bytes()
        held = given.held.read_bytes() if given.held else None
    except (MalformedError, OSError) as error:
        sys.stderr.write(f"{_safe(str(error))}\n")
        return UNUSABLE
    report = verify(data, keys, held)
    told = _good(report, keys) if report.ok else _bad(report)
    _print(told)
    if report.ok:
        return GOOD
    return UNUSABLE if report.findings[0].code == "file-unreadable" else FOUND


def _arguments(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m ledger.proof",
        description="Check the proof file of one book, without the ledger it came from.",
        epilog="Exit: 0 good, 1 something was found, 2 wrong call or not a proof file.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="the proof file")
    parser.add_argument(
        "--key",
        action="append",
        required=True,
        metavar="VKEY",
        help="the owner's verifier key, name+id+key, got by another way than the file; again for a second key",
    )
    parser.add_argument("--held", type=Path, metavar="CHECKPOINT_FILE", help="an older checkpoint you hold")
    return parser.parse_args(arguments)


def _bad(report: RecordReport) -> Iterator[str]:
    number = len(report.findings)
    yield f"NOT GOOD: {number} {'thing was' if number == 1 else 'things were'} found."
    for finding in report.findings:
        yield f"  {finding.code}: {finding.sentence}"
    yield "Do not rely on this record."


def _good(report: RecordReport, keys: Sequence[VerifierKey]) -> Iterator[str]:
    yield "GOOD."
    yield from _proven(report)
    yield from _claimed(report, keys)
    yield from _withheld(report.entries)


def _proven(report: RecordReport) -> Iterator[str]:
    signers = ", ".join(
        f"{each.key.name} ({each.key.key_id.hex()})" for each in report.signed if each.timestamp is None
    )
    yield ""
    yield f"Proven with the key of {signers}:"
    yield f"  Book {report.book}, number {report.book_no}, had these {len(report.entries)} entries and no others"
    yield f"  when the ledger had {report.size} entries on {report.books} books. None was changed, moved or left out."
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


def _claimed(report: RecordReport, keys: Sequence[VerifierKey]) -> Iterator[str]:
    yield ""
    yield "Only claimed by the owner:"
    yield "  What the entries say, and the times at which it happened and was recorded."
    if report.held is None:
        yield "  That nothing was rewritten before the checkpoint was signed: you hold no older one (--held)."
    if not any(each.timestamp is not None for each in report.signed):
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


def _moment(seconds: int | None) -> str:
    try:
        return datetime.fromtimestamp(seconds or 0, UTC).isoformat()
    except (OverflowError, ValueError, OSError):
        return f"second {seconds} after 1970-01-01"


def _safe(text: str) -> str:
    """A line in which nothing that came from the file can move the cursor, colour the screen or hide other words."""
    return "".join(letter if letter.isprintable() else f"\\u{ord(letter):04x}" for letter in text)


def _print(lines: Iterator[str]) -> None:
    encoding = sys.stdout.encoding or "ascii"
    for line in lines:
        shown = _safe(line).encode(encoding, "backslashreplace").decode(encoding)
        sys.stdout.write(f"{shown}\n")


if __name__ == "__main__":
    sys.exit(main())
