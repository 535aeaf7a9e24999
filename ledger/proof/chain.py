"""The chain: entries one after another, each book's entries linked, and a walk that names everything out of order."""

from array import array
from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from ledger.proof.canonical import decode
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.envelope import FMT, Envelope, UnknownFormatError, head_leaf
from ledger.proof.heads import Head, Heads, tell
from ledger.proof.nodes import Frontier, leaf_hash
from ledger.proof.report import Evidence, Finding, MalformedError, Report

__all__ = ["FMT", "Envelope", "Head", "UnknownFormatError", "Walk", "head_leaf", "unreadable"]

_PREFIX: Final = 8


class Walk:
    """Goes through a collection's stored entries from the first to the last and gathers all that is wrong.

    An altered entry has another leaf hash than the one that was kept; by itself it shows where the next entry of
    its book does not follow, and in the root. Hand the kept leaf to `step` to have the very entry named, and the
    signed checkpoints to `expect` to have a chain named that was made anew from some entry on.

    Keeps: for the entries' tree O(log n) hashes, and eight bytes an entry to know a number that comes again.
    """

    def __init__(self, collection: str) -> None:
        self.collection = collection
        self.entry: Envelope | None = None
        """What was looked at last; None where it is no entry of this collection."""
        self._origin = origin_of(collection)
        self._report = Report()
        self._tree = Frontier()
        self._heads = Heads()
        self._numbers = _Numbers()
        self._row = 0
        self._shift = 0
        self._expected: dict[int, list[tuple[Checkpoint, Evidence]]] = {}
        self._differing = 0

    @property
    def size(self) -> int:
        """How many entries were walked."""
        return self._tree.size

    @property
    def root(self) -> bytes:
        """The root over the entries walked, as their bytes stand."""
        return self._tree.root

    @property
    def heads_count(self) -> int:
        """How many books were met."""
        return self._heads.count

    @property
    def heads_root(self) -> bytes:
        """The root over the last entry of each book met."""
        return self._heads.root

    @property
    def heads(self) -> Mapping[str, Head]:
        """The last entry of each book met."""
        return MappingProxyType(self._heads.by_book)

    def expect(self, checkpoint: Checkpoint, evidence: Evidence = Evidence.BROKEN) -> None:
        """Hold the walk against a checkpoint whose signature was found good.

        `evidence` is ANCHOR for a checkpoint kept where nobody who can change the entries can reach it.
        Requires: called before the walk has come to the checkpoint's size
        """
        assert checkpoint.size > self.size or not checkpoint.size, "a checkpoint is handed over before its entries"
        if checkpoint.origin != self._origin:
            sentence = f"A checkpoint over {checkpoint.size} entries is of another collection: {checkpoint.origin}."
            self._report.add("checkpoint-other-collection", sentence, evidence=evidence)
            return
        self._expected.setdefault(checkpoint.size, []).append((checkpoint, evidence))

    def step(self, seq: int, data: bytes, kept: bytes | None = None) -> bytes | None:
        """Look at the next stored entry: the number it is stored under, and its bytes.

        `kept` is the leaf hash that was kept for it, where there is one.
        Gives its leaf hash, or None when it cannot be read as an entry of this collection.
        """
        leaf = leaf_hash(data)
        self._tree.append(leaf)
        self._report.count("entries")
        if kept is not None and kept != leaf:
            self._report.add("entry-changed", f"Entry {seq} was changed after it was written.", seq=seq)
        entry = self.entry = self._read(seq, data)
        if entry is None:
            self._numbers.take(seq, leaf)
        else:
            self._look_at_number(seq, entry, leaf)
            self._look_at_book(entry, leaf)
        self._row = max(self._row, seq)
        self._look_at_checkpoints()
        return None if entry is None else leaf

    def finish(self) -> Report:
        """Everything found, with what is missing; a walk over nothing is not good."""
        report = replace(self._report, findings=list(self._report.findings), notes=list(self._report.notes))
        report.checked = {**self._report.checked, "books": self.heads_count}
        report.findings.extend(self._missing())
        report.findings.extend(self._cut())
        if self._differing > 1:
            report.notes.append(f"{self._differing - 1} later checkpoints differ from the entries as well.")
        return report

    def _read(self, seq: int, data: bytes) -> Envelope | None:
        try:
            entry = Envelope.from_bytes(data)
        except MalformedError as error:
            self._report.findings.append(unreadable(f"Entry {seq}", data, error, seq))
            return None
        if entry.collection != self.collection:
            sentence = f"Place {seq} holds entry {entry.seq} of another collection, {entry.collection}."
            self._report.add("other-collection", sentence, seq=seq)
            return None
        return entry

    def _look_at_number(self, seq: int, entry: Envelope, leaf: bytes) -> None:
        seen = self._numbers.take(entry.seq, leaf)
        if seen is not None:
            same = seen == leaf[:_PREFIX]
            code = "entry-twice" if same else "number-used-twice"
            again = f"Entry {entry.seq} stands a second time" if same else f"A second entry has the number {entry.seq}"
            self._report.add(code, f"{again}, in place {seq}.", seq=seq, book=entry.book)
        elif entry.seq - seq not in (0, self._shift):
            self._report.add("order-broken", f"Entry {entry.seq} stands in place {seq}.", seq=seq, book=entry.book)
        elif seq <= self._row:
            sentence = f"Entry {seq} stands behind entry {self._row}."
            self._report.add("order-broken", sentence, seq=seq, book=entry.book)
        # When one entry was slipped in or taken out, all behind it are off by one: that is said once.
        self._shift = entry.seq - seq

    def _look_at_book(self, entry: Envelope, leaf: bytes) -> None:
        if entry.book is None:
            return
        tell(self._heads.flaws(entry), entry, self._report)
        self._heads.move(entry, leaf)

    def _look_at_checkpoints(self) -> None:
        for checkpoint, evidence in self._expected.get(self.size, ()):
            self._report.count("checkpoints")
            if checkpoint.root != self.root:
                self._differing += 1
                if self._differing == 1:
                    sentence = (
                        f"The checkpoint over {self.size} entries has another root: "
                        f"something in entries 1 to {self.size} was changed after it was signed."
                    )
                    self._report.add("root-differs", sentence, evidence=evidence)
            elif (checkpoint.heads_count, checkpoint.heads_root) != (self.heads_count, self.heads_root):
                sentence = f"The checkpoint over {self.size} entries has other last entries of its books than these."
                self._report.add("heads-differ", sentence, evidence=evidence)

    def _missing(self) -> Iterator[Finding]:
        for first, last in self._numbers.gaps():
            which = f"Entry {first} is" if first == last else f"Entries {first} to {last} are"
            yield Finding(code="entry-missing", sentence=f"{which} missing.", evidence=Evidence.MISSING, seq=first)

    def _cut(self) -> Iterator[Finding]:
        longer = [pair for size, pairs in self._expected.items() if size > self.size for pair in pairs]
        if not longer:
            return
        checkpoint, evidence = max(longer, key=lambda pair: pair[0].size)
        short = checkpoint.size - self.size
        sentence = (
            f"A checkpoint was signed over {checkpoint.size} entries and {self.size} {'is' if self.size == 1 else 'are'} "
            f"here: {'the last one is' if short == 1 else f'the last {short} are'} missing."
        )
        missing = evidence if evidence is Evidence.ANCHOR else Evidence.MISSING
        yield Finding(code="entries-cut", sentence=sentence, evidence=missing, seq=self.size + 1)


