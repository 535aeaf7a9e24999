"""One book's entries as a record shows them, one after another, and what the next one must be."""

from collections.abc import Iterator

from ledger.proof.envelope import Envelope
from ledger.proof.heads import Head, out_of_turn
from ledger.proof.proof_file import HeadProof


class BookChain:
    """A book's entries read so far; `last` is where they end, as they tell it themselves."""

    def __init__(self, head: HeadProof) -> None:
        self.last: Head | None = None
        self._head = head
        self._expected = 1
        self._seq = 0
        self._leaf = ""
        self._leaves: set[str] = set()
        self._numbers: set[int] = set()

    def flaws(self, entry: Envelope, leaf: str) -> Iterator[tuple[str, str]]:
        """What is wrong with an entry as the next one: a code and a sentence each."""
        if leaf in self._leaves:
            yield "entry-twice", f"Entry {entry.seq} stands in this record a second time."
            return
        if entry.seq in self._numbers:
            yield "number-used-twice", f"A second entry has the number {entry.seq}."
        elif entry.seq < self._seq:
            yield "order-broken", f"Entry {entry.seq} stands behind entry {self._seq}."
        if entry.book != self._head.book:
            whose = f"book {entry.book}" if entry.book else "the collection itself"
            yield "other-book", f"Entry {entry.seq} is of {whose}; this is the record of book {self._head.book}."
            return
        if entry.book_no != self._head.book_no:
            numbers = f"the number {entry.book_no}; here it has {self._head.book_no}"
            yield "book-number-changed", f"Entry {entry.seq} gives book {entry.book} {numbers}."
        if entry.book_seq != self._expected:
            yield out_of_turn(entry, self._expected)
        elif entry.book_prev is not None and entry.book_prev != self._leaf:
            which = "does not follow the entry before it in this record"
            yield "book-link-broken", f"Entry {entry.seq} {which}: one of the two was changed."

    def move(self, entry: Envelope | None, leaf: str) -> None:
        """Go past an entry, readable or not; one that stands here a second time changes nothing."""
        if leaf in self._leaves:
            return
        self._leaves.add(leaf)
        self._leaf = leaf
        if entry is not None:
            self._numbers.add(entry.seq)
            self._seq = entry.seq
            self._expected = entry.book_seq or self._expected
            self.last = Head(entry.book or "", entry.book_no or 0, entry.book_seq or 0, leaf)
        self._expected += 1
