"""Options that several commands share, and the settings they come to."""

import json
import os
import sys
from pathlib import Path
from typing import Annotated, Final

import platformdirs
import typer

from ledger.settings import Settings

__all__ = [
    "NAME",
    "Anchor",
    "AsJson",
    "Authority",
    "Collection",
    "Database",
    "Folder",
    "Forgotten",
    "Host",
    "Key",
    "Keys",
    "LostKey",
    "Phone",
    "Port",
    "announce",
    "settings_of",
    "told_while",
]

NAME: Final = "slipsheet"

Folder = Annotated[
    Path | None,
    typer.Option(
        "--folder", envvar="SLIPSHEET_FOLDER", help="Data folder; left out, where this system keeps such things."
    ),
]
Keys = Annotated[Path | None, typer.Option("--keys", envvar="SLIPSHEET_KEYS", help="Folder of the signing key.")]
Database = Annotated[
    str | None,
    typer.Option(
        "--database", envvar="SLIPSHEET_DATABASE", show_envvar=False, help="Database on a server, by its URL."
    ),
]
Collection = Annotated[
    str | None,
    typer.Option("--collection", envvar="SLIPSHEET_COLLECTION", help="Which of several in one database."),
]
Port = Annotated[int | None, typer.Option("--port", min=0, max=65535, help="Port; 0 takes a free one.")]
Host = Annotated[str | None, typer.Option("--host", help="Address to listen on; loopback unless you say otherwise.")]
AsJson = Annotated[bool, typer.Option("--json", help="First print one line of JSON, for scripts.")]
Key = Annotated[str | None, typer.Option("--key", help="Verifier key to check with, when the key file is elsewhere.")]
Forgotten = Annotated[
    bool, typer.Option("--new-password", help="Print a link that ends a forgotten password and lets you set another.")
]
LostKey = Annotated[
    bool, typer.Option("--lost-key", help="Open without the key file, so that a new signing key can be started.")
]
Phone = Annotated[
    str | None, typer.Option("--phone", help="Show a code that lets a phone of this name in to do bench work.")
]
Anchor = Annotated[
    Path | None, typer.Option("--anchor", help="A checkpoint that was kept elsewhere.", exists=True, dir_okay=False)
]
Authority = Annotated[
    Path | None,
    typer.Option("--authority", help="Certificate (PEM) of who stamps time.", exists=True, dir_okay=False),
]


def settings_of(folder: Path | None, keys: Path | None, **options: object) -> Settings:
    """From the environment and the options; folders default to where this system keeps such things."""
    data = Path(platformdirs.user_data_dir(NAME, appauthor=False))
    conf = Path(platformdirs.user_config_dir(NAME, appauthor=False)) / "keys"
    said = {name: text for name, text in os.environ.items() if text}
    given = {"SLIPSHEET_FOLDER": str(data), "SLIPSHEET_KEYS": str(conf), **said}
    named = {name: str(path) for name, path in (("folder", folder), ("keys", keys)) if path is not None}
    return Settings.read(given, **named, **options)


def announce(told: dict[str, str], words: str, *, as_json: bool) -> None:
    """What the command says first: one line of JSON, or words."""
    sys.stdout.write((json.dumps(told) if as_json else words) + "\n")
    sys.stdout.flush()


def told_while(what: str, done: int, expected: int) -> None:
    """How far long work has come, to somebody who looks on."""
    if sys.stderr.isatty() and (done % 1000 == 0 or done >= expected):
        sys.stderr.write(f"\r{done} of {expected} {what}" + ("\n" if done >= expected else ""))
