"""check: a record that somebody handed over, in whichever form, without the ledger it came from and without one here."""

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from ledger.proof.given import Checked
from ledger.proof.report import MalformedError
from ledger.proof.stamped import StampCheck
from web.commands.checking import FINDING, plain_report
from web.commands.options import NAME, AsJson, Authority

__all__ = ["check"]

UNUSABLE = 2

File = Annotated[Path, typer.Argument(metavar="FILE", help="record.json, page, bag, its folder, PDF.", exists=True)]
OwnersKey = Annotated[
    list[str] | None,
    typer.Option("--key", metavar="KEY", help="The owner's key, not from the record: line, eight words, or file."),
]
Held = Annotated[Path | None, typer.Option("--held", help="An older checkpoint you hold.", exists=True, dir_okay=False)]

Chain = Annotated[
    list[Path] | None,
    typer.Option("--chain", help="Keys signed by the key at hand, for an older record.", exists=True, dir_okay=False),
]


def check(
    file: File,
    key: OwnersKey = None,
    held: Held = None,
    chain: Chain = None,
    authority: Authority = None,
    as_json: AsJson = False,
) -> None:
    """Check a record that you were given.

    Ends with 0 when it is whole and its signer known, else with 1.
    """
    from ledger.proof.reading import asked, check_path  # noqa: PLC0415
    from ledger.proof.telling import printable, told  # noqa: PLC0415

    try:
        under = _under(authority) if authority is not None else None
        checked = check_path(file, asked(key or (), held, file, chain or (), under))
    except (MalformedError, OSError) as error:
        sys.stderr.write(f"{NAME}: {printable(str(error))}\n")
        raise typer.Exit(UNUSABLE) from error
    if as_json:
        sys.stdout.write(json.dumps(_plain(checked)) + "\n")
    else:
        sys.stdout.write("".join(f"{printable(line)}\n" for line in told(checked)))
    raise typer.Exit(0 if checked.whole else FINDING)


def _under(authority: Path) -> StampCheck:
    """How time stamps are held against that authority."""
    from ledger.adapters.timestamps import Rfc3161Stamps  # noqa: PLC0415

    return Rfc3161Stamps().under(authority.read_bytes())


def _plain(checked: Checked) -> dict[str, object]:
    """The verdict as plain data; records of earlier owners each with their own."""
    from ledger.proof.handed import HandedReport  # noqa: PLC0415
    from ledger.proof.record_file import digest_of  # noqa: PLC0415

    def of(report: HandedReport) -> dict[str, object]:
        earlier = [{"sha256": each.sha256, **of(each.report)} for each in report.earlier]
        return {**plain_report(report), "signer_known": report.signer_known, "book": report.book, "earlier": earlier}

    digest = digest_of(checked.record) if checked.record else None
    return {"whole": checked.whole, "sha256": digest, **of(checked.report)}
