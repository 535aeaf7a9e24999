"""The stranger's verifier: one book's proof file and the owner's verifier key in, a verdict out.

It hashes the entries itself, takes each place from the entry and the size from the checkpoint, and takes no key from
the file. What it finds good was not changed, moved or left out since the checkpoint was signed; whether it was true
when it was written, no proof can tell.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ledger.proof.attested import open_checkpoint
from ledger.proof.book_chain import BookChain
from ledger.proof.canonical import Plain
from ledger.proof.chain import Envelope, unreadable
from ledger.proof.checkpoint import Checkpoint, collection_of, parse
from ledger.proof.heads import Head, tell
from ledger.proof.held import hold_against
from ledger.proof.merkle import ProofError, leaf_hash, verify_inclusion
from ledger.proof.note import read_note
from ledger.proof.proof_file import EntryProof, HeadProof, ProofFile
from ledger.proof.report import Evidence, LedgerError, MalformedError, Report
from ledger.proof.sealing import check
from ledger.proof.signature import ForgedError, Signed, UnsignedError, VerifierKey

__all__ = ["EntryRead", "RecordReport", "read_entry", "verify", "verify_file"]


@dataclass(frozen=True, kw_only=True)
class EntryRead:
    """One entry that was found good: what it says, what was opened, and which names the owner keeps closed."""

    seq: int
    book_seq: int
    act: str
    kind: str
    v: int
    on: str | None
    recorded: str
    leaf: str
    body: Mapping[str, Plain]
    opened: Mapping[str, Plain]
    withheld: tuple[str, ...]


@dataclass(kw_only=True)
class RecordReport(Report):
    """The verdict on one book's record: all findings or, when there are none, what it proves.

    `size` entries and `books` books were in the ledger when the checkpoint was signed. `signed` are the signatures
    that hold; one with a timestamp says that a second person saw the ledger then. `held` is the size of the older
    checkpoint it was held against.
    """

    checkpoint: Checkpoint | None = None
    signed: tuple[Signed, ...] = ()
    unknown_signers: tuple[str, ...] = ()
    held: int | None = None
    book: str = ""
    book_no: int = 0
    entries: list[EntryRead] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many entries the ledger had."""
        return self.checkpoint.size if self.checkpoint else 0

    @property
    def books(self) -> int:
        """How many books the ledger had."""
        return self.checkpoint.heads_count if self.checkpoint else 0


def verify(data: bytes, keys: Sequence[VerifierKey], held: bytes | str | None = None) -> RecordReport:
    """Check a book's proof file with keys that came from elsewhere, and with an older checkpoint if one is at hand.

    Gives every finding; entries are told only when there is none.
    """
    try:
        file = ProofFile.from_bytes(data)
    except MalformedError as error:
        report = RecordReport()
        report.add("file-unreadable", str(error))
        return report
    return verify_file(file, keys, held)


def verify_file(file: ProofFile, keys: Sequence[VerifierKey], held: bytes | str | None = None) -> RecordReport:
    """As `verify`, of a file that was read."""
    report = RecordReport()
    report.book, report.book_no = file.head.book, file.head.book_no
    checkpoint = report.checkpoint = _checkpoint(file.checkpoint, keys, report)
    envelopes = [
        read_entry(f"The record's entry {place}", each, checkpoint, report)
        for place, each in enumerate(file.entries, 1)
    ]
    last = _chain(file, envelopes, report)
    _head(file.head, last, checkpoint, report)
    if checkpoint and held is not None:
        report.held = hold_against(checkpoint, file.consistency, held, keys, report)
    if report.findings:
        report.entries.clear()
    return report


def _checkpoint(note: str, keys: Sequence[VerifierKey], report: RecordReport) -> Checkpoint | None:
    """The checkpoint a note says, good or not: what else is wrong is told as well."""
    report.count("checkpoints")
    try:
        checkpoint, opened = open_checkpoint(note, keys)
    except ForgedError as error:
        report.add("checkpoint-forged", str(error))
    except UnsignedError as error:
        report.add("checkpoint-other-key", str(error))
    except MalformedError as error:
        report.add("checkpoint-unreadable", str(error))
    else:
        report.signed = opened.verified
        report.unknown_signers = tuple(name for name, _ in opened.unknown)
        return checkpoint
    try:
        return parse(read_note(note).text)
    except MalformedError:
        return None


