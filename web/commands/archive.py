"""export and import: a whole collection out into one file, and from one into an empty place."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from web.commands.keeping import end
from web.commands.options import AsJson, Collection, Database, Folder, Key, Keys, settings_of, told_while

__all__ = ["bring", "take"]

To = Annotated[Path, typer.Option("--to", help="File to write; none may be there.")]
WithKeys = Annotated[
    bool, typer.Option("--with-keys", help="The signing key too, under a passphrase that is asked for.")
]
Passphrase = Annotated[
    Path | None,
    typer.Option("--passphrase", help="File with that passphrase, for scripts.", exists=True, dir_okay=False),
]
Source = Annotated[Path, typer.Argument(metavar="FILE", help="An archive.", exists=True, dir_okay=False)]


def take(
    to: To,
    with_keys: WithKeys = False,
    passphrase: Passphrase = None,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
) -> None:
    """Take the whole collection out into one file."""
    from ledger.keeping.take_out import take_out_to  # noqa: PLC0415  (a start loads what it needs)

    settings = settings_of(folder, keys, database=database, collection=collection)
    words = _passphrase(passphrase, new=True) if with_keys else None
    made = take_out_to(settings, to, passphrase=words, progress=told_while)
    sys.stdout.write(f"{made.head.state.size} entries and {made.head.pictures} photographs are in {to}.\n")
    sys.stdout.write(
        "The signing key is in it, under the passphrase.\n" if with_keys else "The signing key is not in it.\n"
    )
    for name in made.missing:
        sys.stdout.write(f"Photograph {name[:8]} is not in it: its file is gone or was changed. Run verify.\n")
    raise typer.Exit(1 if made.missing else 0)


def bring(
    file: Source,
    with_keys: WithKeys = False,
    passphrase: Passphrase = None,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    key: Key = None,
    as_json: AsJson = False,
) -> None:
    """Bring a collection in from an archive, into an empty place."""
    from ledger.keeping.bring_in import bring_in  # noqa: PLC0415
    from ledger.usecases.anchored import sentence_of  # noqa: PLC0415

    words = _passphrase(passphrase, new=False) if with_keys else None
    done = bring_in(file, settings_of(folder, keys, database=database), vkey=key, passphrase=words, progress=told_while)
    head = done.looked.head
    told: dict[str, object] = {
        "size": head.state.size,
        "photographs": head.pictures,
        "key": done.key,
        "signed": done.signed,
        "trusted": done.trusted,
        "against_anchor": done.standing.against.value,
    }
    lines = [f"{head.state.size} entries and {head.pictures} photographs of the archive of {head.made} are put back."]
    if not done.trusted:
        lines.append("No key at hand signed it: that shows only that the archive agrees with itself.")
    if done.key:
        lines.append("The signing key is put back too.")
    elif head.keys:
        lines.append("The signing key is in the archive; to put it back, begin anew with --with-keys.")
    if not done.standing.good:
        lines.append(f"{sentence_of(done.standing)}\nUntil then it can be read and not written to.")
    end(told, "\n".join(lines), done.report, as_json=as_json)


def _passphrase(file: Path | None, *, new: bool) -> str:
    """From a file, or typed; a new one twice."""
    if file is not None:
        return file.read_text("utf-8").splitlines()[0] if file.stat().st_size else ""
    typed: str = typer.prompt("Passphrase", hide_input=True, confirmation_prompt=new, err=True)
    return typed
