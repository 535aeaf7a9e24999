"""The original of a photograph and what it tells: for who may read and record here, and for nobody else."""

from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.errors import NotFoundError
from ledger.events.photograph import Photograph
from ledger.ports import Ledger, Told
from ledger.usecases.lay_open import lay_open

__all__ = ["Original", "original_of", "take_original"]


@dataclass(frozen=True, kw_only=True)
class Original:
    """The digest of an original, and what the file tells beside its picture."""

    sha256: str
    told: Told


def original_of(ledger: Ledger, actor: Actor, seq: int) -> Original:
    """What the original of a photograph's entry tells.

    Raises: NotFoundError for an entry of another kind, and where the file is not kept.
    """
    actor.require(Permission.RECORD)
    event = lay_open(ledger, actor, seq).moment.event
    if not isinstance(event, Photograph):
        raise NotFoundError(what="photograph in entry", name=str(seq))
    return Original(sha256=event.original, told=tuple(ledger.pictures.told(event.original)))


def take_original(ledger: Ledger, actor: Actor, original: Original) -> bytes:
    """The file as it came.

    Requires: its reader has seen what it tells.
    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)
    return ledger.pictures.read(original.sha256)
