"""Doubles of the ports: a log in memory that fails the test when an invariant breaks, a clock, chance, pictures."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, timezone
from hashlib import sha256
from pathlib import Path
from tempfile import mkdtemp
from threading import Lock
from typing import TypeVar

from ledger.adapters.partials import FilePartials
from ledger.arriving import Glimpse
from ledger.bench import BenchReader, BenchWriter, Feed, Load, Recipe
from ledger.errors import ClosedError, NotFoundError
from ledger.events.photograph import Crop
from ledger.history import fold, history
from ledger.ports import ENTRIES, HEADS, BookHead, Codec, KeptPicture, Partials, Told
from ledger.proof import merkle
from ledger.proof.chain import Envelope, head_leaf
from ledger.tools import Tool
from tests.fake_log import FakeReader, Held
from tests.fake_writer import FakeWriter

T = TypeVar("T")


class FakeClock:
    """A clock that moves on by one second each time it is read."""

    def __init__(self, start: datetime = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)) -> None:
        self.time = start

    def now(self) -> datetime:
        self.time += timedelta(seconds=1)
        return self.time

    def today(self) -> date:
        """In UTC, wherever the tests run."""
        return self.now().date()


class EastClock(FakeClock):
    """Where it is New Year's Day already and in UTC still the day before, 14 hours behind."""

    def __init__(self) -> None:
        super().__init__(datetime(2025, 12, 31, 12, tzinfo=UTC))

    def today(self) -> date:
        return self.now().astimezone(timezone(timedelta(hours=14))).date()


class FakeChance:
    """Bytes that look random and are the same in every run; no two draws are alike."""

    def __init__(self, seed: str = "chance") -> None:
        self._seed, self._drawn, self._lock = seed, 0, Lock()

    def bytes(self, count: int) -> bytes:
        with self._lock:
            self._drawn += 1
            drawn = self._drawn
        return sha256(f"{self._seed} {drawn}".encode()).digest()[:count]


@dataclass
class FakePictures:
    """Pictures in memory; every picture counts as clean already."""

    kept: dict[str, bytes] = field(default_factory=dict)
    partials: Partials = field(default_factory=lambda: FilePartials(Path(mkdtemp()) / "arriving"))

    def keep(self, data: bytes) -> KeptPicture:
        name = sha256(data).hexdigest()
        was_here = name in self.kept
        self.kept[name] = data
        return KeptPicture(original=name, clean=name, width=600, height=900, was_here=was_here)

    def glimpse(self, data: bytes, width: int) -> Glimpse:
        return Glimpse(jpeg=data, width=600, height=900)

    def read(self, sha256: str) -> bytes:
        return self.kept[sha256]

    def pieces(self, sha256: str) -> Iterator[bytes]:
        yield self.kept[sha256]

    def small(self, sha256: str, width: int, part: Crop | None = None) -> bytes:
        if sha256 not in self.kept:
            raise NotFoundError(what="photograph", name=sha256)
        return self.kept[sha256]

    def stored(self) -> list[str]:
        return sorted(self.kept)

    def glance(self, sha256: str) -> tuple[int, bytes] | None:
        return (len(self.kept[sha256]), self.kept[sha256][:16]) if sha256 in self.kept else None

    def digest(self, name: str) -> str | None:
        return sha256(self.kept[name]).hexdigest() if name in self.kept else None

    def room(self) -> int | None:
        return None

    def told(self, sha256: str) -> Told:
        return ()


