"""Verifies the whole ledger from its bytes and returns every finding, not the first."""

from collections.abc import Callable

from ledger.actor import Actor, Permission
from ledger.ports import ENTRIES, Ledger, Reader, StoredEntry
from ledger.proof.chain import Envelope, Walk
from ledger.proof.envelope import moment_text
from ledger.proof.merkle import leaf_hash
from ledger.proof.report import Evidence, Report
from ledger.proof.stamped import StampCheck
from ledger.usecases.audit import audit_models, audit_pictures
from ledger.usecases.audit_beside import SealedAudit, TreeAudit, audit_heads
from ledger.usecases.audit_climate import audit_climate
from ledger.usecases.audit_database import audit_guards, audit_receipts, audit_tables
from ledger.usecases.audit_records import audit_records
from ledger.usecases.audit_stamps import audit_stamps
from ledger.usecases.signed import Held, Seen, expect_checkpoints
from ledger.usecases.stored import batches, size_said

Progress = Callable[[int, int], None]


def verify_ledger(
    ledger: Ledger,
    actor: Actor,
    *,
    anchor: str | None = None,
    stamps: StampCheck | None = None,
    progress: Progress = lambda _done, _all: None,
) -> Report:
    """Everything that is wrong with the ledger, or that it is whole; `anchor` is a checkpoint kept elsewhere.

    `stamps` checks time stamps against an authority; without one they are only looked at by themselves.

    Keeps: reads only, one unchanging view; a ledger without entries is not "verified".
    """
    actor.require(Permission.READ)
    report = Report()
    with ledger.log.read() as reader:
        if audit_tables(reader, report):
            held = audit_stamps(ledger, actor, stamps, report)
            seen = [Seen(each.stamp.size, each.time) for each in held if each.under and each.time is not None]
            _read_again(ledger, reader, report, Held(anchor, seen), progress)
        else:
            report.notes.append("Nothing else was read again: that can be done only once every table is back.")
        audit_guards(reader, report)
    if ledger.key_claimed and not ledger.signer.at_hand:
        report.notes.append(
            "The key was taken from the ledger itself: that shows only that the ledger agrees with itself. Verify with "
            "the key file, or with the verifier key you know."
        )
    if anchor is None:
        report.notes.append(
            "Entries cut from the end, an old copy put back, or a history made anew with the real key show only against "
            "a checkpoint kept elsewhere; none was given."
        )
    return report


def _read_again(ledger: Ledger, reader: Reader, report: Report, held: Held, progress: Progress) -> None:
    """The entries, and all that was worked out from them or kept beside them."""
    walk = Walk(reader.collection)
    expect_checkpoints(ledger, reader, walk, report, held)
    nodes, sealed = _walk(reader, walk, report, progress)
    report.join(walk.finish())
    _look_at_head(reader, walk, report)
    report.join(nodes)
    audit_heads(reader, walk, report)
    report.join(sealed)
    audit_receipts(reader, report)
    audit_models(ledger, reader, report)
    audit_pictures(ledger, reader, report)
    audit_records(ledger, reader, report)
    audit_climate(ledger, reader, report)
    if not walk.size:
        report.add(
            "nothing-here",
            "There is no entry to verify. An empty ledger is not a verified one.",
            evidence=Evidence.MISSING,
        )


def _walk(reader: Reader, walk: Walk, report: Report, progress: Progress) -> tuple[Report, Report]:
    """Every entry's bytes, read once: its place and what was indexed beside it; and reports on the tree and the values."""
    expected = size_said(reader) or 0
    told = Report(), Report()
    tree, sealed = TreeAudit(reader, ENTRIES, told[0]), SealedAudit(reader, told[1])
    for first, rows in batches(reader):
        sealed.turn(first)
        for row in rows:
            if walk.step(row.seq, row.data, bytes.fromhex(row.leaf)) is not None and walk.entry is not None:
                _compare_index(row, walk.entry, report)
            tree.add(leaf_hash(row.data))
            sealed.look(row.seq, walk.entry)
            progress(walk.size, expected)
    tree.finish()
    sealed.finish()
    return told


def _look_at_head(reader: Reader, walk: Walk, report: Report) -> None:
    """How many entries and books the head says there are."""
    if size_said(reader) is None:
        sentence = "The head, which says how many entries there are, is missing."
        report.add("head-differs", sentence, evidence=Evidence.MISSING)
        return
    head = reader.head()
    counted = (("entry", "entries", head.size, walk.size), ("book", "books", head.books, walk.heads_count))
    for one, many, said, here in counted:
        if said != here:
            sentence = (
                f"The head says {said} {one if said == 1 else many} and {here} {'is' if here == 1 else 'are'} here."
            )
            evidence = Evidence.MISSING if here < said else Evidence.BROKEN
            report.add("head-differs", sentence, evidence=evidence)


def _compare_index(row: StoredEntry, said: Envelope, report: Report) -> None:
    """The columns beside the bytes say the same as the bytes."""
    pairs = {
        "book": (said.book, row.book),
        "book number": (said.book_no, row.book_no),
        "number within the book": (said.book_seq, row.book_seq),
        "act": (said.act, row.act),
        "kind": (said.kind, row.kind),
        "actor": (said.actor, row.actor),
        "time of recording": (said.recorded, moment_text(row.recorded)),
    }
    for name, (in_bytes, beside) in pairs.items():
        if in_bytes != beside:
            report.add("index-differs", f"Beside entry {row.seq} stands another {name} than in its bytes.", seq=row.seq)
