"""Stamps: what somebody else said of a checkpoint, asked for by a file and taken in from one.

An authority gets a digest and a number, a cosigner a checkpoint and hashes: nothing of any entry goes out.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from typing import Final, TypeVar

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.errors import ConflictError, InvalidError, LedgerError, Problem
from ledger.handing import HandingWriter, Stamp, StampKind, TimeStamps
from ledger.ports import ENTRIES, Ledger, StoredCheckpoint
from ledger.proof import merkle
from ledger.proof.checkpoint import parse
from ledger.proof.cosigning import Shown, moment_of, with_lines, write_shown
from ledger.proof.note import read_note
from ledger.proof.record_file import RecordFile
from ledger.proof.signature import VerifierKey, open_note, parse_vkey
from ledger.proof.stamped import StampCheck, StampSaid, a_request, read_request, stamped_bytes, token_of
from ledger.proof.token import Token
from ledger.usecases.cosignatures import is_cosignature, line_in, read_cosignatures
from ledger.usecases.stored import nodes_of

__all__ = [
    "Taken",
    "Told",
    "cosignature_wanted",
    "given_note",
    "kept_stamps",
    "stamp_wanted",
    "take",
    "tokens_of",
    "told_of",
    "with_stamps",
]

T = TypeVar("T")
MOST_BYTES: Final = 1 << 20
_NONCE_BYTES: Final = 8
_SEQUENCE: Final = b"\x30"
"""What every time stamp begins with. Source: ITU-T X.690 section 8.9."""
_NONE: Final = "No checkpoint has been signed yet. Sign one first; that is what is stamped."
_NOT_HERE: Final = "Stamps are neither kept nor checked where this ledger was opened."


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What goes out: the bytes of the file, and the size of the checkpoint that it is for."""

    data: bytes
    size: int