class FakeLog:
    """As `ports.Log`, in memory.

    A work is done on a copy, which takes the place of what was there when it is done. Before that the copy is looked
    at: what was there may not have changed, numbers have no gap, and trees, heads and lists must fit the entries.
    """

    def __init__(self, collection: str, codec: Codec) -> None:
        self._collection, self._codec = collection, codec
        self._held = Held()
        self._lock = Lock()
        self._closed = False

    def write(self, work: Callable[[FakeWriter], T]) -> T:
        with self._lock:
            self._require_open()
            copy = self._held.copy()
            result = work(FakeWriter(copy, self._collection, self._codec))
            self._look_at(copy)
            self._held = copy
            return result

    @contextmanager
    def read(self) -> Iterator[FakeReader]:
        self._require_open()
        yield FakeReader(self._held, self._collection, self._codec)

    def rebuild(self) -> int:
        """Nothing here can differ from the entries, so this only counts."""
        with self.read() as reader:
            return len(reader.book_heads())

    def close(self) -> None:
        self._closed = True

    def _require_open(self) -> None:
        if self._closed:
            raise ClosedError

    def _look_at(self, after: Held) -> None:
        before = self._held
        assert after.entries[: len(before.entries)] == before.entries, "an entry was changed or taken out"
        assert [each.seq for each in after.entries] == list(range(1, len(after.entries) + 1)), "a number was left out"
        assert after.checkpoints[: len(before.checkpoints)] == before.checkpoints, "a checkpoint was changed"
        for place, value in before.sealed.items():
            now = after.sealed[place]
            assert now == value or (now.salt, now.value) == (None, None), "a sealed value was changed"
        for key, receipt in before.receipts.items():
            now_kept = after.receipts[key]
            assert now_kept == receipt or (now_kept.salt, now_kept.request) == (None, None), "a receipt was changed"
        assert before.nodes.keys() <= after.nodes.keys(), "a node was taken out"
        if len(after.entries) != len(before.entries):
            self._look_at_new(before, after)

    def _look_at_new(self, before: Held, after: Held) -> None:
        new = after.entries[len(before.entries) :]
        for stored in new:
            said = Envelope.from_bytes(stored.data)
            assert said.collection == self._collection
            assert stored.leaf == said.leaf.hex()
            kept = (stored.seq, stored.book, stored.book_no, stored.book_seq, stored.act, stored.kind, stored.actor)
            assert kept == (said.seq, said.book, said.book_no, said.book_seq, said.act, said.kind, said.actor)
            assert stored.recorded == datetime.fromisoformat(said.recorded)
            assert {name for seq, name in after.sealed if seq == stored.seq} == set(said.sealed)
        self._look_at_trees(before, after)
        reader = FakeReader(after, self._collection, self._codec)
        for book in {each.book for each in new if each.book is not None}:
            moments = history(reader.of_book(book), self._codec)
            folded = fold(book, after.book_heads[book].no, moments)
            assert book in after.listings, f"book {book} is missing from the lists"
            assert after.listings[book].row.entries == folded.entries, f"book {book} was not projected"

    def _look_at_trees(self, before: Held, after: Held) -> None:
        ends: dict[str, BookHead] = {}
        for each in after.entries:
            if each.book is not None and each.book_no is not None and each.book_seq is not None:
                ends[each.book] = BookHead(book=each.book, no=each.book_no, seq=each.book_seq, leaf=each.leaf)
        assert after.book_heads == ends, "a book's head is not its last entry"
        heads = sorted(ends.values(), key=lambda head: head.no)
        assert [head.no for head in heads] == list(range(1, len(heads) + 1)), "books are not numbered densely"
        leaves = {
            ENTRIES: [bytes.fromhex(each.leaf) for each in after.entries],
            HEADS: [merkle.leaf_hash(head_leaf(head.book, head.no, head.seq, head.leaf)) for head in heads],
        }
        for tree, hashes in leaves.items():

            def read(which: Sequence[tuple[int, int]], tree: str = tree) -> list[bytes]:
                return [after.nodes[tree, level, index] for level, index in which]

            assert merkle.root(len(hashes), read) == merkle.root_of(hashes), f"the tree of {tree} is wrong"


class FakeBench:
    """A bench in memory; a work that fails keeps nothing."""

    def __init__(self) -> None:
        self._loads: dict[str, Load] = {}
        self._recipes: dict[str, Recipe] = {}
        self._tools: dict[str, Tool] = {}
        self._feed: Feed | None = None

    @contextmanager
    def read(self) -> Iterator[BenchReader]:
        yield self

    def write(self, work: Callable[[BenchWriter], T]) -> T:
        before = dict(self._loads), dict(self._recipes), dict(self._tools), self._feed
        try:
            return work(self)
        except BaseException:
            self._loads, self._recipes, self._tools, self._feed = before
            raise

    def loads(self) -> list[Load]:
        return sorted(self._loads.values(), key=lambda each: (each.started, each.id))

    def load(self, load: str) -> Load | None:
        return self._loads.get(load)

    def recipes(self) -> list[Recipe]:
        return sorted(self._recipes.values(), key=lambda each: each.name.casefold())

    def recipe(self, recipe: str) -> Recipe | None:
        return self._recipes.get(recipe)

    def tools(self) -> list[Tool]:
        return sorted(self._tools.values(), key=lambda each: each.name.casefold())

    def tool(self, tool: str) -> Tool | None:
        return self._tools.get(tool)

    def put_tool(self, tool: Tool) -> None:
        self._tools[tool.id] = tool

    def take_tool(self, tool: str) -> None:
        self._tools.pop(tool, None)

    def feed(self) -> Feed | None:
        return self._feed

    def put_feed(self, feed: Feed) -> None:
        self._feed = feed

    def take_feed(self) -> None:
        self._feed = None

    def put_load(self, load: Load) -> None:
        self._loads[load.id] = load

    def take_load(self, load: str) -> None:
        self._loads.pop(load, None)

    def put_recipe(self, recipe: Recipe) -> None:
        self._recipes[recipe.id] = recipe

    def take_recipe(self, recipe: str) -> None:
        self._recipes.pop(recipe, None)
