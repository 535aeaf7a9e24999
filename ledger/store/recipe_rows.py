"""A recipe as its row holds it: its steps, how it stood before, and what was done by it."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Row

from ledger.bench import Recipe, Run, State, Step
from ledger.proof.envelope import moment_text
from ledger.proof.report import MalformedError
from ledger.store.json_rows import said_in
from ledger.store.records import moment

__all__ = ["recipe_of", "recipe_said", "step_of"]

T = TypeVar("T")


def step_of(values: object) -> Step:
    """A step from its values."""
    pairs = values.items() if isinstance(values, dict) else ()
    return Step(values={str(name): str(value) for name, value in pairs})


def recipe_said(recipe: Recipe) -> dict[str, object]:
    """What the row of a recipe holds."""
    return {
        "name": recipe.name,
        "steps": _steps_said(recipe.steps),
        "state": recipe.state,
        "earlier": [
            {
                "number": each.number,
                "name": each.name,
                "made": moment_text(each.made),
                "steps": _steps_said(each.steps),
            }
            for each in recipe.earlier
        ],
        "runs": [_run_said(each) for each in recipe.runs],
        "called_off": recipe.called_off,
    }


def recipe_of(row: Row[Any]) -> Recipe:
    """The recipe in a row, as far as that can be read."""
    said = said_in(row.data)
    return Recipe(
        id=row.id,
        name=str(said.get("name", "")),
        made=moment(row.made),
        steps=_steps(said.get("steps")),
        state=_whole(said.get("state"), 1),
        earlier=_all(said.get("earlier"), _state),
        runs=_all(said.get("runs"), _run),
        called_off=_whole(said.get("called_off"), 0),
    )


def _run_said(run: Run) -> dict[str, object]:
    return {
        "load": run.load,
        "state": run.state,
        "place": run.place,
        "started": moment_text(run.started),
        "ends": _moment_said(run.ends),
        "stopped": _moment_said(run.stopped),
        "told": [list(each) for each in run.told],
    }


def _run(said: Mapping[str, Any]) -> Run:
    return Run(
        load=str(said["load"]),
        state=_whole(said["state"], 0),
        place=_whole(said["place"], 0),
        started=moment(said["started"]),
        ends=_moment(said["ends"]),
        stopped=_moment(said["stopped"]),
        told=tuple((str(book), int(seq)) for book, seq in said["told"]),
    )


def _state(said: Mapping[str, Any]) -> State:
    return State(
        number=_whole(said["number"], 0),
        name=str(said["name"]),
        made=moment(said["made"]),
        steps=_steps(said["steps"]),
    )


def _all(found: object, read: Callable[[Mapping[str, Any]], T]) -> tuple[T, ...]:
    """Every one that can be read; the others were harmed."""
    made = []
    for each in found if isinstance(found, list) else ():
        try:
            made.append(read(each))
        except (KeyError, TypeError, ValueError, AttributeError, MalformedError):
            continue
    return tuple(made)


def _steps_said(steps: tuple[Step, ...]) -> list[dict[str, str]]:
    return [dict(each.values) for each in steps]


def _steps(found: object) -> tuple[Step, ...]:
    return tuple(map(step_of, found)) if isinstance(found, list) else ()


def _whole(value: object, otherwise: int) -> int:
    return value if type(value) is int and value >= 0 else otherwise


def _moment_said(at: datetime | None) -> str | None:
    return None if at is None else moment_text(at)


def _moment(text: object) -> datetime | None:
    return moment(text) if isinstance(text, str) else None
