"""Somebody at the bench who works by recipes: books go in, come out, an entry tells of each, and a look follows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from ledger.bench import Load, Recipe, Step
from ledger.entry import Entry
from ledger.ports import Ledger
from ledger.usecases import bench
from ledger.usecases.recipes import RecipeLook, look_at_recipe
from ledger.usecases.record import Draft, record
from tests.builders import a_defect, an_examination, an_intervention
from tests.fakes import FakeClock
from tests.usecases.telling import OWNER, Teller

__all__ = ["CLEAN", "COLD", "PRESS", "RESTED", "Worker", "a_look", "gone"]

CLEAN = Step(values={"technique": "dry-cleaning"})
PRESS = Step(values={"technique": "hot-press-dry", "settings.total_minutes": "720"})
COLD = Step(values={"technique": "cold-press", "settings.total_minutes": "720"})

RESTED = 168
"""A week. Units: h. Common practice, no source."""


def a_look(day: str, *defects: Any, rest: int | None = None, **more: Any) -> Any:
    """A look at defects, each a bend of 12 mm unless it is given otherwise."""
    seen = tuple(a_defect(each) if isinstance(each, str) else each for each in defects)
    return an_examination(day, defects=seen, rest_hours=rest, **more)


def gone(name: str) -> Any:
    """A bend that is no longer there."""
    return a_defect(name, gone=True, size_mm=None)


@dataclass
class Worker:
    """One person at one bench, whose clock can be moved on."""

    ledger: Ledger
    clock: FakeClock

    @property
    def teller(self) -> Teller:
        """The same person as one who writes."""
        return Teller(self.ledger)

    def goes_in(self, recipe: Recipe, books: Sequence[str], place: int = 0) -> Load:
        """The load that begins now."""
        return bench.put_in(self.ledger, OWNER, books, recipe.steps[place], by=(recipe.id, place))

    def comes_out(self, load: Load, minutes: int = 720) -> None:
        """The load is stopped after that time."""
        self.clock.time = load.started + timedelta(minutes=minutes)
        bench.stop(self.ledger, OWNER, load.id)

    def tells(self, load: Load, day: str, **step: Any) -> Sequence[Entry]:
        """One entry a book, written together."""
        event = an_intervention(load.step.technique, day, **step)
        entries = record(self.ledger, OWNER, [Draft(event=event, book=book) for book in load.books]).entries
        bench.told(self.ledger, OWNER, load.id, entries)
        return entries

    def works(self, recipe: Recipe, books: Sequence[str], day: str, place: int = 0, **step: Any) -> Sequence[Entry]:
        """All of it, in its time."""
        load = self.goes_in(recipe, books, place)
        self.comes_out(load)
        return self.tells(load, day, **step)

    def look(self, recipe: Recipe) -> RecipeLook:
        """The recipe as its page reads it."""
        return look_at_recipe(self.ledger, OWNER, recipe.id)
