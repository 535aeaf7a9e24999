"""Brings a whole collection in from an archive, into an empty place, once every byte of the file was looked at."""

import secrets
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Final

from ledger.actor import Actor
from ledger.adapters.clock import SystemClock
from ledger.adapters.folders import force_folder, make_folder
from ledger.adapters.key_case import LockedCase
from ledger.adapters.keys import key_file, key_path, need_outside, read_key, signer_of, write_key
from ledger.adapters.upkeep_file import FileUpkeep
from ledger.adapters.whole_files import force_file
from ledger.archive.layout import KEYS, picture_path
from ledger.archive.reading import Looked, look_through
from ledger.bootstrap import PICTURES, key_at_hand, open_store_to_write, open_to_read
from ledger.errors import ConflictError, MalformedError, UnansweredError
from ledger.events.key import Key
from ledger.keeping.backup import UNFINISHED, Progress
from ledger.key_paper import seed_of
from ledger.manifest import DATABASE_FILE
from ledger.ports import Reader
from ledger.proof.envelope import Envelope
from ledger.proof.report import Report
from ledger.proof.signature import UnsignedError, VerifierKey, open_note, parse_vkey
from ledger.settings import Settings
from ledger.store.care import SqlCare
from ledger.store.carried import known_columns, put_back
from ledger.store.codec import EventCodec
from ledger.store.log import collections
from ledger.upkeep import PutBack
from ledger.usecases.anchored import Against, Standing, standing
from ledger.usecases.checkpoint import current
from ledger.usecases.import_kept import put_away_lost
from ledger.usecases.verify import verify_ledger

__all__ = ["BroughtIn", "bring_in"]

_BY: Final = Actor(id="import")
_QUIET: Final[Progress] = lambda _what, _done, _all: None  # noqa: E731 - a default that says nothing


@dataclass(frozen=True, kw_only=True)
class BroughtIn:
    """What was brought in: how far its signature can be trusted, what verifying it came to, how it stands to the anchor."""

    looked: Looked
    trusted: bool
    """The key at hand signed it, and not only one that the archive names itself."""
    signed: bool
    key: bool
    """The signing key was put back as well."""
    report: Report
    standing: Standing


def bring_in(
    file: Path,
    settings: Settings,
    *,
    vkey: str | None = None,
    passphrase: str | None = None,
    progress: Progress = _QUIET,
) -> BroughtIn:
    """The archive put into the empty place that the settings name, and verified there; its key too, given a passphrase.

    Keeps: nothing is written before all of the file was looked at; what does not come to its end leaves nothing behind.
    A ledger that is behind its anchor, or that has none at hand, is not written to until its owner confirms.
    Raises: ConflictError, MalformedError, StoreError, OSError.
    """
    need_empty(settings)
    with file.open("rb") as reading:
        length = file.stat().st_size
        looked = look_through(reading, length, known_columns(), partial(progress, "bytes of the archive"))
        trusted = _need_signed(looked, settings, vkey)
        secret = _secret(looked, settings, passphrase)
        with ExitStack() as undo, _unless_unanswered(undo):
            if secret is not None:
                _put_key(secret, key_path(Path(settings.keys), looked.head.collection), undo)
            _put(looked, settings, progress, undo)
            undo.pop_all()
    here = replace(settings, collection=looked.head.collection)
    with open_to_read(here, vkey=vkey) as ledger:
        report = verify_ledger(ledger, _BY, progress=partial(progress, "entries brought in"))
        stands = standing(ledger)
        if stands.against is Against.COVERED and ledger.anchor is not None and ledger.anchor.read() is not None:
            FileUpkeep(Path(settings.folder)).note(put_back=None)
    return BroughtIn(
        looked=looked,
        trusted=trusted,
        signed=looked.note is not None,
        key=secret is not None,
        report=report,
        standing=stands,
    )


def need_empty(settings: Settings) -> None:
    """There is no ledger where the archive goes.

    Raises: ConflictError, StoreError.
    """
    folder = Path(settings.folder)
    if (folder / DATABASE_FILE).exists() or (folder / PICTURES).exists():
        sentence = f"There is something in {folder} already. Name a folder that is empty or not there, with --folder."
        raise ConflictError(sentence=sentence)
    if settings.database:
        with open_store_to_write(settings) as store:
            there = collections(store)
        if there:
            sentence = f"The database has a collection already: {there[0]}. Name an empty one, with --database."
            raise ConflictError(sentence=sentence)


def _need_signed(looked: Looked, settings: Settings, vkey: str | None) -> bool:
    """Whether the key at hand signed it; one that only the archive itself names, or none at all, is taken, and told.

    Raises: ConflictError where a signature does not hold, or is not that of the key that was named.
    """
    at_hand = parse_vkey(vkey) if vkey else key_at_hand(settings, looked.head.collection)
    if looked.note is None:
        if vkey:
            raise ConflictError(sentence="The archive is not signed, so the key that was named says nothing of it.")
        return False
    if at_hand is not None and _holds(looked, [at_hand]):
        return True
    if vkey:
        raise ConflictError(sentence="The archive was not signed by the key that was named. Nothing was put back.")
    if not _holds(looked, _keys_in(looked)):
        sentence = "The archive was signed neither by the key at hand nor by one that its own entries name."
        raise ConflictError(sentence=f"{sentence} Nothing was put back.")
    return False