@dataclass(frozen=True, kw_only=True)
class Told:
    """One stamp in words; `fault` says why it proves nothing, and is empty while it holds."""

    stamp: Stamp
    by: str
    time: datetime | None
    fault: str = ""
    under: bool = False
    """It leads to an authority that was named, or is a cosignature by a key that was given."""

    @property
    def sentence(self) -> str:
        """All that it proves."""
        return self.fault or (StampSaid(time=self.time, by=self.by).sentence if self.time else "")


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What was taken in; `newest` is the size of the newest checkpoint, which it may say nothing about."""

    stamps: tuple[Told, ...]
    newest: int


def stamp_wanted(ledger: Ledger, actor: Actor) -> Wanted:
    """The request for a time stamp of the newest checkpoint. Source: RFC 3161 section 2.4.1.

    Raises: ConflictError where there is none.
    """
    actor.require(Permission.READ)
    last = _last(ledger)
    nonce = int.from_bytes(ledger.chance.bytes(_NONCE_BYTES), "big")
    return Wanted(data=a_request(stamped_bytes(last.note), nonce), size=last.size)


def cosignature_wanted(ledger: Ledger, actor: Actor, since: int) -> Wanted:
    """The newest checkpoint, for somebody who cosigned the one over `since` entries last; 0 for the first time.

    Raises: ConflictError, InvalidError.
    """
    actor.require(Permission.READ)
    with stored_so(), ledger.log.read() as reader:
        last = reader.last_checkpoint()
        if last is None:
            raise ConflictError(sentence=_NONE)
        if not 0 <= since <= last.size:
            raise _invalid("since", f"since must be from 0 to {last.size}, the size of the newest checkpoint.")
        grown = 0 < since < last.size
        proof = merkle.consistency_proof(since, last.size, nodes_of(reader, ENTRIES)) if grown else []
    shown = Shown(note=given_note(ledger, last.note), old=since, proof=tuple(proof))
    return Wanted(data=write_shown(shown).encode("utf-8"), size=last.size)


def take(ledger: Ledger, actor: Actor, data: bytes, *, request: bytes | None = None, key: str = "") -> Taken:
    """A time stamp, or cosignatures, as they came back; kept with the checkpoint that they are of.

    `request` is the request that it answers, `key` the verifier key of a cosigner, needed once. Keeps: what does not
    hold is not kept; the same stamp twice is kept once.
    Raises: InvalidError, ConflictError.
    """
    actor.require(Permission.SIGN)
    if ledger.handing is None or ledger.timestamps is None:
        raise ConflictError(sentence=_NOT_HERE)
    if len(data) > MOST_BYTES:
        raise _invalid("stamp", "This is larger than any time stamp or cosignature.")
    checkpoints = _checkpoints(ledger)
    if not checkpoints:
        raise ConflictError(sentence=_NONE)
    if is_cosignature(data):
        by_key = _or_invalid("key", lambda: parse_vkey(key.strip())) if key.strip() else None
        lines = _or_invalid("stamp", lambda: read_cosignatures(data, checkpoints, _cosigners(ledger), by_key))
        found = [(StampKind.COSIGNATURE, *each) for each in lines]
    else:
        found = [_time_stamp(ledger.timestamps, data, request, checkpoints)]
    now = ledger.clock.now()
    stamps = [
        Stamp(id=sha256(said).hexdigest(), kind=kind, size=size, made=now, by=by, data=said)
        for kind, size, by, said in found
    ]
    ledger.handing.write(lambda writer: _keep(writer, stamps))
    told = tuple(told_of(ledger, each, {each.size: each.note for each in checkpoints}) for each in stamps)
    return Taken(stamps=told, newest=checkpoints[-1].size)


def _keep(writer: HandingWriter, stamps: Sequence[Stamp]) -> None:
    for each in stamps:
        writer.put_stamp(each)


def _time_stamp(
    timestamps: TimeStamps, data: bytes, request: bytes | None, checkpoints: Sequence[StoredCheckpoint]
) -> tuple[StampKind, int, str, bytes]:
    """The token in an authority's answer, once its signature holds and it is of one of these."""
    if not data.startswith(_SEQUENCE):
        raise _invalid("stamp", "This is neither a time stamp nor a cosignature. Choose the file that came back.")
    token = _or_invalid("stamp", lambda: token_of(data))
    of = next((each for each in reversed(checkpoints) if _is_of(token, each)), None)
    if of is None:
        sentence = "This time stamp is of none of the checkpoints of this ledger: it was given for something else."
        raise _invalid("stamp", sentence)
    if request is not None:
        asked = _or_invalid("request", lambda: read_request(request))
        if (asked.imprint, asked.nonce) != (token.imprint, token.nonce):
            raise _invalid("stamp", "This time stamp answers another request than the one given with it.")
    said = _or_invalid("stamp", lambda: timestamps.whole(token.data, stamped_bytes(of.note)))
    return StampKind.TIME_STAMP, of.size, said.by, token.data


def _is_of(token: Token, checkpoint: StoredCheckpoint) -> bool:
    return token.imprint == sha256(stamped_bytes(checkpoint.note)).digest()


def kept_stamps(ledger: Ledger, actor: Actor, check: StampCheck | None = None) -> list[Told]:
    """Every stamp that was taken in, the oldest checkpoint first; `check` holds time stamps against an authority."""
    actor.require(Permission.READ)
    if ledger.handing is None:
        return []
    notes = {each.size: each.note for each in _checkpoints(ledger)}
    with ledger.handing.read() as reader:
        return [told_of(ledger, each, notes, check) for each in reader.stamps()]


