"""Reader and writer of the log in memory: the same answers and refusals as the database gives, from lists and dicts."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields

from ledger.cost_rows import KeptCosts
from ledger.damage import MissingTable
from ledger.entry import Entry
from ledger.errors import NotFoundError
from ledger.likeness import nearest
from ledger.ports import (
    BookHead,
    Codec,
    LogHead,
    Receipt,
    SealedValue,
    StoredCheckpoint,
    StoredEntry,
    StoredToken,
)
from ledger.rows import BEHIND_TITLE, Listing
from ledger.store.asking import page_limit, read_cursor, sort_key, write_cursor
from ledger.store.joined import joined
from ledger.views import (
    BookQuery,
    BookRow,
    DaybookRow,
    EntryQuery,
    HungRow,
    ListQuery,
    Page,
    ShelfQuery,
    ShelfRow,
    Tallies,
)
from tests import fake_shelf
from tests.fake_daybook import is_within, line


@dataclass
class Held:
    """Everything a log in memory holds."""

    entries: list[StoredEntry] = field(default_factory=list)
    nodes: dict[tuple[str, int, int], bytes] = field(default_factory=dict)
    book_heads: dict[str, BookHead] = field(default_factory=dict)
    sealed: dict[tuple[int, str], SealedValue] = field(default_factory=dict)
    receipts: dict[str, Receipt] = field(default_factory=dict)
    checkpoints: list[StoredCheckpoint] = field(default_factory=list)
    listings: dict[str, Listing] = field(default_factory=dict)
    tokens: dict[str, StoredToken] = field(default_factory=dict)

    def copy(self) -> "Held":
        return Held(**{each.name: getattr(self, each.name).copy() for each in fields(self)})


class FakeReader(fake_shelf.Lists):
    """As `ports.Reader`."""

    def __init__(self, held: Held, collection: str, codec: Codec) -> None:
        self.held, self._collection, self.codec = held, collection, codec

    @property
    def collection(self) -> str:
        return self._collection

    def head(self) -> LogHead:
        return LogHead(size=len(self.held.entries), books=len({each.book for each in self.held.entries} - {None}))

    def entry(self, seq: int) -> Entry:
        if not 1 <= seq <= len(self.held.entries):
            raise NotFoundError(what="entry", name=str(seq))
        return self._joined([self.held.entries[seq - 1]])[0]

    def stored(self, first: int, count: int) -> list[StoredEntry]:
        return [each for each in self.held.entries if first <= each.seq < first + count]

    def of_book(self, book: str) -> list[Entry]:
        return self._named("book", book, [each for each in self.held.entries if each.book == book])

    def of_collection(self) -> list[Entry]:
        return self._joined([each for each in self.held.entries if each.book is None])

    def numbers_of(self, kind: str) -> list[int]:
        return [each.seq for each in self.held.entries if each.kind == kind]

    def of_act(self, act: str) -> list[Entry]:
        return self._named("act", act, [each for each in self.held.entries if each.act == act])

    def entries(self, query: EntryQuery) -> Page[Entry]:
        found = self._let_through(query)
        return Page(self._joined(found.rows), found.after)

    def daybook(self, query: EntryQuery) -> Page[DaybookRow]:
        found = self._let_through(query)
        held = self.held
        return Page([line(each, held.entries, held.listings, self.codec) for each in found.rows], found.after)

    def _let_through(self, query: EntryQuery) -> Page[StoredEntry]:
        limit = page_limit(query.limit)
        found = [
            each
            for each in self.held.entries
            if query.book in (None, each.book)
            and (not query.kinds or each.kind in query.kinds)
            and query.act in (None, each.act)
            and is_within(query, each)
        ]
        if query.newest_first:
            found = [each for each in reversed(found) if not query.after or each.seq < query.after]
        else:
            found = [each for each in found if each.seq > query.after]
        return Page(found[:limit], str(found[limit - 1].seq) if len(found) > limit else None)

    def book_head(self, book: str) -> BookHead:
        if book not in self.held.book_heads:
            raise NotFoundError(what="book", name=book)
        return self.held.book_heads[book]

    def book_heads(self) -> list[BookHead]:
        return sorted(self.held.book_heads.values(), key=lambda head: head.no)

    def nodes(self, tree: str, which: Sequence[tuple[int, int]]) -> list[bytes]:
        return [self.held.nodes.get((tree, level, index), b"") for level, index in which]

    def node_count(self, tree: str) -> int:
        return sum(1 for each, _, _ in self.held.nodes if each == tree)

    def sealed(self, seq: int) -> list[SealedValue]:
        return self.sealed_between(seq, 1)

    def sealed_between(self, first: int, count: int) -> list[SealedValue]:
        return [value for (seq, _), value in sorted(self.held.sealed.items()) if first <= seq < first + count]

    def guards_missing(self) -> list[str]:
        return []

    def tables_missing(self) -> list[MissingTable]:
        return []

    def strangers(self) -> list[str]:
        return []

    def strays(self) -> list[str]:
        return []

    def receipts(self) -> Iterator[Receipt]:
        yield from sorted(self.held.receipts.values(), key=lambda receipt: (receipt.first, receipt.key))

    def receipt(self, key: str) -> Receipt | None:
        return self.held.receipts.get(key)

    def used_keys(self, keys: Sequence[str]) -> set[str]:
        return {key for key in keys if key in self.held.receipts}

    def checkpoints(self) -> list[StoredCheckpoint]:
        return list(self.held.checkpoints)

    def last_checkpoint(self) -> StoredCheckpoint | None:
        return self.held.checkpoints[-1] if self.held.checkpoints else None

    def book(self, book: str) -> BookRow:
        if book not in self.held.listings:
            raise NotFoundError(what="book", name=book)
        return self.held.listings[book].row

    def books(self, query: BookQuery) -> Page[BookRow]:
        page = self._page(query, lambda each: fake_shelf.is_listed(query, each))
        return Page([each.row for each in page.rows], page.after)

    def _page(self, query: ListQuery, lets_through: Callable[[Listing], bool]) -> Page[Listing]:
        key, limit = sort_key(query), page_limit(query.limit)
        found = [each for each in self.listings() if lets_through(each)]
        found.sort(key=lambda each: (getattr(each, key), each.row.no), reverse=query.descending)
        if query.after is not None:
            last = read_cursor(query)
            places = [(getattr(each, key), each.row.no) for each in found]
            found = [
                each
                for each, place in zip(found, places, strict=True)
                if (place < last if query.descending else place > last)
            ]
        last_one = found[limit - 1] if len(found) > limit else None
        return Page(found[:limit], write_cursor(query, getattr(last_one, key), last_one.row.no) if last_one else None)

    def shelf(self, query: ShelfQuery) -> Page[ShelfRow]:
        page = self._page(query, lambda each: fake_shelf.lets_through(self.held.sealed, query, each))
        return Page([fake_shelf.row_of(self.held.sealed, each) for each in page.rows], page.after)

    def nearest_titles(self, text: str, limit: int) -> list[str]:
        written = {each.title_key.split(BEHIND_TITLE)[0]: each.row.title for each in self.listings()}
        return [written[title] for title in nearest(text, [each for each in written if each], limit)]

    def hung(self, limit: int) -> list[HungRow]:
        return fake_shelf.hung(self.held.sealed, list(self.listings()))[:limit]

    def tallies(self) -> Tallies:
        return fake_shelf.tallies(self.held.sealed, list(self.listings()))

    def costs(self, home: str, year: int | None = None) -> KeptCosts:
        return fake_shelf.costs(home, self.listings(), year)

    def listings(self) -> Iterator[Listing]:
        yield from sorted(self.held.listings.values(), key=lambda each: each.row.no)

    def tokens(self) -> list[StoredToken]:
        return sorted(self.held.tokens.values(), key=lambda token: (token.created, token.id))

    def token(self, hashed: bytes) -> StoredToken | None:
        return next((each for each in self.held.tokens.values() if each.hashed == hashed), None)

    def _named(self, what: str, name: str, stored: list[StoredEntry]) -> list[Entry]:
        if not stored:
            raise NotFoundError(what=what, name=name)
        return self._joined(stored)

    def _joined(self, stored: Iterable[StoredEntry]) -> list[Entry]:
        return [joined(each, {value.name: value for value in self.sealed(each.seq)}, self.codec) for each in stored]
