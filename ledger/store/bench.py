"""The bench of one collection, in the same store as its ledger and through the same writer."""

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Final, TypeVar

from sqlalchemy import Connection, Row, Table, delete, insert, select

from ledger.bench import BenchReader, BenchWriter, Feed, Load, Recipe, Step
from ledger.proof.envelope import moment_text
from ledger.store.bench_tables import FEED, LOAD, RECIPE
from ledger.store.engine import Store
from ledger.store.records import moment

__all__ = ["SqlBench"]

T = TypeVar("T")

_THE_FEED: Final = "calendar"
"""There is one."""
_UNREADABLE: Final[Mapping[str, Any]] = {}


class SqlBench:
    """As `bench.BenchStore`."""

    def __init__(self, collection: str, store: Store) -> None:
        self._collection, self._store = collection, store

    @contextmanager
    def read(self) -> Iterator[BenchReader]:
        """The bench at this moment."""
        with self._store.snapshot(self._collection) as connection:
            yield _Rows(connection, self._collection)

    def write(self, work: Callable[[BenchWriter], T]) -> T:
        """What the work returned, once it is durable."""
        return self._store.write(self._collection, lambda connection: work(_Rows(connection, self._collection)))


class _Rows:
    """As `bench.BenchWriter`, over one connection."""

    def __init__(self, connection: Connection, collection: str) -> None:
        self._connection, self._collection = connection, collection

    def loads(self) -> list[Load]:
        return [_load(row) for row in self._all(LOAD, LOAD.c.started)]

    def load(self, load: str) -> Load | None:
        row = self._one(LOAD, load)
        return None if row is None else _load(row)

    def recipes(self) -> list[Recipe]:
        return sorted((_recipe(row) for row in self._all(RECIPE, RECIPE.c.made)), key=lambda each: each.name.casefold())

    def recipe(self, recipe: str) -> Recipe | None:
        row = self._one(RECIPE, recipe)
        return None if row is None else _recipe(row)

    def put_load(self, load: Load) -> None:
        said = {
            "books": list(load.books),
            "values": dict(load.step.values),
            "stopped": None if load.stopped is None else moment_text(load.stopped),
            "recipe": load.recipe,
            "place": load.place,
        }
        self._put(LOAD, load.id, said, started=moment_text(load.started))

    def take_load(self, load: str) -> None:
        self._take(LOAD, load)

    def put_recipe(self, recipe: Recipe) -> None:
        said = {"name": recipe.name, "steps": [dict(each.values) for each in recipe.steps]}
        self._put(RECIPE, recipe.id, said, made=moment_text(recipe.made))

    def take_recipe(self, recipe: str) -> None:
        self._take(RECIPE, recipe)

    def feed(self) -> Feed | None:
        row = self._one(FEED, _THE_FEED)
        return None if row is None else _feed(row)

    def put_feed(self, feed: Feed) -> None:
        self._put(FEED, _THE_FEED, {"hashed": feed.hashed, "titles": feed.titles}, made=moment_text(feed.made))

    def take_feed(self) -> None:
        self._take(FEED, _THE_FEED)

    def _all(self, table: Table, order: Any) -> list[Row[Any]]:  # noqa: ANN401 - a column
        asked = select(table).where(table.c.collection_id == self._collection).order_by(order, table.c.id)
        return list(self._connection.execute(asked).all())

    def _one(self, table: Table, own: str) -> Row[Any] | None:
        asked = select(table).where(table.c.collection_id == self._collection, table.c.id == own)
        return self._connection.execute(asked).one_or_none()

    def _put(self, table: Table, own: str, said: Mapping[str, object], **moments: str) -> None:
        self._take(table, own)
        row = {"collection_id": self._collection, "id": own, "data": json.dumps(said), **moments}
        self._connection.execute(insert(table), row)

    def _take(self, table: Table, own: str) -> None:
        self._connection.execute(delete(table).where(table.c.collection_id == self._collection, table.c.id == own))


def _said(text: str) -> Mapping[str, Any]:
    """What a row holds; one that was tampered with holds nothing."""
    try:
        found = json.loads(text)
    except ValueError:
        return _UNREADABLE
    return found if isinstance(found, dict) else _UNREADABLE


def _step(values: object) -> Step:
    pairs = values.items() if isinstance(values, dict) else ()
    return Step(values={str(name): str(value) for name, value in pairs})


def _load(row: Row[Any]) -> Load:
    said = _said(row.data)
    books, stopped, recipe, place = said.get("books"), said.get("stopped"), said.get("recipe"), said.get("place")
    return Load(
        id=row.id,
        books=tuple(map(str, books)) if isinstance(books, list) else (),
        step=_step(said.get("values")),
        started=moment(row.started),
        stopped=moment(stopped) if isinstance(stopped, str) else None,
        recipe=recipe if isinstance(recipe, str) else None,
        place=place if isinstance(place, int) else 0,
    )


def _recipe(row: Row[Any]) -> Recipe:
    said = _said(row.data)
    steps = said.get("steps")
    return Recipe(
        id=row.id,
        name=str(said.get("name", "")),
        made=moment(row.made),
        steps=tuple(map(_step, steps)) if isinstance(steps, list) else (),
    )


def _feed(row: Row[Any]) -> Feed:
    said = _said(row.data)
    return Feed(hashed=str(said.get("hashed", "")), titles=said.get("titles") is True, made=moment(row.made))
