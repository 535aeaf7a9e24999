"""Restore: a backup looked through whole, then put into an empty place, on either kind of store."""

import tempfile
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from ledger.actor import Actor
from ledger.adapters.clock import SystemClock
from ledger.adapters.folders import make_folder
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.adapters.whole_files import copy_whole, digest_of
from ledger.bootstrap import PICTURES, key_at_hand, open_store_to_read, open_store_to_write, open_to_read
from ledger.errors import ConflictError
from ledger.keeping.backup import MANIFEST, UNFINISHED, Progress
from ledger.manifest import DATABASE_FILE, Manifest, parse
from ledger.proof.checkpoint import collection_of
from ledger.proof.report import Report
from ledger.proof.signature import UnsignedError, open_note, parse_vkey
from ledger.settings import Settings
from ledger.store.care import SqlCare
from ledger.store.codec import EventCodec
from ledger.store.log import open_log
from ledger.store.transfer import transfer
from ledger.upkeep import PutBack
from ledger.usecases.anchored import Against, Standing, standing
from ledger.usecases.checkpoint import current, named_keys
from ledger.usecases.import_kept import put_away_lost
from ledger.usecases.verify import verify_ledger

__all__ = ["Found", "Restored", "look_through", "restore"]

_BY = Actor(id="restore")


@dataclass(frozen=True, kw_only=True)
class Found:
    """A backup that is whole: where it lies, what its manifest says, and how far its signature can be trusted."""

    folder: Path
    manifest: Manifest
    trusted: bool
    """The key at hand signed it, and not only one that the backup names itself."""

    @property
    def collection(self) -> str:
        """Whose it is."""
        return collection_of(self.manifest.state.origin)

    def path(self, name: str) -> Path:
        """Where a file of it lies: photographs beside all backups, the rest in its own folder."""
        return (self.folder.parent if name.startswith(f"{PICTURES}/") else self.folder) / name


@dataclass(frozen=True, kw_only=True)
class Restored:
    """What was put back, what verifying it came to, and how it stands to the anchor."""

    found: Found
    report: Report
    standing: Standing


def look_through(
    source: Path, settings: Settings, *, vkey: str | None = None, progress: Progress = lambda _what, _done, _all: None
) -> Found:
    """The backup in a folder, or the newest below it, every file of it read and hashed again.

    Raises: ConflictError, MalformedError, OSError.
    """
    folder = _newest(source)
    note = (folder / MANIFEST).read_text("utf-8", errors="replace")
    manifest = parse(_text_of(note))
    found = Found(folder=folder, manifest=manifest, trusted=False)
    for number, each in enumerate(manifest.files, start=1):
        path = found.path(each.name)
        if not path.is_file():
            raise _not_whole(found, f"{path} is missing")
        if path.stat().st_size != each.size or digest_of(path) != each.sha256:
            raise _not_whole(found, f"{path} was changed")
        progress("files of the backup", number, len(manifest.files))
    return replace(found, trusted=_signed(found, note, settings, vkey))


def restore(
    source: Path, settings: Settings, *, vkey: str | None = None, progress: Progress = lambda _what, _done, _all: None
) -> Restored:
    """The backup put into the empty place that the settings name, and verified there.

    Keeps: photographs come first and the database last, so a restore that does not come to its end leaves no ledger.
    A ledger that is behind its anchor, or that has none at hand, is not written to until its owner confirms.
    Raises: ConflictError, MalformedError, StoreError, OSError.
    """
    found = look_through(source, settings, vkey=vkey, progress=progress)
    folder = Path(settings.folder)
    _need_empty(folder)
    make_folder(folder, mode=0o700)
    names = [each.name for each in found.manifest.files if each.name != DATABASE_FILE]
    for number, name in enumerate(names, start=1):
        copy_whole(found.path(name), folder / name)
        progress("photographs", number, len(names))
    FileUpkeep(folder).note(
        put_back=PutBack(when=SystemClock().now(), made=found.manifest.made, size=found.manifest.state.size)
    )
    _put_database(found, settings, progress)
    return _looked_at(found, replace(settings, collection=found.collection), vkey, progress)


def _looked_at(found: Found, settings: Settings, vkey: str | None, progress: Progress) -> Restored:
    with open_to_read(settings, vkey=vkey) as ledger:
        with ledger.log.read() as reader:
            state = current(reader)
        if state != found.manifest.state:
            raise ConflictError(sentence="What was put back is not what the manifest says. Do not use it; try again.")
        anchor = ledger.anchor.read() if ledger.anchor is not None else None
        report = verify_ledger(ledger, _BY, progress=partial(progress, "entries put back"))
        stands = standing(ledger)
        if anchor is not None and stands.against is Against.COVERED and ledger.upkeep is not None:
            ledger.upkeep.note(put_back=None)
    return Restored(found=found, report=report, standing=stands)


def _put_database(found: Found, settings: Settings, progress: Progress) -> None:
    database = found.path(DATABASE_FILE)
    if not settings.database:
        copy_whole(database, Path(settings.folder) / DATABASE_FILE)
        return
    with tempfile.TemporaryDirectory(prefix="slipsheet-restore-") as passing:
        copy_whole(database, Path(passing) / DATABASE_FILE)
        here = Settings(folder=passing, keys=settings.keys, collection=found.collection)
        with (
            open_store_to_read(here) as (source, name),
            open_store_to_write(settings) as target,
            source.snapshot(name) as connection,
        ):
            transfer(connection, name, target, partial(progress, "entries"))
            open_log(name, target, EventCodec())
            put_away_lost(SqlCare(name, target))


def _newest(source: Path) -> Path:
    if (source / MANIFEST).is_file():
        return source
    whole = sorted(each.parent for each in source.glob(f"*/{MANIFEST}") if not each.parent.name.startswith(UNFINISHED))
    if not whole:
        sentence = f"There is no backup with a manifest in {source}. Name the folder that backups were written to."
        raise ConflictError(sentence=sentence)
    return whole[-1]


def _need_empty(folder: Path) -> None:
    if (folder / DATABASE_FILE).exists() or (folder / PICTURES).exists():
        raise ConflictError(
            sentence=f"There is something in {folder} already. Name a folder that is empty or not there."
        )


def _text_of(note: str) -> str:
    return note.split("\n\n", 1)[0] + "\n"


def _signed(found: Found, note: str, settings: Settings, vkey: str | None) -> bool:
    """Whether the key at hand signed the manifest; one that only the backup itself names is taken, and told.

    Raises: ConflictError where neither did.
    """
    at_hand = parse_vkey(vkey) if vkey else key_at_hand(settings, found.collection)
    try:
        if at_hand is not None:
            open_note(note, [at_hand])
            return True
    except UnsignedError:
        if vkey:
            raise ConflictError(sentence="The manifest was not signed by the key that was named.") from None
    inside = Settings(folder=str(found.folder), keys=settings.keys, collection=found.collection)
    with open_to_read(inside, pictures=found.folder.parent / PICTURES) as ledger, ledger.log.read() as reader:
        try:
            open_note(note, named_keys(ledger, reader))
        except UnsignedError:
            sentence = "The manifest was signed neither by the key at hand nor by one that this ledger names."
            raise ConflictError(sentence=sentence) from None
    return False


def _not_whole(found: Found, what: str) -> ConflictError:
    return ConflictError(sentence=f"The backup {found.folder} is not whole: {what}. Nothing was put back.")
