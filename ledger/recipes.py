"""How a recipe goes on: adjusted into a new state, worked by, called off; what was done by it stays with it."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final

from ledger.bench import NAME_MOST, STEPS_MOST, Load, Recipe, Run, Step, flaws_of
from ledger.errors import Problem

__all__ = ["RUNS_MOST", "adjusted", "flaws_of_recipe", "with_call_off", "with_run"]

RUNS_MOST: Final = 2_000
"""Of one recipe; the oldest give way. Our assumption: a load a day for five years."""


def flaws_of_recipe(name: str, steps: Sequence[Step]) -> list[Problem]:
    """What cannot be kept so, each at its field."""
    problems = [flaw for place, step in enumerate(steps) for flaw in flaws_of(step, f"steps.{place}.")]
    if not 1 <= len(name) <= NAME_MOST:
        problems.append(Problem(field="name", sentence=f"A recipe has a name of 1 to {NAME_MOST} characters."))
    if not 1 <= len(steps) <= STEPS_MOST:
        problems.append(Problem(field="steps", sentence=f"A recipe has 1 to {STEPS_MOST} steps."))
    return problems


def adjusted(
    before: Recipe, *, name: str, steps: Sequence[Step], made: datetime, in_use: Collection[int] = ()
) -> Recipe:
    """The recipe in a new state; the same one where nothing has changed. `in_use` are states of loads under way.

    Keeps: its id, all that was done by it, and every state by which that was done.
    """
    if (name, tuple(steps)) == (before.name, before.steps):
        return before
    worked = {run.state for run in before.runs} | set(in_use)
    earlier = tuple(each for each in before.states if each.number in worked)
    return replace(before, name=name, made=made, steps=tuple(steps), state=before.state + 1, earlier=earlier)


def with_run(recipe: Recipe, load: Load, told: Sequence[tuple[str, int]]) -> Recipe:
    """The recipe with one load more that was worked by it; `told` are books with the numbers of their entries.

    Keeps: books of the load only. A load of a state that is not known counts as of the one in force.
    """
    own = tuple((book, seq) for book, seq in told if book in load.books)
    if not own:
        return recipe
    known = {each.number for each in recipe.states}
    run = Run(
        load=load.id,
        state=load.state if load.state in known else recipe.state,
        place=load.place,
        started=load.started,
        ends=load.ends,
        stopped=load.stopped,
        told=own,
    )
    return replace(recipe, runs=(*recipe.runs, run)[-RUNS_MOST:])


def with_call_off(recipe: Recipe) -> Recipe:
    """The recipe with one load more that never went in."""
    return replace(recipe, called_off=recipe.called_off + 1)
