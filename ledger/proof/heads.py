"""The last entry of every book, and the tree over them: it tells a reader of one book that nothing was left out."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ledger.proof.envelope import Envelope, head_leaf
from ledger.proof.nodes import Node, appended, leaf_hash, replaced, root
from ledger.proof.report import Evidence, Report


@dataclass(frozen=True)
class Head:
    """Where a book's chain ends: its last entry's number within the book, and that entry's leaf hash."""

    book: str
    book_no: int
    book_seq: int
    leaf: str

    def to_bytes(self) -> bytes:
        """The bytes that stand for the book in the heads' tree."""
        return head_leaf(self.book, self.book_no, self.book_seq, self.leaf)


class Heads:
    """The books met so far, each with the end of its chain, and the root over them.

    Keeps: the root is worked out when it is asked for, over the books that moved since.
    """

    def __init__(self) -> None:
        self.by_book: dict[str, Head] = {}
        self._place: dict[str, int] = {}
        self._moved: dict[int, Head] = {}
        self._size = 0
        self._nodes: dict[Node, bytes] = {}

    @property
    def count(self) -> int:
        """How many books there are."""
        return len(self.by_book)

    @property
    def root(self) -> bytes:
        """The root over the books' heads, each in the place of its number."""
        for place, head in sorted(self._moved.items()):
            leaf = leaf_hash(head.to_bytes())
            if place == self._size:
                changed = appended(self._size, leaf, self._read)
                self._size += 1
            else:
                changed = replaced(self._size, place, leaf, self._read)
            self._nodes.update({(level, index): found for level, index, found in changed})
        self._moved.clear()
        return root(self._size, self._read)

    def flaws(self, entry: Envelope) -> Iterator[tuple[str, str]]:
        """What is wrong with an entry as the next one of its book: a code and a sentence each."""
        head = self.by_book.get(entry.book or "")
        yield from self._number_flaws(entry, head)
        expected = head.book_seq + 1 if head else 1
        if (other := self._continued(entry)) is not None:
            yield "other-book", f"Entry {entry.seq} says it is of book {entry.book}, but it continues book {other}."
        elif entry.book_seq != expected:
            yield out_of_turn(entry, expected)
        elif head and entry.book_prev != head.leaf:
            sentence = (
                f"Entry {entry.seq} of book {entry.book} does not follow the entry before it as that one stands here: "
                "one of the two was changed."
            )
            yield "book-link-broken", sentence

    def move(self, entry: Envelope, leaf: bytes) -> None:
        """Take an entry as the last one of its book; the number the book had first stays its number."""
        assert entry.book is not None
        assert entry.book_no is not None
        assert entry.book_seq is not None
        own = self.by_book.get(entry.book)
        head = Head(entry.book, own.book_no if own else entry.book_no, entry.book_seq, leaf.hex())
        place = self._place.setdefault(entry.book, len(self._place))
        self.by_book[entry.book] = self._moved[place] = head

    def _number_flaws(self, entry: Envelope, head: Head | None) -> Iterator[tuple[str, str]]:
        number, book = entry.book_no, entry.book
        if number == (head.book_no if head else self.count + 1):
            return
        owner = next((each.book for each in self.by_book.values() if each.book_no == number), None)
        if owner is not None:
            yield "book-number-used-twice", f"Entry {entry.seq} gives book {book} the number {number} of book {owner}."
        elif head:
            yield (
                "book-number-changed",
                f"Entry {entry.seq} gives book {book} the number {number}; it has had {head.book_no}.",
            )
        else:
            yield (
                "book-number-skipped",
                f"Entry {entry.seq} gives a new book the number {number}, where number {self.count + 1} belongs.",
            )

    def _continued(self, entry: Envelope) -> str | None:
        """The other book whose last entry this one follows, if it follows one."""
        own = self.by_book.get(entry.book or "")
        if entry.book_prev is None or (own and own.leaf == entry.book_prev):
            return None
        return next((each.book for each in self.by_book.values() if each.leaf == entry.book_prev), None)

    def _read(self, nodes: Sequence[Node]) -> list[bytes]:
        return [self._nodes[node] for node in nodes]


def out_of_turn(entry: Envelope, expected: int) -> tuple[str, str]:
    """What it means that an entry is not the one its book expects next: a code and a sentence."""
    code = "book-entry-missing" if (entry.book_seq or 0) > expected else "book-order-broken"
    sentence = f"Entry {entry.seq} is number {entry.book_seq} of book {entry.book}, where number {expected} belongs."
    return code, sentence


def tell(flaws: Iterable[tuple[str, str]], entry: Envelope, report: Report) -> None:
    """Add what is wrong with an entry to a report."""
    for code, sentence in flaws:
        evidence = Evidence.MISSING if code == "book-entry-missing" else Evidence.BROKEN
        report.add(code, sentence, evidence=evidence, seq=entry.seq, book=entry.book)