def read_entry(what: str, each: EntryProof, checkpoint: Checkpoint | None, report: RecordReport) -> Envelope | None:
    """One entry by itself: its form, its way to the root, its sealed fields; what it says goes to the report."""
    report.count("entries")
    try:
        entry = Envelope.from_bytes(each.data)
    except MalformedError as error:
        report.findings.append(unreadable(what, each.data, error))
        return None
    if checkpoint:
        _inclusion(entry, each, checkpoint, report)
    try:
        opened = check(entry.sealed, each.opened)
    except MalformedError as error:
        field_name = f" {error.where}" if error.where else ""
        sentence = f"Entry {entry.seq}, sealed field{field_name}: {error.problem}."
        report.add("sealed-value-differs", sentence, seq=entry.seq, book=entry.book)
        return entry
    report.count("sealed values", len(opened))
    report.entries.append(_read(entry, each.data, opened))
    return entry


def _read(entry: Envelope, data: bytes, opened: Mapping[str, Plain]) -> EntryRead:
    return EntryRead(
        seq=entry.seq,
        book_seq=entry.book_seq or 0,
        act=entry.act,
        kind=entry.kind,
        v=entry.v,
        on=entry.on,
        recorded=entry.recorded,
        leaf=leaf_hash(data).hex(),
        body=entry.body,
        opened=opened,
        withheld=tuple(sorted(entry.sealed.keys() - opened.keys())),
    )


def _inclusion(entry: Envelope, each: EntryProof, checkpoint: Checkpoint, report: RecordReport) -> None:
    code, sentence = "", ""
    if entry.collection != collection_of(checkpoint.origin):
        code, sentence = "other-collection", f"Entry {entry.seq} is of another collection, {entry.collection}."
    elif entry.seq > checkpoint.size:
        code = "entry-after-checkpoint"
        sentence = f"Entry {entry.seq} came after the checkpoint, which speaks of {checkpoint.size} entries."
    else:
        try:
            verify_inclusion(entry.seq - 1, checkpoint.size, leaf_hash(each.data), each.proof, checkpoint.root)
        except ProofError:
            code = "entry-not-in-ledger"
            sentence = f"Entry {entry.seq} is not in the ledger that was signed: it or its proof was changed."
        except MalformedError as error:
            code, sentence = "proof-malformed", f"The proof of entry {entry.seq} is none: {error.problem}."
    if code:
        report.add(code, sentence, seq=entry.seq, book=entry.book)


def _chain(file: ProofFile, envelopes: Sequence[Envelope | None], report: RecordReport) -> Head | None:
    """The entries one after another; gives the end of the chain as the entries themselves tell it."""
    chain = BookChain(file.head)
    for each, entry in zip(file.entries, envelopes, strict=True):
        leaf = leaf_hash(each.data).hex()
        if entry is not None:
            tell(chain.flaws(entry, leaf), entry, report)
        chain.move(entry, leaf)
    return chain.last


def _head(head: HeadProof, last: Head | None, checkpoint: Checkpoint | None, report: RecordReport) -> None:
    """The end of the book's chain: that the entries reach it, and that it is in the tree over all books."""
    found = last.book_seq if last else 0
    if head.book_seq > found:
        sentence = f"The book had {head.book_seq} entries when the checkpoint was signed; the record ends at {found}."
        report.add("book-entry-missing", sentence, evidence=Evidence.MISSING, book=head.book)
    elif last and last.leaf != head.leaf:
        sentence = f"The record ends with another entry than the book's last one, number {head.book_seq}."
        report.add("head-differs", sentence, book=head.book)
    if checkpoint is None:
        return
    try:
        leaf = leaf_hash(Head(head.book, head.book_no, head.book_seq, head.leaf).to_bytes())
        verify_inclusion(head.book_no - 1, checkpoint.heads_count, leaf, head.proof, checkpoint.heads_root)
    except LedgerError:
        sentence = (
            f"What is said to be the last entry of book {head.book} is not in the ledger that was signed: "
            "it or its proof was changed, or a later entry was left out."
        )
        report.add("head-not-in-ledger", sentence, book=head.book)
