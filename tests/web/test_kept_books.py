"""What is told of a book is kept until that book has another entry, and nothing that was erased is among it."""

from collections.abc import Callable
from datetime import date

import pytest

from ledger.events.erasure import Erasure
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.look import look_at
from tests.builders import a_purchase
from tests.web.stories import OWNER, Shelf
from web import kept_books
from web.book_told import told_of
from web.kept_books import BookKey, KeptBooks, ShownBook

TODAY = date(2026, 3, 4)
NOTE = Note(words=Sealed.of("Looked in on it."))


class Counter:
    """Tells books, and which were told."""

    def __init__(self, ledger: Ledger, most: int = kept_books.MOST) -> None:
        self.ledger, self.books, self.told = ledger, KeptBooks(most), list[str]()

    def size(self) -> int:
        with self.ledger.log.read() as reader:
            return reader.head().size

    def show(self, book: str, *, size: int | None = None, meanwhile: Callable[[], object] | None = None) -> ShownBook:
        def make() -> ShownBook:
            self.told.append(book)
            shown = ShownBook(told_of(look_at(self.ledger, OWNER, book), self.ledger.codec, TODAY))
            if meanwhile is not None:
                meanwhile()
            return shown

        at = self.size() if size is None else size
        return self.books.shown(self.ledger.log, at, BookKey(book, OWNER.id, TODAY), make)


@pytest.fixture
def counter(ledger: Ledger) -> Counter:
    return Counter(ledger)


def test_a_book_is_told_once_and_again_only_after_an_entry_of_its_own(counter: Counter, shelf: Shelf) -> None:
    one, two = shelf.takes(a_purchase()), shelf.takes(a_purchase())
    first = counter.show(one)
    counter.show(two)
    shelf.then(two, NOTE)
    assert counter.show(one) is first
    counter.show(two)
    assert counter.told == [one, two, two]


def test_an_entry_of_the_collection_itself_leaves_nothing(counter: Counter, shelf: Shelf) -> None:
    book = shelf.takes(a_purchase())
    counter.show(book)
    shelf.then(None, NOTE)
    counter.show(book)
    assert counter.told == [book, book]


def test_after_very_many_entries_nothing_is_looked_through(
    counter: Counter, shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_books, "FURTHEST", 2)
    one, two = shelf.takes(a_purchase()), shelf.takes(a_purchase())
    for more, told in ((2, [one]), (3, [one, one])):
        counter.show(one)
        for _ in range(more):
            shelf.then(two, NOTE)
        counter.show(one)
        assert counter.told == told


def test_what_was_told_while_the_ledger_grew_is_not_kept(counter: Counter, shelf: Shelf) -> None:
    one, two = shelf.takes(a_purchase()), shelf.takes(a_purchase())

    def write_and_look() -> None:
        shelf.then(one, NOTE)
        counter.show(two)

    counter.show(one, meanwhile=write_and_look)
    counter.show(one)
    assert counter.told == [one, two, one]


def test_a_page_that_began_before_an_entry_does_not_turn_back_what_is_kept(counter: Counter, shelf: Shelf) -> None:
    one, two = shelf.takes(a_purchase()), shelf.takes(a_purchase())
    before = counter.size()
    shelf.then(two, NOTE)
    first = counter.show(one)
    assert counter.show(one, size=before) is first
    assert counter.show(one) is first


def test_what_was_erased_is_in_nothing_that_is_kept(counter: Counter, shelf: Shelf) -> None:
    book, other = shelf.takes(a_purchase(seller=Sealed.of("A. Vendor"))), shelf.takes(a_purchase())
    said = counter.show(book).drawn(
        lambda told: ";".join(line for row in told.rows for each in row.sealed for line in each.lines)
    )
    assert "A. Vendor" in said
    shelf.then(book, Erasure(entry=shelf.seqs(book)[0], names=("seller",)))
    counter.show(other)
    kept = [key.book for held in counter.books._of.values() for key in held.of]
    assert kept == [other]


def test_a_book_is_drawn_once_and_then_only_the_drawing_is_there(counter: Counter, shelf: Shelf) -> None:
    shown = counter.show(shelf.takes(a_purchase()))
    drawings = iter(["drawn", "drawn again"])
    assert shown.drawn(lambda _: next(drawings)) == "drawn"
    assert shown.drawn(lambda _: next(drawings)) == "drawn"
    assert shown._told is None


def test_the_books_shown_first_go_when_there_are_too_many(ledger: Ledger, shelf: Shelf) -> None:
    counter = Counter(ledger, most=2)
    books = [shelf.takes(a_purchase()) for _ in range(3)]
    for book in (*books, books[2], books[0]):
        counter.show(book)
    assert counter.told == [*books, books[0]]
