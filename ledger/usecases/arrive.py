"""A photograph comes in pieces: it goes on after a cut where it was cut, and is none before it is whole."""

import hashlib
from datetime import timedelta
from typing import Final

from ledger.actor import Actor, Permission
from ledger.arriving import PICTURE_MOST, PIECE_MOST, Partial, PartialsFull
from ledger.errors import ConflictError
from ledger.ports import KeptPicture, Ledger
from ledger.proof.report import MalformedError

__all__ = [
    "KEPT_FOR",
    "add_piece",
    "begin_arrival",
    "how_far",
    "is_here",
    "keep_picture",
    "keep_whole",
    "sweep_partials",
]

KEPT_FOR: Final = timedelta(days=1)
"""How long a file that does not go on is kept."""
_WHAT: Final = "The photograph"


def keep_picture(ledger: Ledger, actor: Actor, data: bytes) -> KeptPicture:
    """A photograph that came whole, kept byte for byte with its clean copy.

    Raises: ForbiddenError; MalformedError for a file that is no picture.
    """
    actor.require(Permission.BENCH)
    return ledger.pictures.keep(data)


def is_here(ledger: Ledger, actor: Actor, sha256: str) -> bool:
    """A file of that digest is kept whole already, so that it need not be sent."""
    actor.require(Permission.BENCH)
    return len(sha256) == hashlib.sha256().digest_size * 2 and ledger.pictures.digest(sha256) == sha256


def begin_arrival(ledger: Ledger, actor: Actor, session: bytes, named: str, size: int) -> Partial:
    """The file that the session began before under that name and size, or a new one.

    Raises: MalformedError for a size that no photograph has; ConflictError where too much is on its way.
    """
    actor.require(Permission.BENCH)
    if not 0 < size <= PICTURE_MOST:
        raise _unfit(f"it has {size} bytes and {PICTURE_MOST} is the most", "Give a smaller file that is not empty.")
    try:
        return ledger.pictures.partials.begin(session, named, size)
    except PartialsFull as error:
        sentence = "Too many files are on their way. Let those that were begun come to their end first."
        raise ConflictError(sentence=sentence) from error


def how_far(ledger: Ledger, actor: Actor, session: bytes, name: str) -> Partial:
    """How much of the file is here.

    Raises: NotFoundError.
    """
    actor.require(Permission.BENCH)
    return ledger.pictures.partials.look(session, name)


def add_piece(  # noqa: PLR0913 - who sends which piece of what
    ledger: Ledger, actor: Actor, session: bytes, name: str, *, offset: int, data: bytes
) -> Partial:
    """The file with one piece more.

    Raises: NotFoundError; ConflictError for a piece that does not begin where the last one ended.
    """
    actor.require(Permission.BENCH)
    if len(data) > PIECE_MOST:
        raise _unfit(f"a piece of it has {len(data)} bytes and {PIECE_MOST} is the most", "Send it in smaller pieces.")
    partial = ledger.pictures.partials.add(session, name, offset, data)
    if partial is None:
        held = ledger.pictures.partials.look(session, name).held
        raise ConflictError(sentence=f"{held} bytes of this file are here. Go on from there, up to its end.")
    return partial


def keep_whole(ledger: Ledger, actor: Actor, session: bytes, name: str, sha256: str = "") -> KeptPicture:
    """The file that has come whole, kept as a photograph; it is then no longer on its way.

    `sha256` is what its sender says it hashes to, empty where they cannot.
    Raises: NotFoundError; ConflictError for one that is not whole; MalformedError for one that is no picture, or is not
    what was sent, and which is then deleted.
    """
    partial = how_far(ledger, actor, session, name)
    if not partial.is_whole:
        raise ConflictError(
            sentence=f"{partial.held} of {partial.size} bytes of this file are here. Send the rest first."
        )
    data = ledger.pictures.partials.read(session, name)
    try:
        if sha256 and hashlib.sha256(data).hexdigest() != sha256:
            raise _unfit("what came is not what was sent", "Choose it again.")
        return ledger.pictures.keep(data)
    finally:
        ledger.pictures.partials.drop(session, name)


def sweep_partials(ledger: Ledger) -> int:
    """How many files were deleted that did not go on for a day."""
    return ledger.pictures.partials.sweep(ledger.clock.now() - KEPT_FOR)


def _unfit(problem: str, mend: str) -> MalformedError:
    return MalformedError(what=_WHAT, problem=problem, mend=mend)
