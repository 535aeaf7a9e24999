"""The bench in the store: kept, changed, gone; one collection's never meets another's, and rows that were harmed are read."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Table, update
from sqlalchemy.exc import DBAPIError

from ledger.bench import BenchWriter, Feed, Load, Recipe, Step
from ledger.store.bench import SqlBench
from ledger.store.bench_tables import LOAD, RECIPE, TOOL
from ledger.store.engine import DATABASE, Store, open_store
from ledger.store.log import make_collection
from ledger.tools import Tool, ToolKind, ToolSaid, tool_of
from tests.conftest import COLLECTION
from tests.store.homes import OTHER

NOW = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)
STEP = Step(values={"technique": "hot-press-dry", "settings.set_celsius": "65"})
FIRST = Load(id="first", books=("b2", "b1"), step=STEP, started=NOW)
LATER = Load(id="later", books=("b3",), step=STEP, started=NOW + timedelta(hours=1), recipe="r", place=2, tool="t")
PRESS = tool_of(
    ToolSaid(name="Large press", kind="hot press", capacity="4", on="2026-01-01", measured_with="a probe",
             points=(("40", "38.5"), ("60", "57.25")), note="Slow to warm"), id="t", made=NOW, retired=True,
)  # fmt: skip
BOARDS = Tool(id="u", name="boards", kind=ToolKind.WEIGHT, made=NOW)
RECIPE_A = Recipe(id="r", name="flat", made=NOW, steps=(STEP, Step(values={"technique": "cold-press"})))


def fill(writer: BenchWriter) -> None:
    """One load, one recipe and one tool."""
    writer.put_load(FIRST)
    writer.put_recipe(RECIPE_A)
    writer.put_tool(PRESS)


def test_loads_come_back_as_they_were_put_the_oldest_first(engine: Store) -> None:
    bench = SqlBench(COLLECTION, engine)
    bench.write(lambda writer: writer.put_load(LATER))
    bench.write(lambda writer: writer.put_load(FIRST))
    with bench.read() as reader:
        assert reader.loads() == [FIRST, LATER]
        assert (reader.load("later"), reader.load("none")) == (LATER, None)


def test_a_load_is_changed_and_taken(engine: Store) -> None:
    bench = SqlBench(COLLECTION, engine)
    stopped = replace(FIRST, stopped=NOW + timedelta(minutes=9))
    bench.write(lambda writer: writer.put_load(FIRST))
    bench.write(lambda writer: writer.put_load(stopped))
    with bench.read() as reader:
        assert reader.loads() == [stopped]
    bench.write(lambda writer: writer.take_load("first"))
    with bench.read() as reader:
        assert reader.loads() == []


def test_recipes_come_back_by_name(engine: Store) -> None:
    bench = SqlBench(COLLECTION, engine)
    other = replace(RECIPE_A, id="s", name="Airing")
    bench.write(lambda writer: writer.put_recipe(RECIPE_A))
    bench.write(lambda writer: writer.put_recipe(other))
    with bench.read() as reader:
        assert reader.recipes() == [other, RECIPE_A]
        assert reader.recipe("r") == RECIPE_A
    bench.write(lambda writer: writer.take_recipe("r"))
    with bench.read() as reader:
        assert (reader.recipes(), reader.recipe("r")) == ([other], None)


def test_tools_come_back_by_name_as_they_were_put(engine: Store) -> None:
    bench = SqlBench(COLLECTION, engine)
    bench.write(lambda writer: writer.put_tool(PRESS))
    bench.write(lambda writer: writer.put_tool(BOARDS))
    with bench.read() as reader:
        assert reader.tools() == [BOARDS, PRESS]
        assert (reader.tool("t"), reader.tool("none")) == (PRESS, None)
    changed = replace(PRESS, calibration=None, capacity=None, retired=False, note="")
    bench.write(lambda writer: writer.put_tool(changed))
    bench.write(lambda writer: writer.take_tool("u"))
    with bench.read() as reader:
        assert reader.tools() == [changed]


def test_one_collections_bench_never_meets_anothers(engine: Store) -> None:
    ours, theirs = SqlBench(COLLECTION, engine), SqlBench(OTHER, engine)
    for bench in (ours, theirs):
        bench.write(fill)
    theirs.write(lambda writer: writer.take_load("first"))
    theirs.write(lambda writer: writer.take_recipe("r"))
    theirs.write(lambda writer: writer.take_tool("t"))
    with ours.read() as reader, theirs.read() as other:
        assert (reader.loads(), reader.recipes(), reader.tools()) == ([FIRST], [RECIPE_A], [PRESS])
        assert (other.loads(), other.recipes(), other.tools()) == ([], [], [])


@pytest.mark.parametrize(
    "harmed",
    [
        *("", "[]", '{"books": 3, "values": [1], "stopped": 4, "recipe": [], "steps": {}, "tool": 7}'),
        *('{"name": "t", "kind": "oven"}', '{"name": "t", "kind": "hot press", "points": [[1], "x", ["40", "hot"]]}'),
        *('{"name": "t", "kind": "hot press", "capacity": 0}', '{"name": "\\n", "kind": "other tool"}'),
    ],
)
def test_a_row_that_was_harmed_is_read_as_far_as_it_goes(tmp_path: Path, harmed: str) -> None:
    engine = open_store(tmp_path)
    make_collection(engine, COLLECTION, NOW)
    bench = SqlBench(COLLECTION, engine)
    bench.write(fill)
    engine.close()
    with closing(sqlite3.connect(tmp_path / DATABASE)) as raw, raw:
        raw.execute("UPDATE load SET data = ?", (harmed,))
        raw.execute("UPDATE recipe SET data = ?", (harmed,))
        raw.execute("UPDATE tool SET data = ?", (harmed,))
    engine = open_store(tmp_path)
    with SqlBench(COLLECTION, engine).read() as reader:
        (load,), (recipe,), (tool,) = reader.loads(), reader.recipes(), reader.tools()
    assert (tool.name, tool.kind, tool.capacity, tool.calibration) == ("t", ToolKind.OTHER, None, None)
    assert load.tool is None
    assert (load.books, load.step, load.stopped, load.recipe) == ((), Step(values={}), None, None)
    assert recipe.steps == ()
    engine.close()


@pytest.mark.parametrize("table", [LOAD, RECIPE, TOOL], ids=str)
def test_the_programs_own_connection_changes_no_row_in_place(engine: Store, table: Table) -> None:
    SqlBench(COLLECTION, engine).write(fill)
    with pytest.raises(DBAPIError):
        engine.write(COLLECTION, lambda connection: connection.execute(update(table).values(data="{}")))


def test_one_calendar_address_is_kept_renewed_and_ended(engine: Store) -> None:
    bench, other = SqlBench(COLLECTION, engine), SqlBench(OTHER, engine)
    for feed in (Feed(hashed="0" * 64, titles=False, made=NOW), Feed(hashed="1" * 64, titles=True, made=NOW)):
        bench.write(lambda writer, feed=feed: writer.put_feed(feed))  # type: ignore[misc]  # a default, kept as it is now
        with bench.read() as reader, other.read() as others:
            assert (reader.feed(), others.feed()) == (feed, None)
    bench.write(lambda writer: writer.take_feed())
    with bench.read() as reader:
        assert reader.feed() is None
