"""The bench of one collection, in the same store as its ledger and through the same writer."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, Final, TypeVar

from sqlalchemy import Row

from ledger.bench import BenchReader, BenchWriter, Feed, Load, Recipe
from ledger.proof.envelope import moment_text
from ledger.store.bench_tables import FEED, LOAD, RECIPE, TOOL
from ledger.store.engine import Store
from ledger.store.json_rows import JsonRows, said_in
from ledger.store.recipe_rows import recipe_of, recipe_said, step_of
from ledger.store.records import moment
from ledger.tools import Tool, ToolKind, ToolSaid, flaws_of_tool, tool_of

__all__ = ["SqlBench"]

T = TypeVar("T")

_THE_FEED: Final = "calendar"
"""There is one."""
_PAIR: Final = 2
"""Set, measured."""


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


class _Rows(JsonRows):
    """As `bench.BenchWriter`, over one connection."""

    def loads(self) -> list[Load]:
        return [_load(row) for row in self._all(LOAD, LOAD.c.started)]

    def load(self, load: str) -> Load | None:
        row = self._one(LOAD, load)
        return None if row is None else _load(row)

    def recipes(self) -> list[Recipe]:
        return sorted(
            (recipe_of(row) for row in self._all(RECIPE, RECIPE.c.made)), key=lambda each: each.name.casefold()
        )

    def recipe(self, recipe: str) -> Recipe | None:
        row = self._one(RECIPE, recipe)
        return None if row is None else recipe_of(row)

    def put_load(self, load: Load) -> None:
        said = {
            "books": list(load.books),
            "values": dict(load.step.values),
            "stopped": None if load.stopped is None else moment_text(load.stopped),
            "recipe": load.recipe,
            "place": load.place,
            "tool": load.tool,
            "state": load.state,
        }
        self._put(LOAD, load.id, said, started=moment_text(load.started))

    def take_load(self, load: str) -> None:
        self._take(LOAD, load)

    def put_recipe(self, recipe: Recipe) -> None:
        self._put(RECIPE, recipe.id, recipe_said(recipe), made=moment_text(recipe.made))

    def take_recipe(self, recipe: str) -> None:
        self._take(RECIPE, recipe)

    def tools(self) -> list[Tool]:
        return sorted((_tool(row) for row in self._all(TOOL, TOOL.c.made)), key=lambda each: each.name.casefold())

    def tool(self, tool: str) -> Tool | None:
        row = self._one(TOOL, tool)
        return None if row is None else _tool(row)

    def put_tool(self, tool: Tool) -> None:
        self._put(TOOL, tool.id, _told(tool), made=moment_text(tool.made))

    def take_tool(self, tool: str) -> None:
        self._take(TOOL, tool)

    def feed(self) -> Feed | None:
        row = self._one(FEED, _THE_FEED)
        return None if row is None else _feed(row)

    def put_feed(self, feed: Feed) -> None:
        self._put(FEED, _THE_FEED, {"hashed": feed.hashed, "titles": feed.titles}, made=moment_text(feed.made))

    def take_feed(self) -> None:
        self._take(FEED, _THE_FEED)


def _load(row: Row[Any]) -> Load:
    said = said_in(row.data)
    books, stopped, recipe, place = said.get("books"), said.get("stopped"), said.get("recipe"), said.get("place")
    tool, state = said.get("tool"), said.get("state")
    return Load(
        id=row.id,
        books=tuple(map(str, books)) if isinstance(books, list) else (),
        step=step_of(said.get("values")),
        started=moment(row.started),
        stopped=moment(stopped) if isinstance(stopped, str) else None,
        recipe=recipe if isinstance(recipe, str) else None,
        place=place if isinstance(place, int) else 0,
        tool=tool if isinstance(tool, str) else None,
        state=state if isinstance(state, int) else 0,
    )


def _feed(row: Row[Any]) -> Feed:
    said = said_in(row.data)
    return Feed(hashed=str(said.get("hashed", "")), titles=said.get("titles") is True, made=moment(row.made))


def _told(tool: Tool) -> dict[str, object]:
    """A tool as a row holds it."""
    said: dict[str, object] = {
        "name": tool.name,
        "kind": tool.kind.value,
        "capacity": tool.capacity,
        "note": tool.note,
        "retired": tool.retired,
    }
    if tool.calibration is not None:
        points = [[str(each.set_celsius), str(each.measured_celsius)] for each in tool.calibration.points]
        said |= {
            "on": tool.calibration.on.isoformat(),
            "measured_with": tool.calibration.measured_with,
            "points": points,
        }
    return said


def _tool(row: Row[Any]) -> Tool:
    """The tool of a row; of one that was harmed nothing but its name is believed."""
    said = said_in(row.data)
    pairs = said.get("points")
    points = [
        (str(each[0]), str(each[1]))
        for each in (pairs if isinstance(pairs, list) else [])
        if isinstance(each, list) and len(each) == _PAIR
    ]
    capacity = said.get("capacity")
    whole = ToolSaid(
        name=str(said.get("name", "")) or row.id,
        kind=str(said.get("kind", "")),
        capacity="" if capacity is None else str(capacity),
        on=str(said.get("on", "")),
        measured_with=str(said.get("measured_with", "")),
        points=points,
        note=str(said.get("note", "")),
    )
    if flaws_of_tool(whole):
        bare = ToolSaid(name=row.id, kind=ToolKind.OTHER.value)
        whole = replace(bare, name=whole.name) if not flaws_of_tool(replace(bare, name=whole.name)) else bare
    return tool_of(whole, id=row.id, made=moment(row.made), retired=said.get("retired") is True)
