"""Holds the checkpoints that were signed, and one kept elsewhere, against the entries."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.errors import LedgerError, MalformedError
from ledger.history import broken, fold_collection, history
from ledger.ports import Ledger, Reader, StoredCheckpoint
from ledger.proof import checkpoint as text_of
from ledger.proof.chain import Walk
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.report import Evidence, Report
from ledger.proof.signature import UnsignedError, VerifierKey, open_note, parse_vkey


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
    )


def expect_checkpoints(ledger: Ledger, reader: Reader, walk: Walk, report: Report, anchor: str | None) -> None:
    """Every checkpoint kept, and the anchor, to be held against the entries when its signature is good."""
    keys = keys_of(ledger, reader, report)
    if not keys.named:
        sentence = (
            "The ledger names another signing key than the one at hand: it was made anew, or this key is not its own."
        )
        report.add("key-differs", sentence)
    kept = _expect_kept(reader.checkpoints(), keys, walk, report)
    if (
        anchor is not None
        and (found := _opened(anchor, keys, Evidence.ANCHOR, "The checkpoint kept elsewhere", report))
        and found not in kept
    ):
        walk.expect(found, Evidence.ANCHOR)
        sentence = (
            f"The checkpoint kept elsewhere, over {found.size} entries, is not among those kept here: "
            "an older state was put back, or it was taken out."
        )
        report.add("checkpoint-missing", sentence, evidence=Evidence.ANCHOR)


def _expect_kept(stored: Sequence[StoredCheckpoint], keys: Keys, walk: Walk, report: Report) -> list[Checkpoint]:
    kept: list[Checkpoint] = []
    last = 0
    for each in stored:
        found = _opened(each.note, keys, Evidence.BROKEN, f"The checkpoint over {each.size} entries", report)
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


def _opened(note: str, keys: Keys, evidence: Evidence, what: str, report: Report) -> Checkpoint | None:
    """What a note says, when a key of this ledger signed it."""
    try:
        try:
            text = open_note(note, keys.trusted).text
        except UnsignedError:
            text = open_note(note, keys.before_a_break).text
            report.notes.append(
                f"{what} was signed by a key that was lost, stolen or changed without its word: it shows only what the "
                "ledger itself says, unless it was kept elsewhere since before that."
            )
        return text_of.parse(text)
    except LedgerError as error:
        report.add("checkpoint-forged", f"{what} is not one that this ledger's key signed: {error}", evidence=evidence)
        return None
