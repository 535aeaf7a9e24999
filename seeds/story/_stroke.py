"""Tells many acts at one stroke: in one transaction, each chain read once, each list written once at the end."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, TypeVar, cast

from ledger.arriving import Glimpse
from ledger.book import Book
from ledger.entry import Entry
from ledger.events.photograph import Crop
from ledger.history import Moment
from ledger.ports import (
    ENTRIES,
    HEADS,
    BookHead,
    KeptPicture,
    Ledger,
    Log,
    LogHead,
    Partials,
    Pictures,
    Reader,
    SealedValue,
    StoredEntry,
    Told,
    Writer,
)
from ledger.views import BookRow
from seeds.pictures import read_picture

T = TypeVar("T")


def at_one_stroke(ledger: Ledger, work: Callable[[Ledger], T]) -> T:
    """What the work returned, once all it wrote through this ledger is durable; if it raised, nothing of it is kept.

    Keeps: within it every use case sees what the ones before it wrote, except for lists and filters, which are made last.
    """

    def within(writer: Writer) -> T:
        stroke = _Stroke(writer)
        # Nobody has signed in yet, and the accounts write through the same single writer, which is at work here.
        result = work(replace(ledger, log=cast("Log", _OneLog(cast("Writer", stroke))), accounts=None))
        stroke.finish()
        return result

    return ledger.log.write(within)


class _OneLog:
    """A log whose every write is part of one transaction that is under way; it is not rebuilt meanwhile."""

    def __init__(self, writer: Writer) -> None:
        self._writer = writer

    def write(self, work: Callable[[Writer], T]) -> T:
        return work(self._writer)

    @contextmanager
    def read(self) -> Iterator[Reader]:
        yield self._writer


class _Stroke:
    """A writer that keeps at hand what it wrote and is asked for again, and writes in one go what only the end needs.

    Keeps: entries and heads are written as they come; nodes, sealed values and lists before anything else is asked.
    """

    def __init__(self, writer: Writer) -> None:
        self._writer = writer
        self._head = writer.head()
        self._heads: dict[str, BookHead] = {}
        self._nodes: dict[str, dict[tuple[int, int], bytes]] = {ENTRIES: {}, HEADS: {}}
        self._new_nodes: dict[str, dict[tuple[int, int], bytes]] = {ENTRIES: {}, HEADS: {}}
        self._new_sealed: list[SealedValue] = []
        self._chains: dict[str | None, list[Entry]] = {}
        self._states: dict[str, tuple[Book, Sequence[Moment]]] = {}

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401  (whatever else a writer does)
        return getattr(self._whole(), name)

    @property
    def collection(self) -> str:
        """The collection that is written to."""
        return self._writer.collection

    def _whole(self) -> Writer:
        """The writer, after everything that waited was written."""
        for tree, nodes in self._new_nodes.items():
            self._writer.put_nodes(tree, [(*place, node) for place, node in nodes.items()])
            nodes.clear()
        self._writer.put_sealed(self._new_sealed)
        self._new_sealed = []
        return self._writer

    def head(self) -> LogHead:
        """The end of the chain."""
        return self._head

    def put_entry(self, entry: StoredEntry) -> None:
        """The next entry."""
        self._writer.put_entry(entry)
        self._head = LogHead(size=entry.seq, books=self._head.books + (entry.book_seq == 1))

    def book_head(self, book: str) -> BookHead:
        """The end of one book's chain."""
        return self._heads.get(book) or self._writer.book_head(book)

    def put_book_head(self, head: BookHead) -> None:
        """The end of one book's chain, moved."""
        self._writer.put_book_head(head)
        self._heads[head.book] = head

    def nodes(self, tree: str, which: Sequence[tuple[int, int]]) -> list[bytes]:
        """Nodes of a tree, from those written here if they are all among them."""
        known = self._nodes[tree]
        return [known[place] for place in which] if known.keys() >= set(which) else self._whole().nodes(tree, which)

    def put_nodes(self, tree: str, nodes: Iterable[tuple[int, int, bytes]]) -> None:
        """Nodes that have become whole or have changed; of those that change again only the last is written."""
        written = {(level, index): node for level, index, node in nodes}
        self._nodes[tree].update(written)
        self._new_nodes[tree].update(written)

    def put_sealed(self, values: Iterable[SealedValue]) -> None:
        """Salts and values of an entry's sealed fields."""
        self._new_sealed += values

    def of_book(self, book: str) -> list[Entry]:
        """The chain, in the very list that the act under way lengthens."""
        if book not in self._chains:
            self._chains[book] = self._whole().of_book(book)
        return self._chains[book]

    def of_collection(self) -> list[Entry]:
        """The same of the collection's own entries."""
        if None not in self._chains:
            self._chains[None] = self._whole().of_collection()
        return self._chains[None]

    def erase_sealed(self, seq: int, names: Sequence[str]) -> None:
        """Erased in the store; the chains at hand are read anew, since they hold what was erased."""
        self._whole().erase_sealed(seq, names)
        self._chains.clear()

    def project(self, book: Book, history: Sequence[Moment]) -> None:
        """Remembered until the end; only the last state of a book is ever read."""
        self._states[book.id] = (book, history)
        if book.id not in self._chains:
            self._chains[book.id] = sorted((moment.entry for moment in history), key=lambda entry: entry.seq)

    def book(self, book: str) -> BookRow:
        """Its row in the list, made now if it waited for the end."""
        writer = self._whole()
        if book in self._states:
            writer.project(*self._states[book])
        return writer.book(book)

    def finish(self) -> None:
        """Everything that waited, and the lists of every book touched."""
        writer = self._whole()
        for book, history in self._states.values():
            writer.project(book, history)


@contextmanager
def kept_ahead(pictures: Pictures, names: Sequence[str]) -> Iterator[Pictures]:
    """Pictures that are taken in by other threads while the story is told; `keep` waits for its own."""
    with ThreadPoolExecutor(max_workers=2) as pool:
        data = {name: read_picture(name) for name in dict.fromkeys(names)}
        yield _KeptAhead(pictures, {each: pool.submit(pictures.keep, each) for each in data.values()})


class _KeptAhead:
    """As the pictures it stands for; what it was told of before is kept already, or soon."""

    def __init__(self, pictures: Pictures, under_way: dict[bytes, Future[KeptPicture]]) -> None:
        self._pictures, self._under_way = pictures, under_way

    def keep(self, data: bytes) -> KeptPicture:
        known = self._under_way.get(data)
        return known.result() if known else self._pictures.keep(data)

    def glimpse(self, data: bytes, width: int) -> Glimpse:
        return self._pictures.glimpse(data, width)

    def read(self, sha256: str) -> bytes:
        return self._pictures.read(sha256)

    def pieces(self, sha256: str) -> Iterator[bytes]:
        return self._pictures.pieces(sha256)

    def small(self, sha256: str, width: int, part: Crop | None = None) -> bytes:
        return self._pictures.small(sha256, width, part)

    def stored(self) -> list[str]:
        return self._pictures.stored()

    def glance(self, sha256: str) -> tuple[int, bytes] | None:
        return self._pictures.glance(sha256)

    def digest(self, sha256: str) -> str | None:
        return self._pictures.digest(sha256)

    def room(self) -> int | None:
        return self._pictures.room()

    def told(self, sha256: str) -> Told:
        return self._pictures.told(sha256)

    @property
    def partials(self) -> Partials:
        return self._pictures.partials
