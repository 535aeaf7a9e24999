"""verify and rebuild: everything read again, and everything that is worked out from the entries made anew."""

import json
import sys
from functools import partial

import typer

from ledger.proof.report import Evidence, Report
from web.commands.options import (
    Anchor,
    AsJson,
    Authority,
    Collection,
    Database,
    Folder,
    Key,
    Keys,
    settings_of,
    told_while,
)

__all__ = ["FINDING", "plain_report", "rebuild", "told_report", "verify"]

FINDING = 1


def verify(
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
    anchor: Anchor = None,
    key: Key = None,
    authority: Authority = None,
    as_json: AsJson = False,
) -> None:
    """Read every entry again and say what is wrong.

    A checkpoint kept elsewhere shows what nothing else can: entries cut from the end, an old copy put back.
    """
    from ledger.actor import Actor  # noqa: PLC0415
    from ledger.bootstrap import open_to_read  # noqa: PLC0415
    from ledger.usecases.anchored import kept_anchor  # noqa: PLC0415
    from ledger.usecases.verify import verify_ledger  # noqa: PLC0415

    settings = settings_of(folder, keys, database=database, collection=collection)
    with open_to_read(settings, vkey=key) as ledger:
        # What is no text is no checkpoint either, and the report says so.
        note = anchor.read_text(encoding="utf-8", errors="replace") if anchor else kept_anchor(ledger)
        under = ledger.timestamps.under(authority.read_bytes()) if authority and ledger.timestamps else None
        report = verify_ledger(
            ledger, Actor(id="verifier"), anchor=note, stamps=under, progress=partial(told_while, "entries")
        )
    if as_json:
        sys.stdout.write(json.dumps(plain_report(report)) + "\n")
    else:
        sys.stdout.write(told_report(report))
    raise typer.Exit(0 if report.ok else FINDING)


def rebuild(folder: Folder = None, keys: Keys = None, database: Database = None, collection: Collection = None) -> None:
    """Make every list anew from the entries.

    Guards taken from a file are put back. No server may have it open.
    """
    from ledger.bootstrap import open_ledger  # noqa: PLC0415

    settings = settings_of(folder, keys, database=database, collection=collection)
    with open_ledger(settings, make=False, mend=True) as ledger:
        count = ledger.log.rebuild()
    sys.stdout.write(f"Rebuilt the lists of {count} {'book' if count == 1 else 'books'} from their entries.\n")


def told_report(report: Report) -> str:
    """The report in plain sentences."""
    lines = [
        f"{'needs an anchor to be seen: ' if each.evidence is Evidence.ANCHOR else ''}{each.sentence}"
        for each in report.findings
    ]
    looked = ", ".join(f"{number} {what}" for what, number in report.checked.items())
    lines += [f"Looked at: {looked or 'nothing'}.", *report.notes]
    lines.append("Whole: nothing was found." if report.ok else f"Findings: {len(report.findings)}.")
    return "\n".join(lines) + "\n"


def plain_report(report: Report) -> dict[str, object]:
    """The same as plain data."""
    findings = [
        {
            "code": each.code,
            "sentence": each.sentence,
            "evidence": each.evidence.value,
            "seq": each.seq,
            "book": each.book,
        }
        for each in report.findings
    ]
    return {"ok": report.ok, "findings": findings, "checked": report.checked, "notes": report.notes}
