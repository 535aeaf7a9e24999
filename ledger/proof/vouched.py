"""Who stands for a record besides the key that signed it: time stamps, cosignatures, and what became of the key since.

A key that was stolen signs for the thief as well as for its owner. Its checkpoints count only where somebody else saw
them before it was stolen.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from ledger.proof.checkpoint import Checkpoint
from ledger.proof.cosigning import moment_of
from ledger.proof.key_chain import STOLEN, KeyChain, OneKey, begins, read_chain
from ledger.proof.record import RecordReport
from ledger.proof.report import LedgerError, MalformedError, Report
from ledger.proof.signature import ED25519, Signed, VerifierKey
from ledger.proof.stamped import StampCheck, StampError, StampSaid, need_imprint, stamped_bytes
from ledger.proof.token import read_token

__all__ = ["Trust", "chains_of", "judge_signer", "look_at_stamps"]

_CHECKPOINT: Final = "the checkpoint of this record"


@dataclass(frozen=True, kw_only=True)
class Trust:
    """What a reader has from elsewhere: keys, files of keys signed by them, and authorities whose stamps they believe."""

    keys: tuple[VerifierKey, ...] = ()
    chains: tuple[bytes, ...] = ()
    stamps: StampCheck | None = None


@dataclass(frozen=True, kw_only=True)
class Chains:
    """The chains that hold; `earlier` are the keys that they add to those at hand."""

    found: tuple[KeyChain, ...] = ()
    earlier: tuple[VerifierKey, ...] = field(default=())


def chains_of(trust: Trust, report: Report) -> Chains:
    """The files of keys, each as far as one of the keys at hand signed it."""
    found = [chain for data in trust.chains if (chain := read_chain(data, trust.keys, report)) is not None]
    keys = tuple(each.key for chain in found for each in chain.keys if each.key not in trust.keys)
    return Chains(found=tuple(found), earlier=keys)


def look_at_stamps(
    tokens: Sequence[bytes], note: str, check: StampCheck | None, report: RecordReport
) -> list[StampSaid]:
    """What time stamps of the record's checkpoint come to; without an authority only what they are of is looked at."""
    said: list[StampSaid] = []
    for data in tokens:
        report.count("time stamps")
        try:
            stamped = stamped_bytes(note)
            token = read_token(data)
            need_imprint(token, stamped, _CHECKPOINT)
        except MalformedError as error:
            report.add("stamp-unreadable", f"A time stamp in the record cannot be used. {error}")
            continue
        except StampError as error:
            report.add("stamp-other", str(error))
            continue
        if check is None:
            sentence = (
                f"A time stamp in the record says {token.time.isoformat()}. Anybody can write that: it counts once it is "
                "held against an authority that you choose (--authority)."
            )
            report.notes.append(sentence)
            continue
        try:
            said.append(check(data, stamped))
        except LedgerError as error:
            report.add("stamp-refused", str(error))
    report.notes.extend(each.sentence for each in said)
    return said


def judge_signer(
    keys: Sequence[VerifierKey], chains: Chains, stamps: Sequence[StampSaid], report: RecordReport
) -> bool:
    """Whether the key that signed is known to the reader; what the chain says of it goes to the report."""
    checkpoint = report.checkpoint
    own = [each.key for each in report.signed if checkpoint and _is_own(each, checkpoint)]
    if checkpoint is None or not own:
        return bool(keys)
    signer = own[0]
    of_it = next((one for chain in chains.found if (one := chain.of(signer)) is not None), None)
    if of_it is None or of_it.ended_by is None:
        return bool(keys)
    if checkpoint.size >= of_it.ended_by:
        sentence = (
            f"It speaks of {checkpoint.size} entries and is signed with a key that ended with entry {of_it.ended_by}: it "
            "was signed after that, and not by the collection."
        )
        report.add("key-ended", sentence)
    if of_it.how == STOLEN:
        _stolen(of_it, stamps, report)
    return _told(of_it, checkpoint, report, direct=signer in keys)


def _is_own(signed: Signed, checkpoint: Checkpoint) -> bool:
    return (signed.key.name, signed.key.algorithm) == (checkpoint.origin, ED25519)


def _told(of_it: OneKey, checkpoint: Checkpoint, report: RecordReport, *, direct: bool) -> bool:
    name = f"{checkpoint.origin} ({of_it.key.key_id.hex()})"
    if not direct:
        report.notes.append(
            f"It is signed with an earlier key of this collection, {name}, in use from entry {of_it.started_by} until "
            f"entry {of_it.ended_by}."
        )
    if of_it.handed_over or of_it.how == STOLEN:
        return True
    report.notes.append(
        "That key did not hand over to the next one: it was lost, or given up without its word. Whoever has it can sign "
        "with it, so that it was its owner rests on whatever else you know."
    )
    return direct


def _stolen(of_it: OneKey, stamps: Sequence[StampSaid], report: RecordReport) -> None:
    """Only what somebody else saw before the theft counts."""
    since = begins(of_it.stolen_since)
    seen = sorted(_seen(stamps, report))
    what = f"It is signed with a key that was stolen, since {of_it.stolen_since or 'no known date'}"
    if since is not None and seen and seen[0] < since:
        report.notes.append(f"{what}. It was seen by somebody else before that, at {seen[0].isoformat()}.")
        return
    if not seen:
        sentence = f"{what}, and nobody whom you trust saw it before: it is not trusted."
    else:
        sentence = (
            f"{what}, and was first seen by somebody else at {seen[0].isoformat()}, not before: it is not trusted."
        )
    report.add("key-stolen", sentence)


def _seen(stamps: Sequence[StampSaid], report: RecordReport) -> list[datetime]:
    """When people whom the reader trusts saw it. A date that no calendar has is none."""
    found = [each.time for each in stamps if each.under]
    for each in report.signed:
        if each.timestamp is not None:
            try:
                found.append(moment_of(each.timestamp))
            except StampError:
                continue
    return found
