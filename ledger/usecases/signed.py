"""Holds the checkpoints that were signed, and one kept elsewhere, against the entries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise

from ledger.errors import LedgerError, MalformedError
from ledger.history import broken, fold_collection, history
from ledger.ports import Ledger, Reader, StoredCheckpoint
from ledger.proof import checkpoint as text_of
from ledger.proof.chain import Walk
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.report import Evidence, Report
from ledger.proof.signature import UnsignedError, VerifierKey, open_note, parse_vkey
from ledger.when import When


@dataclass(frozen=True)
class Keys:
    """Keys that checkpoints are checked with.

    `trusted` are the key at hand and those that a hand-over joins to it. `before_a_break` are keys that the ledger says
    were in use before it, and that did not hand over: who could change the ledger could have made them.
    """

    trusted: tuple[VerifierKey, ...]
    before_a_break: tuple[VerifierKey, ...] = ()
    named: bool = True
    """The ledger names the key at hand."""
    stolen: Mapping[VerifierKey, When] = field(default_factory=dict)
    """Since when somebody else may have had a key."""


def keys_of(ledger: Ledger, reader: Reader, report: Report) -> Keys:
    """The keys of a ledger, seen from the one at hand; one that is none is a finding."""
    own = ledger.signer.verifier
    try:
        moments = history(reader.of_collection(), ledger.codec)
        periods = fold_collection(ledger.collection, moments).keys
        flawed = {each.seq for each in broken(None, moments, ledger.collection)}
    except LedgerError:
        return Keys((own,))
    keys = []
    for period in periods:
        try:
            keys.append(parse_vkey(period.vkey))
        except MalformedError as error:
            sentence = f"Entry {period.started_by} names a signing key that cannot be used: {error.problem}."
            report.add("key-unusable", sentence, seq=period.started_by)
            return Keys((own,))
    trusted = {own}
    handed = [
        (old, new)
        for (old, new), period in zip(pairwise(keys), periods[1:], strict=True)
        if period.signed_by_old and period.started_by not in flawed
    ]
    for old, new in reversed(handed):
        trusted |= {old} if new in trusted else set()
    for old, new in handed:
        trusted |= {new} if old in trusted else set()
    of_this = [key for key in keys if key.name == origin_of(ledger.collection)]
    first = next((place for place, key in enumerate(of_this) if key in trusted), 0)
    return Keys(
        trusted=(own, *(key for key in of_this if key in trusted and key != own)),
        before_a_break=tuple(of_this[:first]),
        named=own in keys or not keys,
        stolen={key: each.stolen_since for key, each in zip(keys, periods, strict=True) if each.stolen_since},
    )


@dataclass(frozen=True)
class Seen:
    """That somebody else saw the checkpoint of that size then, as far as that holds for whoever verifies."""

    size: int
    time: datetime


@dataclass(frozen=True)
class Held:
    """What others hold against the ledger: a checkpoint kept elsewhere, and what they saw and when.

    The second decides what a stolen key's signature is worth.
    """

    anchor: str | None = None
    seen: Sequence[Seen] = ()


def expect_checkpoints(ledger: Ledger, reader: Reader, walk: Walk, report: Report, held: Held) -> None:
    """Every checkpoint kept, and the anchor, to be held against the entries when its signature is good."""
    anchor, seen = held.anchor, held.seen
    keys = keys_of(ledger, reader, report)
    if not keys.named:
        sentence = (
            "The ledger names another signing key than the one at hand: it was made anew, or this key is not its own."
        )
        report.add("key-differs", sentence)
    kept = _expect_kept(reader.checkpoints(), keys, walk, report, seen)
    if (
        anchor is not None
        and (found := _opened(anchor, keys, Evidence.ANCHOR, "The checkpoint kept elsewhere", report, seen))
        and found not in kept
    ):
        walk.expect(found, Evidence.ANCHOR)
        sentence = (
            f"The checkpoint kept elsewhere, over {found.size} entries, is not among those kept here: "
            "an older state was put back, or it was taken out."
        )
        report.add("checkpoint-missing", sentence, evidence=Evidence.ANCHOR)


def _expect_kept(
    stored: Sequence[StoredCheckpoint], keys: Keys, walk: Walk, report: Report, seen: Sequence[Seen]
) -> list[Checkpoint]:
    kept: list[Checkpoint] = []
    last = 0
    for each in stored:
        found = _opened(each.note, keys, Evidence.BROKEN, f"The checkpoint over {each.size} entries", report, seen)
        if found is None:
            continue
        walk.expect(found)
        if found.size != each.size:
            sentence = (
                f"Beside the checkpoint over {found.size} entries stands another size than in its text, {each.size}."
            )
            report.add("index-differs", sentence)
        if found.size < last:
            sentence = f"A checkpoint over {found.size} entries was signed after one over {last}."
            report.add("checkpoint-shrinks", sentence)
        kept.append(found)
        last = max(last, found.size)
    return kept


def _opened(  # noqa: PLR0913 - a note, what it is opened with, and where that is told
    note: str, keys: Keys, evidence: Evidence, what: str, report: Report, seen: Sequence[Seen]
) -> Checkpoint | None:
    """What a note says, when a key of this ledger signed it."""
    try:
        try:
            return text_of.parse(open_note(note, keys.trusted).text)
        except UnsignedError:
            opened = open_note(note, keys.before_a_break)
            found = text_of.parse(opened.text)
            report.notes.append(_weak(what, found, keys.stolen.get(opened.verified[0].key), seen))
            return found
    except LedgerError as error:
        report.add("checkpoint-forged", f"{what} is not one that this ledger's key signed: {error}", evidence=evidence)
        return None


def _weak(what: str, found: Checkpoint, stolen: When | None, seen: Sequence[Seen]) -> str:
    """What the signature of a key from before a break is worth: of a stolen one, what others saw before the theft.

    What was seen of a longer ledger was seen of this one too: the entries show that one begins with the other.
    """
    if stolen is None:
        return (
            f"{what} was signed by a key that was lost, stolen or changed without its word: it shows only what the "
            "ledger itself says, unless it was kept elsewhere since before that."
        )
    first = min((each.time for each in seen if each.size >= found.size), default=None)
    since = f"{what} was signed by a key that was stolen, since {stolen.label()}"
    if first is not None and first < stolen.span()[0]:
        return f"{since}. Somebody else saw it before that, on {first.isoformat()}, so it still counts."
    later = f", and was first seen by somebody else on {first.isoformat()}" if first is not None else ""
    return f"{since}{later}: whoever had the key can have signed it, unless it was kept elsewhere since before that."