def told_of(ledger: Ledger, stamp: Stamp, notes: "dict[int, str]", check: StampCheck | None = None) -> Told:
    """One stamp, looked at again: whether it still is of the checkpoint that it is kept with."""
    note = notes.get(stamp.size)
    if note is None:
        fault = f"It is kept with a checkpoint over {stamp.size} entries, and there is none."
        return Told(stamp=stamp, by=stamp.by, time=None, fault=fault)
    try:
        if stamp.kind is StampKind.COSIGNATURE:
            return _cosignature_told(stamp, note)
        if check is None and ledger.timestamps is None:
            raise ConflictError(sentence=_NOT_HERE)
        how = check or ledger.timestamps.whole  # type: ignore[union-attr]  # one of them is there
        said = how(stamp.data, stamped_bytes(note))
    except LedgerError as error:
        return Told(stamp=stamp, by=stamp.by, time=None, fault=str(error))
    return Told(stamp=stamp, by=said.by, time=said.time, under=said.under)


def _cosignature_told(stamp: Stamp, note: str) -> Told:
    key = parse_vkey(stamp.by)
    signed = open_note(with_lines(note, [line_in(stamp.data)]), [key]).verified[0]
    time = moment_of(signed.timestamp or 0)
    return Told(stamp=stamp, by=f"{key.name} ({key.key_id.hex()})", time=time, under=True)


def given_note(ledger: Ledger, note: str) -> str:
    """The note as it is given away: with the cosignatures that were taken in and hold."""
    if ledger.handing is None:
        return note
    size = parse(read_note(note).text).size
    with ledger.handing.read() as reader:
        kept = [each for each in reader.stamps() if (each.kind, each.size) == (StampKind.COSIGNATURE, size)]
    held = [each for each in kept if not told_of(ledger, each, {size: note}).fault]
    return with_lines(note, [line_in(each.data) for each in held])


def tokens_of(ledger: Ledger, note: str) -> tuple[bytes, ...]:
    """The time stamps of that checkpoint, for a record that ends with it."""
    if ledger.handing is None:
        return ()
    size = parse(read_note(note).text).size
    with ledger.handing.read() as reader:
        kept = [each for each in reader.stamps() if (each.kind, each.size) == (StampKind.TIME_STAMP, size)]
    return tuple(each.data for each in kept if not told_of(ledger, each, {size: note}).fault)


def with_stamps(ledger: Ledger, record: bytes) -> bytes:
    """A record file with what others have said of its checkpoint by now; as it was where nobody did.

    Nothing that its owner stands for changes by it.
    Raises: MalformedError.
    """
    file = RecordFile.from_bytes(record)
    note = file.proof.checkpoint
    stamps = tuple(dict.fromkeys([*file.stamps, *tokens_of(ledger, note)]))
    given = given_note(ledger, note)
    if (given, stamps) == (note, file.stamps):
        return record
    return replace(file, proof=replace(file.proof, checkpoint=given), stamps=stamps).to_bytes()


def _cosigners(ledger: Ledger) -> list[VerifierKey]:
    """Those whose key was given before."""
    assert ledger.handing is not None  # looked at before anything was read
    with ledger.handing.read() as reader:
        said = {each.by for each in reader.stamps() if each.kind is StampKind.COSIGNATURE}
    found = []
    for text in sorted(said):
        try:
            found.append(parse_vkey(text))
        except LedgerError:
            continue
    return found


def _checkpoints(ledger: Ledger) -> list[StoredCheckpoint]:
    with ledger.log.read() as reader:
        return sorted(reader.checkpoints(), key=lambda each: each.size)


def _last(ledger: Ledger) -> StoredCheckpoint:
    with ledger.log.read() as reader:
        last = reader.last_checkpoint()
    if last is None:
        raise ConflictError(sentence=_NONE)
    return last


def _or_invalid(field: str, work: Callable[[], T]) -> T:
    """What the work gives; what it refuses is told at the field.

    Raises: InvalidError.
    """
    try:
        return work()
    except InvalidError:
        raise
    except LedgerError as error:
        raise _invalid(field, str(error)) from error


def _invalid(field: str, sentence: str) -> InvalidError:
    return InvalidError(problems=(Problem(field=field, sentence=sentence),))
