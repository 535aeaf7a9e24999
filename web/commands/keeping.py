"""backup, restore, drill, move and prepare: what keeps a ledger safe, and where it lies."""

import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from ledger.proof.report import Report
from web.commands.checking import FINDING, plain_report, told_report
from web.commands.options import AsJson, Collection, Database, Folder, Key, Keys, settings_of, told_while

__all__ = ["backup", "drill", "end", "move", "prepare", "restore"]

To = Annotated[Path, typer.Argument(help="Folder for backups; photographs in it are copied once.")]
Source = Annotated[Path, typer.Argument(help="A backup, or the folder of several: then the newest.")]
Where = Annotated[str, typer.Option("--to", help="URL of a database, or a data folder.")]
Owner = Annotated[
    str, typer.Option("--owner", envvar="SLIPSHEET_OWNER", show_envvar=False, help="The same database as its owner.")
]


def backup(
    to: To,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
    as_json: AsJson = False,
) -> None:
    """Copy the ledger, served or not, and verify the copy."""
    from ledger.keeping.backup import back_up  # noqa: PLC0415  (a start loads what it needs)

    made = back_up(settings_of(folder, keys, database=database, collection=collection), to, told_while)
    told = {"folder": str(made.folder), "size": made.size, "photographs": made.pictures, "new": made.new_pictures}
    words = f"{made.size} entries and {made.pictures} photographs ({made.new_pictures} new) are in {made.folder}."
    end(told, words, made.report, as_json=as_json)


def restore(
    source: Source,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    key: Key = None,
    as_json: AsJson = False,
) -> None:
    """Put a backup into an empty place, after a look at every file."""
    from ledger.keeping.restore import restore as put_back  # noqa: PLC0415
    from ledger.usecases.anchored import sentence_of  # noqa: PLC0415

    done = put_back(source, settings_of(folder, keys, database=database), vkey=key, progress=told_while)
    state = done.found.manifest.state
    told = {"from": str(done.found.folder), "size": state.size, "against_anchor": done.standing.against.value}
    words = f"{state.size} entries of the backup {done.found.folder} are put back."
    if not done.found.trusted:
        words += "\nNo key at hand signed it: that shows only that the backup agrees with itself."
    if not done.standing.good:
        words += f"\n{sentence_of(done.standing)}\nUntil then it can be read and not written to."
    end(told, words, done.report, as_json=as_json)


def drill(source: Source, folder: Folder = None, keys: Keys = None, key: Key = None, as_json: AsJson = False) -> None:
    """Try whether a backup can be put back, in a passing place."""
    from ledger.keeping.drill import drill as tried  # noqa: PLC0415

    done = tried(source, settings_of(folder, keys), vkey=key, progress=told_while)
    state = done.found.manifest.state
    told = {"from": str(done.found.folder), "size": state.size}
    words = f"The backup {done.found.folder} can be put back: {state.size} entries."
    end(told, words, done.report, as_json=as_json)


def move(
    to: Where,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
    as_json: AsJson = False,
) -> None:
    """Bring the ledger from its folder into a database, or back.

    Photographs stay in the data folder. No server may have it open.
    """
    from ledger.keeping.move import move as moved  # noqa: PLC0415

    settings = settings_of(folder, keys, database=database, collection=collection)
    is_url = "://" in to
    target = replace(settings, database=to if is_url else "", folder=settings.folder if is_url else to)
    done = moved(settings, target, told_while)
    words = f"{done.size} entries are in {target.place} now. Serve them from there, and from nowhere else."
    end({"collection": done.collection, "size": done.size}, words, done.report, as_json=as_json)


def prepare(database: Database = None, owner: Owner = "") -> None:
    """Make tables, guards and the application's role in a database.

    Needed once, and again when a newer program asks for it.
    """
    from ledger.store.postgres_setup import prepare as prepared  # noqa: PLC0415

    if not database or not owner:
        raise ValueError("name the database twice: --database with the application's role, --owner with its owner's")
    prepared(owner, database)
    sys.stdout.write("The database is prepared. Serve it with the same --database.\n")


def end(told: dict[str, object], words: str, report: Report, *, as_json: bool) -> None:
    """What was done, what verifying it came to, and the code of both."""
    if as_json:
        sys.stdout.write(json.dumps({**told, "report": plain_report(report)}) + "\n")
    else:
        sys.stdout.write(f"{words}\n{told_report(report)}")
    raise typer.Exit(0 if report.ok else FINDING)
