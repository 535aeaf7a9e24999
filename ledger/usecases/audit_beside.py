"""Holds what lies beside the entries against them, as they are walked over: tree nodes, heads, sealed values."""

from collections import defaultdict
from collections.abc import Sequence

from ledger.errors import LedgerError
from ledger.ports import HEADS, Reader, SealedValue
from ledger.proof import merkle
from ledger.proof.chain import Envelope, Walk, head_leaf
from ledger.proof.report import Evidence, Report
from ledger.proof.sealing import digest, disclosure
from ledger.usecases.stored import BATCH, LAST, erased

__all__ = ["TOLD", "SealedAudit", "TreeAudit", "audit_heads"]

TOLD = 20
"""Nodes of a tree, or rows left over, that are named one by one; a single entry taken out moves all behind it."""


class TreeAudit:
    """Every kept node of a tree against the leaves, which come one after another; the right edge alone is remembered."""

    def __init__(self, reader: Reader, tree: str, report: Report) -> None:
        self._reader, self._tree, self._report = reader, tree, report
        self._size = self._wrong = self._count = 0
        self._edge: dict[int, tuple[int, bytes]] = {}
        self._due: list[tuple[int, int, bytes]] = []

    def add(self, leaf: bytes) -> None:
        """The next leaf."""
        for level, index, found in merkle.appended(self._size, leaf, self._last):
            self._edge[level] = (index, found)
            self._due.append((level, index, found))
        self._size += 1
        if len(self._due) >= BATCH:
            self._compare()

    def finish(self) -> None:
        """After the last leaf."""
        self._compare()
        if self._wrong > TOLD:
            more = f"{self._wrong - TOLD} more nodes of the tree of {self._tree} are changed or missing; rebuild mends them."
            self._report.add("node-changed", more)
        self._report.count("nodes", self._count)
        if self._reader.node_count(self._tree) > self._count:
            self._report.add(
                "node-changed", f"The tree of {self._tree} has nodes that no entry accounts for; rebuild mends it."
            )

    def _last(self, which: Sequence[tuple[int, int]]) -> list[bytes]:
        """Nodes that the next leaf is joined with: the last one made on each level."""
        found = [self._edge[level] for level, _ in which]
        assert [index for index, _ in found] == [index for _, index in which]
        return [each for _, each in found]

    def _compare(self) -> None:
        kept = self._reader.nodes(self._tree, [(level, index) for level, index, _ in self._due])
        for (level, index, expected), found in zip(self._due, kept, strict=True):
            if found == expected:
                continue
            self._wrong += 1
            if self._wrong <= TOLD:
                state = "changed" if found else "missing"
                sentence = f"Node {index} on level {level} of the tree of {self._tree} is {state}; rebuild mends it."
                self._report.add("node-changed", sentence)
        self._count += len(self._due)
        self._due.clear()


def audit_heads(reader: Reader, walk: Walk, report: Report) -> None:
    """Every book's head against its last entry, and their tree."""
    heads = sorted(walk.heads.values(), key=lambda head: head.book_no)
    kept = {head.book: head for head in reader.book_heads()}
    tree = TreeAudit(reader, HEADS, report)
    for head in heads:
        own = kept.pop(head.book, None)
        if own is None or (own.no, own.seq, own.leaf) != (head.book_no, head.book_seq, head.leaf):
            report.add(
                "head-leaf-differs",
                f"The head kept for book {head.book} is not its last entry: an older one was put back, or it was changed.",
                book=head.book,
            )
        tree.add(merkle.leaf_hash(head_leaf(head.book, head.book_no, head.book_seq, head.leaf)))
    for book in kept:
        report.add("head-leaf-differs", f"A head is kept for book {book}, which has no entries.", book=book)
    tree.finish()


class SealedAudit:
    """Every sealed value against its digest; one that is gone must have been erased."""

    def __init__(self, reader: Reader, report: Report) -> None:
        self._reader, self._report = reader, report
        self._gone = erased(reader)
        self._held: dict[int, dict[str, SealedValue]] = {}
        self._behind = -LAST

    def turn(self, first: int) -> None:
        """The next run of entries begins with that number."""
        self._tell_orphans(self._held)
        self._tell_orphans(self._read(self._behind, first - self._behind))
        self._held = self._read(first, BATCH)
        self._behind = first + BATCH

    def look(self, seq: int, entry: Envelope | None) -> None:
        """One entry of the run; None where its bytes cannot be read."""
        held = self._held.pop(seq, {})
        if entry is None:
            return
        for name, expected in entry.sealed.items():
            self._report.count("sealed values")
            _audit_value(self._report, seq, name, expected, held.pop(name, None), (seq, name) in self._gone)
        for name in held:
            sentence = f"A value {name} lies beside entry {seq}, which has no such field."
            self._report.add("sealed-changed", sentence, seq=seq)

    def finish(self) -> None:
        """After the last entry."""
        self._tell_orphans(self._held)
        self._tell_orphans(self._read(self._behind, LAST - self._behind))

    def _read(self, first: int, count: int) -> dict[int, dict[str, SealedValue]]:
        held: dict[int, dict[str, SealedValue]] = defaultdict(dict)
        for value in self._reader.sealed_between(first, count):
            held[value.seq][value.name] = value
        return held

    def _tell_orphans(self, held: dict[int, dict[str, SealedValue]]) -> None:
        for seq in held:
            sentence = f"Sealed values are kept for entry {seq}, which is not here: it was taken out."
            self._report.add("sealed-without-entry", sentence, evidence=Evidence.MISSING, seq=seq)


def _audit_value(report: Report, seq: int, name: str, expected: str, value: SealedValue | None, named: bool) -> None:  # noqa: FBT001, PLR0913
    gone = value is None or value.salt is None
    if gone and not named:
        sentence = f"The sealed value {name} of entry {seq} is missing, and no erasure names it."
        report.add("sealed-missing", sentence, evidence=Evidence.MISSING, seq=seq)
    elif not gone and named:
        report.add("sealed-kept", f"The sealed value {name} of entry {seq} was erased, and is still here.", seq=seq)
    elif value is not None and value.salt is not None:
        try:
            matches = digest(disclosure(value.salt, name, value.value)) == expected
        except LedgerError:
            matches = False
        if not matches:
            report.add("sealed-changed", f"The sealed value {name} of entry {seq} or its salt was changed.", seq=seq)
