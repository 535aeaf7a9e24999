"""Starts a new signing key: it is durable before the entry that names it, and signs only once that entry is durable."""

from dataclasses import dataclass, field
from typing import Final

from ledger.actor import Actor, Permission
from ledger.collection import KeyPeriod
from ledger.entry import Entry
from ledger.errors import ConflictError, InvalidError, RuleError
from ledger.events.key import Action, Key, rotation_statement
from ledger.history import fold_collection, history
from ledger.ports import Ledger, StoredCheckpoint
from ledger.proof.checkpoint import origin_of
from ledger.proof.signature import SigningKey
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.key_in_use import collection_state, settle
from ledger.usecases.record import Draft, Recorded, Request, record
from ledger.when import When

__all__ = ["KeyEnd", "KeyOnRecord", "Started", "Why", "keys_on_record", "start_new_key"]

SEED_BYTES: Final = 32
NO_HAND_OVER: Final = (
    "The key at hand is not the key in use, so it cannot hand over. Put the right key file back, or say that it is "
    "lost."
)


@dataclass(frozen=True, kw_only=True)
class Why:
    """What happened to the key so far, in the words of a `key` entry."""

    action: Action = Action.ROTATE
    on: When | None = None
    stolen_since: When | None = None
    remark: Sealed[str] = field(default_factory=Sealed)


@dataclass(frozen=True, kw_only=True)
class Started:
    """What came of it: the entry, and the first checkpoint that the new key signed.

    `unsigned` says why there is none: the new key is in use all the same.
    """

    recorded: Recorded
    checkpoint: StoredCheckpoint | None = None
    unsigned: str = ""


@dataclass(frozen=True, kw_only=True)
class KeyEnd:
    """What became of a key: the entry that says so, how, and whether it signed that it hands over."""

    entry: Entry
    how: Action
    handed_over: bool


@dataclass(frozen=True, kw_only=True)
class KeyOnRecord:
    """One key that signed for this ledger, with the entry that brought it into use; `ended` is None while it signs."""

    period: KeyPeriod
    entry: Entry
    event: Key
    ended: KeyEnd | None = None


def start_new_key(ledger: Ledger, actor: Actor, why: Why, request: Request | None = None) -> Started:
    """From now on checkpoints are signed with a new key; what the old one signed stays as good as it was.

    In this order, each step durable before the next: the old key, if it hands over, signs all there is; the new key is
    laid beside it; the entry names it; it takes its place; it signs. Whatever breaks off leaves a ledger whose key in use
    is at hand, at the latest after the next start.
    Keeps: a key that no entry came to name lies beside the others and signs nothing.
    Raises: what `record` and `sign_checkpoint` raise; ConflictError where the old key should hand over and is not at hand.
    """
    for permission in (Permission.KEYS, Permission.SIGN, Permission.RECORD):
        actor.require(permission)
    hands_over = why.action is Action.ROTATE
    if hands_over and not settle(ledger):
        raise ConflictError(sentence=NO_HAND_OVER)
    seed = ledger.chance.bytes(SEED_BYTES)
    event = _event(ledger, why, SigningKey.from_seed(origin_of(ledger.collection), seed).verifier.vkey)
    if not _was_sent_before(ledger, request):
        _refuse(ledger, event)
        if hands_over:
            sign_checkpoint(ledger, actor)
        ledger.signer.keep(seed)
    recorded = record(ledger, actor, [Draft(event=event)], request)
    settle(ledger)
    try:
        return Started(recorded=recorded, checkpoint=sign_checkpoint(ledger, actor))
    except ConflictError as error:
        return Started(recorded=recorded, unsigned=str(error))


def keys_on_record(ledger: Ledger, actor: Actor) -> tuple[KeyOnRecord, ...]:
    """Every key that signed for this ledger, in the order in which they came into use.

    Raises: MalformedError where an entry of the collection cannot be read.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        moments = history(reader.of_collection(), ledger.codec)
    entries = {moment.entry.seq: moment.entry for moment in moments}
    known: dict[int | None, KeyOnRecord] = {}
    for period in reversed(fold_collection(ledger.collection, moments).keys):
        entry = entries[period.started_by]
        assert isinstance(entry.event, Key)  # nothing else brings a key into use
        known[period.started_by] = KeyOnRecord(
            period=period, entry=entry, event=entry.event, ended=_end(known.get(period.ended_by))
        )
    return tuple(reversed(known.values()))


def _end(after: KeyOnRecord | None) -> KeyEnd | None:
    """How a key ended, told by the one that came after it."""
    if after is None:
        return None
    return KeyEnd(entry=after.entry, how=after.event.action, handed_over=after.period.signed_by_old)


def _event(ledger: Ledger, why: Why, vkey: str) -> Key:
    handover = None
    if why.action is Action.ROTATE:
        old = ledger.signer.verifier.vkey
        handover = ledger.signer.sign(rotation_statement(ledger.collection, old, vkey))
    return Key(
        on=why.on,
        action=why.action,
        vkey=vkey,
        handover=handover,
        stolen_since=why.stolen_since,
        remark=why.remark,
    )


def _refuse(ledger: Ledger, event: Key) -> None:
    """What stands against the entry is told before a secret is made for it.

    Raises: InvalidError, RuleError.
    """
    if flaws := tuple(event.all_flaws()):
        raise InvalidError(problems=flaws)
    with ledger.log.read() as reader:
        problems = tuple(event.check_collection(collection_state(ledger, reader)))
    if problems:
        raise RuleError(problems=problems)


def _was_sent_before(ledger: Ledger, request: Request | None) -> bool:
    """The same request was answered already: nothing will be written, so no key is made for it."""
    if request is None or request.key is None:
        return False
    with ledger.log.read() as reader:
        return reader.receipt(request.key) is not None