def _holds(looked: Looked, keys: list[VerifierKey]) -> bool:
    """One of these keys signed it, and signed what was found in it.

    Raises: ConflictError, MalformedError.
    """
    assert looked.note is not None
    try:
        text = open_note(looked.note, keys).text
    except UnsignedError:
        return False
    if text != looked.to_sign:
        sentence = "The signed statement of the archive is about other files than are in it. Nothing was put back."
        raise ConflictError(sentence=sentence)
    return True


def _keys_in(looked: Looked) -> list[VerifierKey]:
    """The keys that the entries themselves name."""
    found = []
    for data in looked.entries():
        # A look at the bytes first: reading every entry anew would take as long as all the rest.
        said = Envelope.from_bytes(data) if Key.kind.encode() in data else None
        vkey = said.body.get("vkey") if said is not None and said.kind == Key.kind else None
        if isinstance(vkey, str):
            with suppress(MalformedError):
                found.append(parse_vkey(vkey))
    return found


def _secret(looked: Looked, settings: Settings, passphrase: str | None) -> bytes | None:
    """The seed of the key that is put back; None where none is.

    Raises: ConflictError for another passphrase, where there is no key in it, or where another one is at hand.
    """
    if passphrase is None:
        return None
    collection, keys = looked.head.collection, Path(settings.keys)
    if KEYS not in looked.held:
        raise ConflictError(sentence="There is no key in this archive. Bring it in without one.")
    _, *lines = LockedCase().opened(collection, looked.held[KEYS], passphrase).splitlines()
    seed = seed_of(lines)
    need_outside(keys, Path(settings.folder))
    path = key_path(keys, collection)
    if path.exists() and signer_of(collection, read_key(path)).verifier != signer_of(collection, seed).verifier:
        raise ConflictError(
            sentence=f"Another key lies in {path}. Move it away, or bring the archive in without its key."
        )
    return seed


@contextmanager
def _unless_unanswered(undo: ExitStack) -> Iterator[None]:
    """What was put is taken out again when the rest fails, unless a database may have kept its part."""
    try:
        yield
    except UnansweredError:
        undo.pop_all()
        raise


def _put_key(secret: bytes, path: Path, undo: ExitStack) -> None:
    """The key is on the disk before the collection that needs it."""
    if not path.exists():
        undo.callback(path.unlink, missing_ok=True)
        write_key(path, key_file(secret))


def _put(looked: Looked, settings: Settings, progress: Progress, undo: ExitStack) -> None:
    """Photographs first and the database last, so that whatever has a database is whole."""
    folder = Path(settings.folder)
    if not folder.exists():
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
    make_folder(folder, mode=0o700)
    draft = folder / f"{UNFINISHED}{secrets.token_hex(8)}"
    undo.callback(shutil.rmtree, draft, ignore_errors=True)
    make_folder(draft, mode=0o700)
    _put_pictures(looked, draft / PICTURES, progress)
    if not settings.database:
        _put_rows(looked, replace(settings, folder=str(draft)), progress)
        force_file(draft / DATABASE_FILE)
    undo.callback(shutil.rmtree, folder / PICTURES, ignore_errors=True)
    undo.callback(FileUpkeep(folder).note, put_back=None)
    _name(draft / PICTURES, folder / PICTURES)
    _note(looked, folder)
    if settings.database:
        # The database becomes whole in its one transaction, so all else lies there before it.
        _put_rows(looked, settings, progress)
    else:
        undo.callback((folder / DATABASE_FILE).unlink, missing_ok=True)
        _name(draft / DATABASE_FILE, folder / DATABASE_FILE)
    shutil.rmtree(draft, ignore_errors=True)


def _note(looked: Looked, folder: Path) -> None:
    """It came out of an archive, and its owner has not yet said that it goes on from there."""
    at = SystemClock().now()
    FileUpkeep(folder).note(put_back=PutBack(when=at, made=looked.head.made, size=looked.head.state.size))


def _put_pictures(looked: Looked, folder: Path, progress: Progress) -> None:
    make_folder(folder, mode=0o700)
    names = looked.pictures
    for number, name in enumerate(names, start=1):
        path = folder / name[:2] / name
        make_folder(path.parent)
        with path.open("xb") as file:
            for piece in looked.pieces(picture_path(name)):
                file.write(piece)
        force_file(path)
        progress("photographs", number, len(names))


def _put_rows(looked: Looked, settings: Settings, progress: Progress) -> None:
    def check(reader: Reader) -> None:
        if current(reader) != looked.head.state:
            raise ConflictError(sentence="What was put back has other roots than the archive says. Nothing was kept.")

    def counted(done: int) -> None:
        progress("entries", done, looked.head.state.size)

    with open_store_to_write(replace(settings, collection="")) as store:
        put_back(store, looked.head.collection, looked, EventCodec(), check, counted)
        put_away_lost(SqlCare(looked.head.collection, store))


def _name(draft: Path, path: Path) -> None:
    draft.rename(path)
    force_folder(path.parent)
