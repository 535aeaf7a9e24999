"""A recipe in the store, with its states and what was done by it: whole again as it was put, on either database."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from ledger.bench import BenchWriter, Load, Recipe, Run, State, Step
from ledger.store.bench import SqlBench
from ledger.store.engine import DATABASE, open_store
from ledger.store.log import make_collection
from tests.conftest import COLLECTION
from tests.store.homes import HOMES, open_home

NOW = datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC)
STEP = Step(values={"technique": "cold-press", "note": "Upper edge left alone."})
RUN = Run(
    load="l1",
    state=2,
    place=1,
    started=NOW,
    ends=NOW + timedelta(hours=12),
    stopped=NOW + timedelta(hours=3),
    told=(("b2", 7), ("b1", 8)),
)
OPEN_RUN = Run(load="l2", state=3, place=0, started=NOW, ends=None, stopped=None, told=(("b1", 9),))
WORKED = Recipe(
    id="r",
    name="Flat",
    made=NOW,
    steps=(STEP, STEP),
    state=3,
    earlier=(State(number=2, name="Flatter", made=NOW - timedelta(days=1), steps=(STEP,)),),
    runs=(RUN, OPEN_RUN),
    called_off=4,
)
LOAD = Load(id="l3", books=("b3",), step=STEP, started=NOW, recipe="r", place=1, state=3)


@pytest.fixture(params=HOMES)
def bench(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[SqlBench]:
    with HOMES[request.param](tmp_path) as address:
        opened = open_home(address)
        make_collection(opened, COLLECTION, NOW)
        yield SqlBench(COLLECTION, opened)
        opened.close()


def kept(bench: SqlBench) -> Recipe | None:
    with bench.read() as reader:
        return reader.recipe("r")


def test_states_and_history_come_back_as_they_were_put(bench: SqlBench) -> None:
    bench.write(lambda writer: writer.put_recipe(WORKED))
    assert kept(bench) == WORKED
    with bench.read() as reader:
        assert reader.recipes() == [WORKED]


def test_a_load_remembers_the_state_by_which_it_went_in(bench: SqlBench) -> None:
    bench.write(lambda writer: writer.put_load(LOAD))
    with bench.read() as reader:
        assert reader.load("l3") == LOAD


def test_a_load_goes_and_its_recipe_remembers_it_in_one_write_or_neither_does(bench: SqlBench) -> None:
    def told(writer: BenchWriter) -> None:
        writer.take_load("l3")
        writer.put_recipe(replace(WORKED, runs=(*WORKED.runs, replace(OPEN_RUN, load="l3"))))

    def told_and_failed(writer: BenchWriter) -> None:
        told(writer)
        raise LookupError

    bench.write(lambda writer: writer.put_recipe(WORKED))
    bench.write(lambda writer: writer.put_load(LOAD))
    with pytest.raises(LookupError):
        bench.write(told_and_failed)
    with bench.read() as reader:
        assert (reader.loads(), reader.recipe("r")) == ([LOAD], WORKED)
    bench.write(told)
    with bench.read() as reader:
        assert reader.loads() == []
        after = reader.recipe("r")
    assert after is not None
    assert [run.load for run in after.runs] == ["l1", "l2", "l3"]


def a_row(folder: Path, said: dict[str, Any]) -> Recipe | None:
    """What is read of a row that holds this."""
    store = open_store(folder)
    make_collection(store, COLLECTION, NOW)
    SqlBench(COLLECTION, store).write(lambda writer: writer.put_recipe(WORKED))
    store.close()
    with closing(sqlite3.connect(folder / DATABASE)) as raw, raw:
        raw.execute("UPDATE recipe SET data = ?", (json.dumps(said),))
    store = open_store(folder)
    found = kept(SqlBench(COLLECTION, store))
    store.close()
    return found


def test_a_recipe_from_before_there_were_states_is_in_its_first_and_was_not_worked(tmp_path: Path) -> None:
    found = a_row(tmp_path, {"name": "Flat", "steps": [dict(STEP.values)]})
    assert found == Recipe(id="r", name="Flat", made=NOW, steps=(STEP,))


@pytest.mark.parametrize(
    "harmed",
    [
        {"runs": 3, "earlier": "x", "state": "2", "called_off": None},
        {"runs": [3, {}, {"load": "l"}, None, []], "earlier": [None, {"number": 1}, 7]},
        {"runs": [{"load": "l", "state": 1, "place": 0, "started": 5, "ends": 1, "stopped": None, "told": []}]},
        {"runs": [{"load": "l", "state": 1, "place": 0, "started": "x", "ends": 1, "stopped": None, "told": [[1]]}]},
    ],
)
def test_what_was_harmed_in_its_history_is_left_out_and_the_rest_is_read(
    tmp_path: Path, harmed: dict[str, Any]
) -> None:
    found = a_row(tmp_path, {"name": "Flat", "steps": [dict(STEP.values)], **harmed})
    assert found is not None
    assert (found.steps, found.runs, found.earlier, found.state, found.called_off) == ((STEP,), (), (), 1, 0)
