"""An older checkpoint in the reader's hands: whether the ledger still is what it was when that one was signed."""

from collections.abc import Sequence

from ledger.proof.attested import open_checkpoint
from ledger.proof.checkpoint import Checkpoint
from ledger.proof.merkle import ProofError, verify_consistency
from ledger.proof.proof_file import Consistency
from ledger.proof.report import Evidence, LedgerError, MalformedError, Report
from ledger.proof.signature import VerifierKey


def hold_against(
    new: Checkpoint,
    consistency: Consistency | None,
    held: bytes | str,
    keys: Sequence[VerifierKey],
    report: Report,
) -> int | None:
    """Hold a checkpoint against an older one from elsewhere; gives the size of that one where they agree.

    Findings go to the report, as seen only thanks to the older one.
    """
    try:
        old, _ = open_checkpoint(held, keys)
    except LedgerError as error:
        report.add("held-unreadable", f"The checkpoint you hold cannot be used. {error}")
        return None
    report.count("checkpoints")
    finding = _difference(old, new, consistency)
    if finding is None:
        return old.size
    code, sentence = finding
    evidence = Evidence.MISSING if code == "consistency-missing" else Evidence.ANCHOR
    report.add(code, sentence, evidence=evidence)
    return None


def _difference(old: Checkpoint, new: Checkpoint, consistency: Consistency | None) -> tuple[str, str] | None:
    """How two checkpoints of one ledger contradict one another: a code and a sentence."""
    if old.origin != new.origin:
        return "held-other-collection", f"The checkpoint you hold is of another collection, {old.origin}."
    if old.size > new.size:
        sentence = (
            f"You hold a checkpoint over {old.size} entries; the record's speaks of {new.size}. "
            "Entries were cut off, or an old copy was handed to you."
        )
        return "checkpoint-rewound", sentence
    if old.size == new.size:
        if old.root != new.root:
            return _changed(old)
        if (old.heads_count, old.heads_root) != (new.heads_count, new.heads_root):
            return "history-differs", "The checkpoint you hold tells other last entries of the books at the same size."
        return None
    return _growth(old, new, consistency)


def _growth(old: Checkpoint, new: Checkpoint, consistency: Consistency | None) -> tuple[str, str] | None:
    """Whether the proof shows that the entries of the older one are untouched in the newer one."""
    if old.size == 0:
        return None
    if consistency is None or consistency.first != old.size:
        sentence = (
            f"The record does not show how the ledger grew from the {old.size} entries of the checkpoint you hold. "
            "Send that checkpoint to the owner and ask for a record made for it."
        )
        return "consistency-missing", sentence
    try:
        verify_consistency(old.size, new.size, consistency.proof, old.root, new.root)
    except ProofError:
        return _changed(old)
    except MalformedError as error:
        return "proof-malformed", f"The proof that the ledger only grew is none: {error.problem}."
    return None


def _changed(old: Checkpoint) -> tuple[str, str]:
    return "history-differs", f"The first {old.size} entries are not those of the checkpoint you hold."
