"""Backup: the database as it is at one moment, the photographs, and a signed manifest of both; the copy is verified."""

import secrets
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Final

from ledger.actor import Actor
from ledger.adapters.folders import force_folder, make_folder
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.adapters.whole_files import copy_whole, digest_of, force_file, write_whole
from ledger.bootstrap import PICTURES, open_ledger, open_store_to_read, open_to_read
from ledger.errors import ConflictError, LedgerError, NotFoundError
from ledger.events.photograph import Photograph
from ledger.manifest import DATABASE_FILE, KeptFile, Manifest
from ledger.ports import Ledger
from ledger.proof.report import Report
from ledger.settings import Settings
from ledger.store.migrations import VERSION
from ledger.store.snapshot import copy_to
from ledger.upkeep import Done
from ledger.usecases.audit_records import received_pictures
from ledger.usecases.browse import prospect_pictures
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.stored import readable
from ledger.usecases.verify import verify_ledger

__all__ = ["MANIFEST", "UNFINISHED", "Backup", "back_up", "bring", "picture_file", "pictures_of", "sign_what_is_there"]

MANIFEST: Final = "manifest.txt"
UNFINISHED: Final = ".unfinished-"
"""Begins the name of the folder of a backup that is under way, or that did not come to its end."""

_BY: Final = Actor(id="backup")

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, kw_only=True)
class Backup:
    """A backup that was made: where it lies, what it holds, and what verifying the copy came to."""

    folder: Path
    made: datetime
    size: int
    pictures: int
    new_pictures: int
    report: Report


def back_up(settings: Settings, destination: Path, progress: Progress = lambda _what, _done, _all: None) -> Backup:
    """A copy of the whole ledger in a folder of its own under the destination, beside a server that goes on writing.

    A checkpoint is signed first where no server holds the folder; a server signs by itself. Photographs lie beside all
    backups of one destination, so that each is copied once.
    Keeps: what does not come to its end leaves no backup behind, and none that was there before is touched.
    Raises: ConflictError, StoreError, OSError.
    """
    _refuse_inside(settings, destination)
    sign_what_is_there(settings)
    with open_to_read(settings) as ledger:
        if ledger.key_claimed:
            raise ConflictError(
                sentence="A backup is signed, and the key file is not at hand. Name its folder with --keys."
            )
        make_folder(destination, mode=0o700)
        draft = destination / f"{UNFINISHED}{secrets.token_hex(8)}"
        try:
            make_folder(draft, mode=0o700)
            made = _finish(_made(settings, ledger, destination, draft, progress), draft)
        except BaseException:
            shutil.rmtree(draft, ignore_errors=True)
            raise
    done = Done(when=made.made, place=str(made.folder), size=made.size, whole=made.report.ok)
    FileUpkeep(Path(settings.folder)).note(backup=done)
    return made


def sign_what_is_there(settings: Settings) -> None:
    """A checkpoint over it, so that the anchor goes as far as the copy; where that cannot be, the copy is made all the same."""
    with suppress(LedgerError, OSError), open_ledger(settings, make=False) as ledger:
        sign_checkpoint(ledger, _BY)


def _made(settings: Settings, ledger: Ledger, destination: Path, draft: Path, progress: Progress) -> Backup:
    now = ledger.clock.now()
    with open_store_to_read(settings) as (store, name):
        database = copy_to(store, name, draft, partial(progress, "database"))
    force_file(database)
    pictures = destination / PICTURES
    copied = Settings(folder=str(draft), keys=settings.keys, collection=ledger.collection)
    with open_to_read(copied, pictures=pictures) as copy:
        names = pictures_of(copy)
        new = bring(Path(settings.folder) / PICTURES, pictures, names, progress)
        with copy.log.read() as reader:
            state = current(reader)
        files = [_file(DATABASE_FILE, database)]
        files += [
            _file(picture_file(name), _lying(pictures, name)) for name in names if _lying(pictures, name).exists()
        ]
        made = f"{now:%Y-%m-%dT%H:%M:%S.%fZ}"
        manifest = Manifest(made=made, store=VERSION, state=state, files=tuple(files))
        write_whole(draft / MANIFEST, ledger.signer.sign(manifest.to_text()).encode())
        report = verify_ledger(
            copy, _BY, progress=lambda done, expected: progress("entries of the copy", done, expected)
        )
    folder = destination / f"{now:%Y-%m-%dT%H%M%S}Z"
    return Backup(folder=folder, made=now, size=state.size, pictures=len(names), new_pictures=new, report=report)


def _finish(made: Backup, draft: Path) -> Backup:
    """Its own name only now, so that whatever has one is whole."""
    if made.folder.exists():
        raise ConflictError(sentence=f"There is a backup {made.folder} already. Take the next one a second later.")
    draft.rename(made.folder)
    force_folder(made.folder.parent)
    return made


def _refuse_inside(settings: Settings, destination: Path) -> None:
    data, keys, to = (Path(each).resolve() for each in (settings.folder, settings.keys, destination))
    if to.is_relative_to(data) or to.is_relative_to(keys):
        sentence = (
            f"{destination} lies inside the data or the key folder, and would be lost with it. Name another folder."
        )
        raise ConflictError(sentence=sentence)


def picture_file(name: str) -> str:
    """Where a photograph lies in a backup."""
    return f"{PICTURES}/{name[:2]}/{name}"


def _lying(folder: Path, name: str) -> Path:
    return folder / name[:2] / name


def pictures_of(ledger: Ledger) -> list[str]:
    """The digests of every photograph that the entries name, original and clean copy, and of what lies beside them.

    Received records have photographs of their own, prospects the pictures of their listings.
    """
    with ledger.log.read() as reader:
        events = [entry.event for entry in readable(reader, Photograph.kind)]
    names = {name for each in events if isinstance(each, Photograph) for name in (each.original, each.clean)}
    return sorted(names | received_pictures(ledger) | prospect_pictures(ledger))


def bring(source: Path, target: Path, names: list[str], progress: Progress) -> int:
    """How many were copied: those that are not there yet, or are there with other bytes.

    What is missing or changed at the source is left to the verification of the copy to tell.
    """
    copied = 0
    for number, name in enumerate(names, start=1):
        path, own = _lying(target, name), _lying(source, name)
        if not (path.exists() and digest_of(path) == name) and own.exists():
            copy_whole(own, path)
            copied += 1
        progress("photographs", number, len(names))
    return copied


def _file(name: str, path: Path) -> KeptFile:
    try:
        return KeptFile(name=name, sha256=digest_of(path), size=path.stat().st_size)
    except FileNotFoundError as error:
        raise NotFoundError(what="file", name=str(path)) from error
