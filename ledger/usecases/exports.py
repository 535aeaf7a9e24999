"""Has the whole collection taken out while one does something else."""

from collections.abc import Iterator
from typing import BinaryIO, Final

from ledger.actor import Actor
from ledger.errors import ConflictError
from ledger.exports import Export, Outcome
from ledger.makings import Progress
from ledger.ports import Ledger
from ledger.usecases.doorbook import Came, note
from ledger.usecases.made import Made
from ledger.usecases.record import random_id
from ledger.usecases.take_out import NEEDED, need_passphrase, take_out

__all__ = ["EXPORTS", "begin_export", "export_pieces"]

EXPORTS: Final = Made[Export, Outcome](sort="archive", needed=NEEDED, of=lambda ledger: ledger.exports)
"""Those that lie here."""


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

    EXPORTS.begin(ledger, export, work)
    note(Came.ARCHIVE_BEGUN, who=actor.id)
    return export


def export_pieces(ledger: Ledger, actor: Actor, own: str) -> Iterator[bytes]:
    """The file of one that is ready, a piece at a time; that it was taken is noted.

    Raises: NotFoundError, ForbiddenError.
    """
    pieces = EXPORTS.pieces(ledger, actor, own)
    note(Came.ARCHIVE_TAKEN, who=actor.id)
    return pieces
