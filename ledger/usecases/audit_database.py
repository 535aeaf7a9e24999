"""Holds the database itself against what it must be: its tables and guards, what is strange to it, and its receipts."""

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.ports import Reader, Receipt
from ledger.proof.report import Evidence, Report
from ledger.proof.sealing import SALT_BYTES
from ledger.usecases.record import REQUEST_BYTES
from ledger.usecases.stored import all_entries, erased


def audit_tables(reader: Reader, report: Report) -> bool:
    """Every table that is not there; says whether the entries and all beside them can be read without it."""
    missing = reader.tables_missing()
    for each in missing:
        mend = "rebuild makes it anew" if each.remade else "put back a backup that is whole"
        sentence = f"The table {each.name} of the database is missing; {mend}."
        report.add("table-missing", sentence, evidence=Evidence.MISSING)
    return all(each.apart for each in missing)


def audit_guards(reader: Reader, report: Report) -> None:
    """Every guard that is not as it was made, and everything that this program never made."""
    for guard in reader.guards_missing():
        report.add(
            "guard-missing", f"The guard {guard} of the database was taken away; entries could be changed unseen."
        )
    for stranger in reader.strangers():
        mend = "rebuild takes it out" if stranger.startswith("trigger ") else "see who put it there, and take it out"
        report.add("stranger-there", f"In the database is the {stranger}, which this program never made; {mend}.")


@dataclass(frozen=True, kw_only=True)
class _Act:
    """Entries written together: the first of them, how many there are, and whether anything of them was erased."""

    first: int
    count: int
    erased: bool


def audit_receipts(reader: Reader, report: Report) -> None:
    """What every idempotency key is said to have done against the acts that were written."""
    acts = _acts(reader)
    act, before = next(acts, None), None
    for receipt in reader.receipts():
        report.count("receipts")
        while act is not None and act.first < receipt.first:
            act = next(acts, None)
        flaw = f"is the second one over entry {receipt.first}" if receipt.first == before else _flaw(receipt, act)
        before = receipt.first
        if flaw:
            report.add("receipt-changed", f"The receipt of {_said(receipt)} {flaw}.")


def _flaw(receipt: Receipt, act: _Act | None) -> str:
    """What is wrong with a receipt, given the act that begins where it does, or further on; empty when nothing is."""
    if act is None or (act.first, act.count) != (receipt.first, receipt.count):
        return "speaks of entries that are no act of this ledger"
    if receipt.salt is None and receipt.request is None:
        return "" if act.erased else "has forgotten its request, and no erasure asked for that"
    if act.erased:
        return "still holds a hash of its request, from which what was erased could be guessed"
    if len(receipt.salt or b"") != SALT_BYTES or len(receipt.request or b"") != REQUEST_BYTES:
        return "holds no salt and hash of its request as they are written"
    return ""


def _said(receipt: Receipt) -> str:
    entries = "one entry" if receipt.count == 1 else f"{receipt.count} entries"
    return f"{entries} from {receipt.first} on"


def _acts(reader: Reader) -> Iterator[_Act]:
    """The acts in the order of their entries; a gap ends one."""
    gone = {seq for seq, _ in erased(reader)}
    name, first, count, touched = "", 0, 0, False
    for row in all_entries(reader):
        if count and (row.act, row.seq) != (name, first + count):
            yield _Act(first=first, count=count, erased=touched)
            count, touched = 0, False
        if not count:
            name, first = row.act, row.seq
        count += 1
        touched = touched or row.seq in gone
    if count:
        yield _Act(first=first, count=count, erased=touched)
