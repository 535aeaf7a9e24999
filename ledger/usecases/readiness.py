"""Readiness: whether a ledger is safe to go on with, in a few answers that a person or a watchman can ask for."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import LedgerError
from ledger.held import HeldLog
from ledger.ports import Ledger
from ledger.usecases.anchored import sentence_of, standing

__all__ = ["LEAST_FREE", "SIGNED_WITHIN", "Answer", "Readiness", "readiness"]

SIGNED_WITHIN: Final = timedelta(hours=36)
"""A checkpoint is signed once a day; half a day more is no sign of trouble."""
BACKED_UP_WITHIN: Final = timedelta(days=8)
"""A week and a day. Our assumption: who backs up less often would rather be told."""
LEAST_FREE: Final = 1024 * 1024 * 1024
"""Bytes of room on the disk: a few hundred photographs. Our assumption."""


@dataclass(frozen=True)
class Answer:
    """One question about the ledger, whether all is well, and what mends it where it is not."""

    name: str
    well: bool
    sentence: str


@dataclass(frozen=True)
class Readiness:
    """All answers."""

    answers: tuple[Answer, ...]

    @property
    def ready(self) -> bool:
        """All is well."""
        return all(each.well for each in self.answers)


def readiness(ledger: Ledger, actor: Actor) -> Readiness:
    """Whether it can be written to, is signed, has room, is backed up, and goes as far as its anchor.

    Raises: ForbiddenError.
    """
    actor.require(Permission.READ)
    asked = (_writable, _signed, _room, _backed_up, _tried, _anchored)
    return Readiness(tuple(each(ledger) for each in asked))


def _well(name: str, sentence: str) -> Answer:
    return Answer(name, well=True, sentence=sentence)


def _amiss(name: str, sentence: str) -> Answer:
    return Answer(name, well=False, sentence=sentence)


def _writable(ledger: Ledger) -> Answer:
    if isinstance(ledger.log, HeldLog) and ledger.log.held:
        return _amiss("writer", "Nothing is written for now: see what is said of the anchor.")
    try:
        ledger.log.write(lambda writer: writer.head())
    except LedgerError as error:
        return _amiss("writer", str(error))
    return _well("writer", "It can be written to.")


def _signed(ledger: Ledger) -> Answer:
    try:
        with ledger.log.read() as reader:
            last, size = reader.last_checkpoint(), reader.head().size
    except LedgerError as error:
        return _amiss("signed", str(error))
    if last is None:
        return _amiss("signed", "No checkpoint was ever signed. Sign one on the page Check.")
    behind = size - last.size
    if behind and ledger.clock.now() - last.signed > SIGNED_WITHIN:
        sentence = (
            f"{behind} entries were written since the last checkpoint, {last.signed:%Y-%m-%d %H:%M} UTC. Sign one."
        )
        return _amiss("signed", sentence)
    return _well("signed", f"The last checkpoint covers {last.size} of {size} entries.")


def _room(ledger: Ledger) -> Answer:
    free = ledger.pictures.room()
    if free is None:
        return _well("room", "Nothing is kept on a disk.")
    said = f"{free / 1e9:.1f} GB are free on the disk of the data folder."
    return Answer(
        "room", free >= LEAST_FREE, said if free >= LEAST_FREE else f"{said} Make room before photographs fail."
    )


def _backed_up(ledger: Ledger) -> Answer:
    done = ledger.upkeep.read().backup if ledger.upkeep is not None else None
    if done is None:
        return _amiss("backup", "No backup is known of. Make one: slipsheet backup FOLDER.")
    said = f"The last backup is of {done.when:%Y-%m-%d %H:%M} UTC, {done.size} entries, in {done.place}."
    if not done.whole:
        return _amiss("backup", f"{said} Verifying it found something. Run slipsheet verify.")
    old = ledger.clock.now() - done.when > BACKED_UP_WITHIN
    return _amiss("backup", f"{said} Make another one.") if old else _well("backup", said)


def _tried(ledger: Ledger) -> Answer:
    done = ledger.upkeep.read().drill if ledger.upkeep is not None else None
    if done is None:
        return _amiss("drill", "Nobody has tried yet whether a backup can be put back: slipsheet drill FOLDER.")
    said = f"The last drill was on {done.when:%Y-%m-%d}, of {done.size} entries."
    return _well("drill", said) if done.whole else _amiss("drill", f"{said} It found something: make another backup.")


def _anchored(ledger: Ledger) -> Answer:
    if ledger.anchor is None:
        return _well("anchor", "This ledger ends with the program, so no checkpoint is kept outside it.")
    try:
        found = standing(ledger)
    except LedgerError as error:
        return _amiss("anchor", str(error))
    if not found.good:
        return _amiss("anchor", sentence_of(found))
    if found.anchored is None:
        return _amiss("anchor", "No checkpoint is kept outside the data folder yet. It is, once one is signed.")
    return _well("anchor", f"The checkpoint outside the data folder covers {found.anchored} of {found.size} entries.")