def unreadable(name: str, data: bytes, error: MalformedError, seq: int | None = None) -> Finding:
    """The finding for bytes that are no entry, with a code for the reason; `name` is what the reader knows them by."""
    place = f" at {error.where}" if error.where else ""
    sentence = f"{name} cannot be read{place}: {error.problem}."
    return Finding(code=_reason(data, error), sentence=sentence, seq=seq)


def _reason(data: bytes, error: MalformedError) -> str:
    if isinstance(error, UnknownFormatError):
        return "unknown-format"
    try:
        decode(data)
    except MalformedError:
        return "not-canonical"
    return "not-an-entry"


class _Numbers:
    """The numbers met, each with the first bytes of its leaf hash."""

    def __init__(self) -> None:
        # One after another from 1 in the ordinary case; a number out of turn waits beside them.
        self._run = array("Q")
        self._apart: dict[int, int] = {}

    def take(self, number: int, leaf: bytes) -> bytes | None:
        """Note a number; gives what was noted for it before."""
        seen = self._run[number - 1] if 1 <= number <= len(self._run) else self._apart.get(number)
        if seen is not None:
            return seen.to_bytes(_PREFIX, "big")
        self._apart[number] = int.from_bytes(leaf[:_PREFIX], "big")
        while (following := self._apart.pop(len(self._run) + 1, None)) is not None:
            self._run.append(following)
        return None

    def gaps(self) -> Iterator[tuple[int, int]]:
        """The numbers left out, in runs from first to last."""
        before = len(self._run)
        for number in sorted(self._apart):
            if number > before + 1:
                yield before + 1, number - 1
            before = number
