"""Looks at one book: its state, its whole history, what may be said of its work, and who holds which value."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.book import Book
from ledger.entry import Entry
from ledger.history import Moment, history, states
from ledger.ports import Ledger, Reader
from ledger.statement import Statement, statement
from ledger.views import BookRow


@dataclass(frozen=True, kw_only=True)
class BookLook:
    """One book as its page shows it; `moments` in the order of happening, withdrawn ones among them."""

    row: BookRow
    moments: tuple[Moment, ...]
    states: tuple[Book, ...]
    """The book before its first moment and after each."""
    statement: Statement

    @property
    def book(self) -> Book:
        """The book as it is now."""
        return self.states[-1]


def look_at(ledger: Ledger, actor: Actor, book: str) -> BookLook:
    """A book with all that is known of it.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return _look(ledger, reader, book)


def rows_of(ledger: Ledger, actor: Actor, books: Sequence[str]) -> list[BookRow]:
    """These books as the list shows them, each once, in this order.

    Raises: NotFoundError for one that is not here.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return [reader.book(book) for book in dict.fromkeys(books)]


def entry_of(ledger: Ledger, actor: Actor, seq: int) -> tuple[Entry, Moment | None]:
    """One entry and, when it is of a book, how it counts now.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        entry = reader.entry(seq)
        whole = reader.of_collection() if entry.book is None else reader.of_book(entry.book)
        moments = history(whole, ledger.codec)
        return entry, next((moment for moment in moments if moment.entry.seq == seq), None)


def _look(ledger: Ledger, reader: Reader, book: str) -> BookLook:
    row = reader.book(book)
    moments = history(reader.of_book(book), ledger.codec)
    along = states(book, row.no, moments)
    return BookLook(row=row, moments=tuple(moments), states=tuple(along), statement=statement(along[-1], moments))
