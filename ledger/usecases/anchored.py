"""The anchor: whether the ledger goes as far as the checkpoint kept outside it says, and what is done when it does not."""

from dataclasses import dataclass, replace
from enum import StrEnum

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, LedgerError, StoreError
from ledger.events.restored import Restored
from ledger.held import HeldLog
from ledger.ports import ENTRIES, Ledger, Reader
from ledger.proof import checkpoint as text_of
from ledger.proof import merkle
from ledger.proof.checkpoint import Checkpoint
from ledger.proof.signature import open_note
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import named_keys, sign_checkpoint
from ledger.usecases.key_in_use import settle
from ledger.usecases.record import Draft, record
from ledger.usecases.stored import nodes_of

__all__ = ["Against", "Standing", "confirm_restored", "held_back", "kept_anchor", "standing"]


class Against(StrEnum):
    """How a ledger stands to the checkpoint that was kept outside it."""

    NO_ANCHOR = "no anchor"
    COVERED = "it goes as far"
    BEHIND = "entries are missing"
    OTHER = "other entries stand here"
    NOT_OURS = "no key of this ledger signed it"
    PUT_BACK = "put back from a backup, with no anchor at hand"


@dataclass(frozen=True)
class Standing:
    """What holding the ledger against its anchor came to.

    `anchored` is the size that the anchor speaks of, `size` that of the ledger, both in entries.
    """

    against: Against
    size: int
    anchored: int | None = None

    @property
    def good(self) -> bool:
        """Nothing that the anchor speaks of is missing or changed."""
        return self.against in (Against.NO_ANCHOR, Against.COVERED)

    @property
    def missing(self) -> int:
        """Entries that the anchor has beyond the ledger."""
        return max(0, (self.anchored or 0) - self.size)


def standing(ledger: Ledger) -> Standing:
    """The ledger held against its anchor.

    Raises: StoreError where the anchor cannot be read.
    """
    with ledger.log.read() as reader:
        size = reader.head().size
        note = kept_anchor(ledger)
        if note is None:
            put_back = ledger.upkeep is not None and ledger.upkeep.read().put_back is not None
            return Standing(Against.PUT_BACK if put_back else Against.NO_ANCHOR, size)
        anchored = _opened(ledger, reader, note)
        if anchored is None:
            return Standing(Against.NOT_OURS, size)
        if anchored.size > size:
            return Standing(Against.BEHIND, size, anchored.size)
        same = merkle.root(anchored.size, nodes_of(reader, ENTRIES)) == anchored.root
        return Standing(Against.COVERED if same else Against.OTHER, size, anchored.size)


def held_back(ledger: Ledger) -> Ledger:
    """The ledger, with nothing written to it while its anchor shows that something is missing."""
    found = standing(ledger)
    return ledger if found.good else replace(ledger, log=HeldLog(ledger.log, sentence_of(found)))


def sentence_of(found: Standing) -> str:
    """What is wrong, and what mends it."""
    match found.against:
        case Against.BEHIND:
            missing = "One is missing" if found.missing == 1 else f"{found.missing} are missing"
            return (
                f"The checkpoint kept outside this ledger speaks of {found.anchored} entries, and {found.size} are here. "
                f"{missing}. Put back a newer backup; or, where there is none, confirm the restore."
            )
        case Against.OTHER:
            return (
                f"The first {found.anchored} entries are not those that the checkpoint kept outside this ledger speaks of."
                " Put back the newest backup. If this state is the one that counts, move the anchor file away; whoever"
                " has an older checkpoint will see it."
            )
        case Against.PUT_BACK:
            return (
                f"This ledger was put back from a backup of {found.size} entries, and no checkpoint kept outside it is at "
                "hand: whether entries were written after the backup cannot be told. Bring that file, or confirm the restore."
            )
        case _:
            return (
                "The checkpoint kept outside this ledger was not signed by a key of it. Put the right key folder back."
            )


def confirm_restored(ledger: Ledger, actor: Actor, remark: str = "") -> int:
    """The number of the entry that says how many entries are missing; from now on the ledger is written to again.

    Raises: ConflictError where nothing is missing, or more than the end is; ForbiddenError, StoreError.
    """
    actor.require(Permission.KEYS)
    log = ledger.log
    found = standing(ledger)
    if not isinstance(log, HeldLog) or found.against not in (Against.BEHIND, Against.PUT_BACK):
        sentence = "Nothing is missing at the end." if found.good else sentence_of(found)
        raise ConflictError(sentence=sentence)
    free = replace(ledger, log=log.inner)
    said = Restored(
        missing=found.missing,
        anchor_size=found.anchored,
        restored_size=found.size,
        remark=Sealed.of(remark or None),
    )
    written = record(free, actor, [Draft(event=said)])
    # The anchor moves onto the state that counts now, however much shorter it is.
    if settle(free):
        sign_checkpoint(free, actor, over=kept_anchor(ledger))
    else:
        _set_back(ledger)
    _forget(ledger)
    log.let_go()
    return written.entries[0].seq


def _set_back(ledger: Ledger) -> None:
    """The anchor onto the last checkpoint that is here, for the key at hand is not the one that this state names.

    A new key can be started then, and signs.
    """
    if ledger.anchor is None:
        return
    with ledger.log.read() as reader:
        last = reader.last_checkpoint()
    try:
        ledger.anchor.swap(kept_anchor(ledger), None if last is None else last.note)
    except OSError as error:
        problem = f"the anchor {ledger.anchor.place} was not written: {error.strerror or error}"
        raise StoreError(problem=problem) from error


def _forget(ledger: Ledger) -> None:
    """What was confirmed need not be said again."""
    if ledger.upkeep is None:
        return
    try:
        ledger.upkeep.note(put_back=None)
    except OSError as error:
        raise StoreError(problem=f"the notes of upkeep cannot be written: {error.strerror or error}") from error


def kept_anchor(ledger: Ledger) -> str | None:
    """The checkpoint that is kept outside the ledger; None where there is none.

    Raises: StoreError.
    """
    if ledger.anchor is None:
        return None
    try:
        return ledger.anchor.read()
    except OSError as error:
        raise StoreError(
            problem=f"the anchor {ledger.anchor.place} cannot be read: {error.strerror or error}"
        ) from error


def _opened(ledger: Ledger, reader: Reader, note: str) -> Checkpoint | None:
    """What the anchor says, where a key of this ledger signed it."""
    try:
        keys = [ledger.signer.verifier, *named_keys(ledger, reader)]
        return text_of.parse(open_note(note, list(dict.fromkeys(keys))).text)
    except LedgerError:
        return None
