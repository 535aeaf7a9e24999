"""Reads the lists of one collection from one snapshot: what is on the shelf, on the walls, counted, searched, added up."""

from abc import ABC, abstractmethod
from collections.abc import Sequence

from sqlalchemy import Connection

from ledger.cost_rows import KeptCosts
from ledger.ports import LogHead
from ledger.store import cost_rows, nearest, queries, shelf, words
from ledger.store.read_before import ReadBefore
from ledger.views import FoundRow, HungRow, NumberedRow, Page, ShelfQuery, ShelfRow, Span, Tallies

__all__ = ["ListReader"]


class ListReader(ABC):
    """The part of `ports.Reader` that is read from the lists alone."""

    def __init__(
        self, connection: Connection, collection: str, before: ReadBefore, counted: shelf.Counted | None
    ) -> None:
        self._connection, self._collection, self._before, self._counted = connection, collection, before, counted

    @abstractmethod
    def head(self) -> LogHead:
        """The end of the chain."""

    def shelf(self, query: ShelfQuery) -> Page[ShelfRow]:
        """Rows of the collection's page, with the names of places and graders."""
        return shelf.shelf(self._connection, self._collection, query)

    def nearest_titles(self, text: str, limit: int) -> list[str]:
        """Titles most like a misspelt one."""
        return nearest.nearest_titles(self._connection, self._collection, text, limit)

    def numbered(self, title: str | None = None) -> list[NumberedRow]:
        """Books in the collection, of one title or of all."""
        return nearest.numbered(self._connection, self._collection, title)

    def found(self, wanted: Sequence[Sequence[Span]], limit: int) -> list[FoundRow]:
        """Books with a word in one of the spans wanted, for each of them."""
        return words.found(self._connection, self._collection, wanted, limit)

    def vocabulary(self) -> Sequence[str]:
        """Every word without a digit; where it only reads, once for each size of the ledger."""
        if self._counted is None:
            return words.vocabulary(self._connection, self._collection)
        return self._before.words.at(self.head().size, lambda: words.vocabulary(self._connection, self._collection))

    def hung(self, limit: int) -> list[HungRow]:
        """Books that hang on a wall."""
        return shelf.hung(self._connection, self._collection, limit)

    def tallies(self) -> Tallies:
        """The whole collection, counted; where it only reads, once for each size of the ledger."""
        if self._counted is None:
            return shelf.tallies(self._connection, self._collection)
        return self._counted.at(self.head().size, lambda: shelf.tallies(self._connection, self._collection))

    def is_clean(self, sha256: str) -> bool:
        """Some book's photograph has a clean copy of that digest."""
        return shelf.is_clean(self._connection, self._collection, sha256)

    def books_in_holder(self, holder_number: str) -> list[str]:
        """Books that are in a holder of that number."""
        return queries.books_in_holder(self._connection, self._collection, holder_number)

    def costs(self, home: str, year: int | None = None) -> KeptCosts:
        """What all books cost, those in the home currency added up; or the rows of one year."""
        return cost_rows.kept_costs(self._connection, self._collection, home, year)
