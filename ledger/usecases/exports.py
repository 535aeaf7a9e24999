"""Has the whole collection taken out while one does something else: begun, looked at, fetched, taken away."""

from collections.abc import Iterator
from typing import BinaryIO

from ledger.actor import Actor
from ledger.errors import ConflictError, NotFoundError
from ledger.exports import Export, Exports, Outcome
from ledger.makings import Progress
from ledger.ports import Ledger
from ledger.usecases.doorbook import Came, note
from ledger.usecases.record import random_id
from ledger.usecases.take_out import NEEDED, need_passphrase, take_out

__all__ = ["begin_export", "export_named", "export_pieces", "exports_of", "sweep_exports", "take_export_away"]


def begin_export(ledger: Ledger, actor: Actor, *, passphrase: str | None = None) -> Export:
    """The archive that is written from now on; with the signing key where a passphrase is given.

    Raises: ConflictError where another one is under way, or no key is at hand; InvalidError, ForbiddenError.
    """
    actor.require(NEEDED)
    if passphrase is not None:
        need_passphrase(passphrase)
        if not ledger.signer.at_hand:
            sentence = "The key file is not at hand, so the archive cannot carry it. Take it out without."
            raise ConflictError(sentence=sentence)
    export = Export(id=random_id(ledger.chance), begun=ledger.clock.now(), keys=passphrase is not None)

    def work(file: BinaryIO, progress: Progress) -> Outcome:
        made = take_out(ledger, actor, file, passphrase=passphrase, progress=progress)
        head = made.head
        return Outcome(size=made.size, entries=head.state.size, pictures=head.pictures, missing=made.missing)

    if not _exports(ledger).begin(export, work):
        raise ConflictError(sentence="Another archive is being written. Wait until it is done.")
    note(Came.ARCHIVE_BEGUN, who=actor.id)
    return export


def exports_of(ledger: Ledger, actor: Actor) -> list[Export]:
    """Those that are there, the newest first."""
    actor.require(NEEDED)
    return [] if ledger.exports is None else ledger.exports.all()


def export_named(ledger: Ledger, actor: Actor, own: str) -> Export:
    """How far one is.

    Raises: NotFoundError, ForbiddenError.
    """
    actor.require(NEEDED)
    if ledger.exports is None:
        raise NotFoundError(what="archive", name=own)
    return ledger.exports.named(own)


def export_pieces(ledger: Ledger, actor: Actor, own: str) -> Iterator[bytes]:
    """The file of one that is ready, a piece at a time.

    Raises: NotFoundError, ForbiddenError.
    """
    found = export_named(ledger, actor, own)
    pieces = _exports(ledger).pieces(found.id)
    note(Came.ARCHIVE_TAKEN, who=actor.id)
    return pieces


def take_export_away(ledger: Ledger, actor: Actor, own: str) -> None:
    """It lies here no longer; one that is under way is called off.

    Raises: NotFoundError, ForbiddenError.
    """
    _exports(ledger).take_away(export_named(ledger, actor, own).id)


def sweep_exports(ledger: Ledger) -> None:
    """Those that lay here long enough are gone."""
    if ledger.exports is not None:
        ledger.exports.sweep()


def _exports(ledger: Ledger) -> Exports:
    if ledger.exports is None:
        raise ConflictError(sentence="No archive can be made here: this ledger is open for reading only.")
    return ledger.exports
