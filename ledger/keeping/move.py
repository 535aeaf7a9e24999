"""Moves a ledger from one kind of store to the other: the same entries, trees, sealed values, checkpoints and people."""

from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from ledger.actor import Actor
from ledger.adapters.folders import force_folder
from ledger.bootstrap import PICTURES, open_store_to_write, open_to_read
from ledger.errors import ConflictError
from ledger.keeping.backup import Progress, bring, pictures_of
from ledger.manifest import DATABASE_FILE
from ledger.proof.report import Report
from ledger.settings import Settings
from ledger.store.codec import EventCodec
from ledger.store.engine import MOVED
from ledger.store.log import open_log
from ledger.store.transfer import transfer
from ledger.usecases.checkpoint import current
from ledger.usecases.verify import verify_ledger

__all__ = ["Moved", "move"]

_BY = Actor(id="move")


@dataclass(frozen=True, kw_only=True)
class Moved:
    """What was moved, and what verifying it where it is now came to."""

    collection: str
    size: int
    report: Report


def move(settings: Settings, to: Settings, progress: Progress = lambda _what, _done, _all: None) -> Moved:
    """The ledger in its new place; photographs stay in the data folder, and are copied where another one is named.

    Keeps: everything arrives in one transaction, or nothing; a folder's database is put aside under another name only
    when what arrived has been verified.
    Requires: no server writes to it.
    Raises: ConflictError, BusyError, StoreError.
    """
    if bool(settings.database) == bool(to.database):
        raise ConflictError(
            sentence="A ledger moves from a folder to a database, or back. Name the other kind of place."
        )
    with open_to_read(settings) as ledger, ledger.log.read() as reader:
        settings, to = replace(settings, collection=ledger.collection), replace(to, collection=ledger.collection)
        before, pictures = current(reader), pictures_of(ledger)
    if Path(to.folder) != Path(settings.folder):
        bring(Path(settings.folder) / PICTURES, Path(to.folder) / PICTURES, pictures, progress)
    # A folder is opened for writing, so that no server has it open, and nothing is left in its write-ahead log.
    with open_store_to_write(settings) as source, open_store_to_write(replace(to, collection="")) as target:
        with source.snapshot(settings.collection) as connection:
            counted = partial(progress, "entries")
            size = transfer(connection, settings.collection, target, counted)
        open_log(settings.collection, target, EventCodec())
    with open_to_read(to) as ledger:
        with ledger.log.read() as reader:
            after = current(reader)
        report = verify_ledger(ledger, _BY, progress=partial(progress, "entries where it is now"))
    if after != before:
        raise ConflictError(sentence="Another state arrived than was sent: somebody wrote to it meanwhile. Try again.")
    if not settings.database and report.ok:
        (Path(settings.folder) / DATABASE_FILE).rename(Path(settings.folder) / MOVED)
        force_folder(Path(settings.folder))
    return Moved(collection=settings.collection, size=size, report=report)
