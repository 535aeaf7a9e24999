"""The page of the collection and the walls, read from a log in memory: filters, names that lie sealed, counts."""

from abc import ABC, abstractmethod
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

from ledger.cost_rows import CostSum, KeptCosts
from ledger.folding import folded
from ledger.ports import SealedValue
from ledger.rows import Listing
from ledger.store.asking import search_words
from ledger.views import (
    NOTHING,
    BookQuery,
    FoundRow,
    HungRow,
    ListQuery,
    NumberedRow,
    PlaceTally,
    ShelfQuery,
    ShelfRow,
    Span,
    Tallies,
    Tally,
)

R = TypeVar("R", ShelfRow, HungRow)
Sealed = Mapping[tuple[int, str], SealedValue]


class Lists(ABC):
    """What a log in memory reads from its lists alone."""

    @abstractmethod
    def listings(self) -> Iterator[Listing]: ...

    def is_clean(self, sha256: str) -> bool:
        return any(sha256 in each.pictures for each in self.listings())

    def books_in_holder(self, holder_number: str) -> list[str]:
        return [each.row.book for each in self.listings() if each.row.holder_number == holder_number]

    def found(self, wanted: Sequence[Sequence[Span]], limit: int) -> list[FoundRow]:
        def has(each: Listing, spans: Sequence[Span]) -> bool:
            return any(span.holds(word) for word in each.words for span in spans)

        books = [each for each in self.listings() if wanted and all(has(each, spans) for spans in wanted)]
        books.sort(key=lambda each: (each.title_key, each.row.no))
        return [FoundRow(**{name: getattr(each.row, name) for name in FoundRow._fields}) for each in books][:limit]

    def numbered(self, title: str | None = None) -> list[NumberedRow]:
        kept = [each for each in self.listings() if each.drawn.kept]
        own = [each for each in kept if title is None or folded(each.row.title) == folded(title)]
        own.sort(key=lambda each: (each.title_key, each.row.no))
        return [NumberedRow(**{name: getattr(each.row, name) for name in NumberedRow._fields}) for each in own]

    def vocabulary(self) -> list[str]:
        return sorted(
            {word for each in self.listings() for word in each.words if word >= ":" and not any(map(str.isdigit, word))}
        )


def row_of(sealed: Sealed, each: Listing) -> ShelfRow:
    """The row with the names of place and grader."""
    grader = _value(sealed, each.drawn.stated_seq, each.drawn.stated_field)
    return _made(ShelfRow, each, place=_place(sealed, each), graded_by=grader)


def hung(sealed: Sealed, listings: Sequence[Listing]) -> list[HungRow]:
    """Every book on a wall."""
    found = [each for each in listings if each.row.spot == "wall"]
    found.sort(key=lambda each: (each.drawn.room or "", each.drawn.wall or "", each.title_key, each.row.no))
    return [_made(HungRow, each, place=_place(sealed, each)) for each in found]


def tallies(sealed: Sealed, listings: Sequence[Listing]) -> Tallies:
    """Counts over every book."""
    rows = [each.row for each in listings]
    alike = Counter((row.status, row.holding, row.heading, row.on_bench) for row in rows)
    books = [Tally(*each, books) for each, books in alike.items()]
    placed = Counter((each.row.spot, _place(sealed, each)) for each in listings if each.row.spot)
    places = [
        PlaceTally(str(spot), place, books, _room(sealed, listings, str(spot), place))
        for (spot, place), books in placed.items()
    ]
    places.sort(key=lambda each: (each.spot, each.place is None, each.place or ""))
    return Tallies(books=tuple(books), places=tuple(places))


def _room(sealed: Sealed, listings: Sequence[Listing], spot: str, place: str | None) -> str | None:
    """The room that every book of a named box or safe names, of those that name one."""
    inside = [each for each in listings if each.row.spot == spot and _place(sealed, each) == place]
    rooms = {each.drawn.room for each in inside if each.drawn.room}
    return rooms.pop() if len(rooms) == 1 and spot != "wall" and place is not None else None


def lets_through(sealed: Sealed, query: ShelfQuery, each: Listing) -> bool:
    """The query lets that book through."""
    row, place = each.row, _place(sealed, each)
    if query.kept not in (None, each.drawn.kept):
        return False
    if query.places and not place and row.status != "here":
        return False
    asked = (
        (query.statuses, row.status),
        (query.holdings, row.holding),
        (query.headings, row.heading or NOTHING),
        (query.places, place or NOTHING),
    )
    return all(not wanted or found in wanted for wanted, found in asked) and is_within(query, each)


def is_within(query: ListQuery, each: Listing) -> bool:
    """What any list can be narrowed by lets that book through."""
    row = each.row
    if query.on_bench not in (None, row.on_bench):
        return False
    step = -1 if row.grade_step is None else row.grade_step
    if query.grade_from is not None and not (row.grade_step is not None and step >= query.grade_from):
        return False
    if query.grade_to is not None and not (row.grade_step is not None and step <= query.grade_to):
        return False
    return all(word in each.search for word in search_words(query))


def _place(sealed: Sealed, each: Listing) -> str | None:
    return _value(sealed, each.drawn.place_seq, each.drawn.place_field)


def _value(sealed: Sealed, seq: int | None, name: str | None) -> str | None:
    kept = sealed.get((seq or 0, name or ""))
    value = kept.value if kept else None
    assert value is None or isinstance(value, str)
    return value


def _made(kind: type[R], each: Listing, **names: str | None) -> R:
    """A row of that kind, from all that is known of a book."""
    known = {**vars(each.drawn), **vars(each.row), **names}
    return kind(**{name: known[name] for name in kind._fields})


def is_listed(query: BookQuery, each: Listing) -> bool:
    """What a query of the service lets through."""
    equal = ("status", "holding", "heading", "spot")
    if any(getattr(query, name) not in (None, getattr(each.row, name)) for name in equal):
        return False
    return is_within(query, each)


def costs(home: str, listings: Iterable[Listing], year: int | None = None) -> KeptCosts:
    """Every row of costs, those in the home currency added up, and those of periods with another one."""
    rows = [(each.row.book, row) for each in listings for row in each.costs]
    rows.sort(key=lambda pair: pair[0])
    if year is not None:
        of_year = [pair for pair in rows if year in (pair[1].year, pair[1].gain_year) and "value" not in pair[1].what]
        return KeptCosts(sums=(), mixed=of_year)
    alike: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for _book, row in rows:
        if row.currency in ("", home):
            key = (row.what, row.year, row.currency, row.why, row.held, row.gain, row.gain_year)
            alike[key].append(row.minor)
    others = {(book, row.period) for book, row in rows if row.currency not in ("", home)}
    return KeptCosts(
        sums=[CostSum._make((*key, sum(minors), len(minors))) for key, minors in alike.items()],
        mixed=[(book, row) for book, row in rows if (book, row.period) in others],
    )
