"""Shapes that reads return: one row of the collection, one page of a list, and what may be asked of them."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Generic, NamedTuple, TypeVar

from ledger.events import Event

T = TypeVar("T")

PAGE = 60
"""Rows of a page unless asked otherwise."""
PAGE_MOST = 500


@dataclass(frozen=True)
class Page(Generic[T]):
    """Some rows and, when there are more, the cursor that goes on after them."""

    rows: list[T]
    after: str | None = None


@dataclass(frozen=True, kw_only=True)
class BookRow:
    """One book as the collection's list shows it; every field comes from its entries in force."""

    book: str
    no: int
    status: str
    title: str
    number: str
    start_year: int | None
    publisher: str | None
    cover_date: str | None
    holding: str | None
    holder_number: str | None
    grade_as_written: str | None
    grade_step: int | None
    """Index of the highest step of the grade in force on the ten-point scale, 0 for 0.5 to 24 for 10.0."""
    heading: str | None
    """Highest heading of the work done here; null when none was done."""
    spot: str | None
    on_bench: bool
    cover: str | None
    """SHA-256 of the clean copy of its newest front photograph."""
    state: str
    """One line that says what it is doing now."""
    entries: int
    """Number of entries of its chain; its tag for a later write."""
    since: str | None
    """EDTF; when it came into the collection, as far as known."""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What a list and a wall draw of a book beside its row; every field comes from its entries in force.

    Keeps: no sealed value is in it, only under which entry and name one lies.
    """

    kept: bool = True
    """It has neither left the collection nor turned out to be another book here."""
    grade_low: int | None = None
    """Index of the lowest step of the grade in force; its highest stands in the row."""
    opinion_of: str | None = None
    """Whose opinion the grade in force is."""
    stated_seq: int | None = None
    stated_field: str | None = None
    """Where the name of the service or person whose opinion it is lies sealed."""
    place_seq: int | None = None
    place_field: str | None = None
    """Where the name of its place lies sealed."""
    placed_on: str | None = None
    """EDTF; since when it is there, as far as known."""
    room: str | None = None
    wall: str | None = None
    x_cm: str | None = None
    y_cm: str | None = None
    height_mm: str | None = None
    width_mm: str | None = None
    """As last measured."""
    written_on: str = ""
    """Day, UTC, on which the last of its entries was recorded."""


class ShelfRow(NamedTuple):
    """One book as the page of the collection shows it, the names of its place and of its grader at hand."""

    book: str
    no: int
    status: str
    title: str
    number: str
    start_year: int | None
    publisher: str | None
    cover_date: str | None
    holding: str | None
    grade_as_written: str | None
    grade_low: int | None
    grade_step: int | None
    opinion_of: str | None
    heading: str | None
    spot: str | None
    state: str
    cover: str | None
    height_mm: str | None
    width_mm: str | None
    written_on: str
    graded_by: str | None
    """Null where no name was entered, or it was erased."""
    place: str | None
    """Null where it has no place, or the name was left empty or erased."""


class Span(NamedTuple):
    """Words from one on up to another, which is left out; None leaves the first alone."""

    low: str
    high: str | None = None
    but_sums: bool = False
    """Without what is written as sums are, with two signs behind a point, as 410.00."""

    def holds(self, word: str) -> bool:
        """The word is one of them."""
        if self.high is None:
            return word == self.low
        return self.low <= word < self.high and not (self.but_sums and word[-3:-2] == ".")


class FoundRow(NamedTuple):
    """One book that a search of everything found."""

    book: str
    no: int
    status: str
    title: str
    number: str
    start_year: int | None
    publisher: str | None
    state: str


class NumberedRow(NamedTuple):
    """One book that is in the collection, as a run counts it."""

    book: str
    no: int
    title: str
    start_year: int | None
    number: str
    grade_as_written: str | None
    grade_step: int | None


class HungRow(NamedTuple):
    """One book that hangs on a wall."""

    book: str
    no: int
    title: str
    number: str
    publisher: str | None
    cover_date: str | None
    holding: str | None
    grade_as_written: str | None
    cover: str | None
    height_mm: str | None
    width_mm: str | None
    placed_on: str | None
    room: str | None
    wall: str | None
    x_cm: str | None
    y_cm: str | None
    place: str | None
    """As in `ShelfRow`."""


class Tally(NamedTuple):
    """How many books are alike in all of these."""

    status: str
    holding: str | None
    heading: str | None
    on_bench: bool
    books: int


class PlaceTally(NamedTuple):
    """How many books are in one place; its name is null where it was left empty or erased."""

    spot: str
    place: str | None
    books: int
    room: str | None = None
    """Id of the room it stands in; null where no book in it names one, where they name several, and of walls."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Tallies:
    """The whole collection, counted. One count is the same as another only if it was made once for both."""

    books: tuple[Tally, ...]
    """In no order."""
    places: tuple[PlaceTally, ...]
    """By kind of spot, then by name."""


@dataclass(frozen=True, kw_only=True)
class ListQuery:
    """In which order, from where on, and what any list of books can be narrowed by."""

    text: str | None = None
    on_bench: bool | None = None
    grade_from: int | None = None
    grade_to: int | None = None
    sort: str = "title"
    """title, number, grade, or recent."""
    descending: bool = False
    after: str | None = None
    limit: int = PAGE


@dataclass(frozen=True, kw_only=True)
class BookQuery(ListQuery):
    """Which books, in which order; every filter left out lets all through."""

    status: str | None = None
    holding: str | None = None
    heading: str | None = None
    spot: str | None = None


NOTHING = ""
"""Among the headings of a query: no work was done here. Among its places: the book is here, its place has no name."""


@dataclass(frozen=True, kw_only=True)
class ShelfQuery(ListQuery):
    """Which books, where several answers to one question may be right; an empty list lets all through."""

    kept: bool | None = None
    statuses: tuple[str, ...] = ()
    holdings: tuple[str, ...] = ()
    headings: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class EntryQuery:
    """Which entries, in the order they were recorded."""

    book: str | None = None
    kinds: tuple[str, ...] = field(default=())
    act: str | None = None
    after: int = 0
    """Only entries with a greater number, or a smaller one when `newest_first`."""
    limit: int = PAGE
    newest_first: bool = False
    recorded_from: date | None = None
    recorded_to: date | None = None
    """Only entries recorded on these days or between them. Units: days, UTC."""
    happened_from: date | None = None
    happened_to: date | None = None
    """Only what may have happened on these days or between them, by what the entry says; an unknown date never does."""


class DaybookRow(NamedTuple):
    """One entry as the day book shows it, every sealed field withheld."""

    seq: int
    recorded: datetime
    leaf: str
    kind: str
    book: str | None
    title: str | None
    """Series title of its book as it is known now; null for the collection itself."""
    number: str | None
    act: str
    together: int
    """How many entries its act has, itself among them."""
    event: Event | None
    """Null where the bytes cannot be read; a verification says what is wrong with them."""
