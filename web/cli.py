"""The `slipsheet` command: demo, serve, verify, rebuild."""

import json
import os
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Annotated

import platformdirs
import typer

from ledger.errors import LedgerError
from ledger.proof.report import Evidence, Report
from ledger.settings import Settings

FINDING = 1
USAGE = 2
NAME = "slipsheet"

app = typer.Typer(
    name=NAME,
    help="A collection catalogue and provenance ledger for vintage comic books.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

Folder = Annotated[
    Path | None,
    typer.Option(
        "--folder", envvar="SLIPSHEET_FOLDER", help="Data folder; left out, where this system keeps such things."
    ),
]
Keys = Annotated[Path | None, typer.Option("--keys", envvar="SLIPSHEET_KEYS", help="Folder of the signing key.")]
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
Anchor = Annotated[
    Path | None, typer.Option("--anchor", help="A checkpoint that was kept elsewhere.", exists=True, dir_okay=False)
]


@app.command()
def demo(folder: Folder = None, port: Port = 0, as_json: AsJson = False) -> None:
    """Run a told collection of invented books.

    It is gone with Ctrl-C, unless a folder is named for it.
    """
    from seeds.demo import open_demo  # noqa: PLC0415  (a start loads what it needs)
    from web.door import Door  # noqa: PLC0415
    from web.serving import listen, people_of, run  # noqa: PLC0415

    with ExitStack() as stack:
        stack.enter_context(_until_told_to_stop())
        place = folder or Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="slipsheet-demo-")))
        settings = Settings.read({}, folder=str(place), port=port)
        opened = stack.enter_context(open_demo(settings))
        listening = stack.enter_context(listen(settings))
        door = Door.made(people_of(opened.ledger).clock, password_optional=True)
        told = {"url": listening.url, "token": opened.token, "sign_in": listening.url + door.path}
        words = (
            f"The demo is at {listening.url}\nSign in once: {told['sign_in']}\nAPI token, ends with it: {opened.token}"
        )
        _announce(told, words, as_json=as_json)
        run(opened.ledger, settings, listening, door)


@app.command()
def serve(  # noqa: PLR0913
    folder: Folder = None,
    keys: Keys = None,
    port: Port = None,
    host: Host = None,
    forgotten: Forgotten = False,
    lost_key: LostKey = False,
    as_json: AsJson = False,
) -> None:
    """Serve your own collection."""
    from ledger.bootstrap import open_ledger  # noqa: PLC0415
    from web.door import Door  # noqa: PLC0415
    from web.serving import listen, people_of, run  # noqa: PLC0415

    settings = _settings(folder, keys, port=port, host=host)
    with ExitStack() as stack:
        stack.enter_context(_until_told_to_stop())
        ledger = stack.enter_context(open_ledger(settings, lost_key=lost_key))
        listening = stack.enter_context(listen(settings))
        door = Door.first(people_of(ledger), forgotten=forgotten)
        told, words = {"url": listening.url}, f"Your collection is at {listening.url}"
        if door.path:
            told["sign_in"] = listening.url + door.path
            words += f"\nOpen this once, within the hour, and set your password: {told['sign_in']}"
        _announce(told, words, as_json=as_json)
        run(ledger, settings, listening, door)


@app.command()
def verify(
    folder: Folder = None, keys: Keys = None, anchor: Anchor = None, key: Key = None, as_json: AsJson = False
) -> None:
    """Read every entry again and say what is wrong.

    A checkpoint that was kept elsewhere shows what nothing else can: entries cut from the end, an old copy put back.
    """
    from ledger.actor import Actor  # noqa: PLC0415
    from ledger.bootstrap import open_to_read  # noqa: PLC0415
    from ledger.usecases.verify import verify_ledger  # noqa: PLC0415

    # What is no text is no checkpoint either, and the report says so.
    note = anchor.read_text(encoding="utf-8", errors="replace") if anchor else None
    with open_to_read(_settings(folder, keys), vkey=key) as ledger:
        report = verify_ledger(ledger, Actor(id="verifier"), anchor=note, progress=_progress)
    if as_json:
        sys.stdout.write(json.dumps(_plain(report)) + "\n")
    else:
        sys.stdout.write(_told(report))
    raise typer.Exit(0 if report.ok else FINDING)


@app.command()
def rebuild(folder: Folder = None, keys: Keys = None) -> None:
    """Make every list anew from the entries.

    Guards that were taken from the database are put back. The server must not be running.
    """
    from ledger.bootstrap import open_ledger  # noqa: PLC0415

    with open_ledger(_settings(folder, keys), make=False, mend=True) as ledger:
        count = ledger.log.rebuild()
    sys.stdout.write(f"Rebuilt the lists of {count} {'book' if count == 1 else 'books'} from their entries.\n")


def main() -> None:
    """The command, with what the ledger refuses told in one sentence.

    Exits 0 when all is well, 1 for a finding or a refusal, 2 for wrong usage.
    """
    try:
        app(prog_name=NAME)
    except LedgerError as error:
        sys.stderr.write(f"{NAME}: {error}\n")
        sys.exit(FINDING)
    except OSError as error:
        sys.stderr.write(f"{NAME}: {error.filename or 'a file'}: {error.strerror or error}\n")
        sys.exit(FINDING)
    except ValueError as error:
        sys.stderr.write(f"{NAME}: {error}\n")
        sys.exit(USAGE)


def _settings(folder: Path | None, keys: Path | None, **options: object) -> Settings:
    """From the environment and the options; folders default to where this system keeps such things."""
    data = Path(platformdirs.user_data_dir(NAME, appauthor=False))
    conf = Path(platformdirs.user_config_dir(NAME, appauthor=False)) / "keys"
    said = {name: text for name, text in os.environ.items() if text}
    given = {"SLIPSHEET_FOLDER": str(data), "SLIPSHEET_KEYS": str(conf), **said}
    named = {name: str(path) for name, path in (("folder", folder), ("keys", keys)) if path is not None}
    return Settings.read(given, **named, **options)


@contextmanager
def _until_told_to_stop() -> Iterator[None]:
    """Ctrl-C and a request to end are a good end: all that was opened is closed, and a throw-away folder is gone."""

    def end(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, end)
    try:
        yield
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
    finally:
        signal.signal(signal.SIGTERM, before)


def _announce(told: dict[str, str], words: str, *, as_json: bool) -> None:
    sys.stdout.write((json.dumps(told) if as_json else words) + "\n")
    sys.stdout.flush()


def _progress(done: int, expected: int) -> None:
    if sys.stderr.isatty() and (done % 1000 == 0 or done == expected):
        sys.stderr.write(f"\r{done} of {expected} entries" + ("\n" if done == expected else ""))


def _told(report: Report) -> str:
    """The report in plain sentences."""
    lines = [
        f"{'needs an anchor to be seen: ' if each.evidence is Evidence.ANCHOR else ''}{each.sentence}"
        for each in report.findings
    ]
    looked = ", ".join(f"{number} {what}" for what, number in report.checked.items())
    lines += [f"Looked at: {looked or 'nothing'}.", *report.notes]
    lines.append("Whole: nothing was found." if report.ok else f"Findings: {len(report.findings)}.")
    return "\n".join(lines) + "\n"


def _plain(report: Report) -> dict[str, object]:
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


if __name__ == "__main__":
    main()
