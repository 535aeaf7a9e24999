"""The bench: what is in which press until when, and the recipes it is worked by.

It lies beside the ledger and is no part of the account: what was done is told by an entry, once it is over.
"""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final, Protocol, TypeVar

from ledger.errors import Problem
from ledger.rules.techniques import techniques

__all__ = [
    "FIELDS",
    "LOADS_MOST",
    "RECIPES_MOST",
    "STEPS_MOST",
    "BenchReader",
    "BenchStore",
    "BenchWriter",
    "Feed",
    "Load",
    "Recipe",
    "Step",
    "flaws_of",
]

T = TypeVar("T")

FIELDS: Final = (
    "technique",
    "tool",
    "settings.set_celsius",
    "settings.hold_minutes",
    "settings.cooling_minutes",
    "settings.total_minutes",
    "settings.cooling",
    "settings.moisture",
    "settings.rh_percent",
    "settings.heat_side",
    "settings.stack",
)
"""The fields of an intervention that a step plans, by the names a form has for them. None of them is a sealed one."""

VALUE_MOST: Final = 400
NAME_MOST: Final = 80
STEPS_MOST: Final = 20
RECIPES_MOST: Final = 100
LOADS_MOST: Final = 60
"""On the bench at once."""
MINUTES_MOST: Final = 60 * 24 * 60
"""Two months: what lies longer is stored and not worked on. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step as it is planned: values of an intervention's fields, as they are typed."""

    values: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def technique(self) -> str:
        """Id of the technique, empty where none was chosen."""
        return self.values.get("technique", "")

    @property
    def minutes(self) -> int | None:
        """How long it is to take in all; None where that is left open. Units: min."""
        text = self.values.get("settings.total_minutes", "")
        return int(text) if text.isascii() and text.isdecimal() and int(text) <= MINUTES_MOST else None


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """A sequence of steps under a name."""

    id: str
    name: str
    made: datetime
    steps: tuple[Step, ...]


@dataclass(frozen=True, kw_only=True)
class Load:
    """Books that are in one step of work together, until an entry tells what was done.

    `recipe` is the id of the one it is worked by, `place` the number of this step in it, from 0.
    """

    id: str
    books: tuple[str, ...]
    step: Step
    started: datetime
    stopped: datetime | None = None
    recipe: str | None = None
    place: int = 0

    @property
    def ends(self) -> datetime | None:
        """When it is to come out; None where that was left open."""
        return None if self.step.minutes is None else self.started + timedelta(minutes=self.step.minutes)

    def is_over(self, now: datetime) -> bool:
        """Its time has passed, and nobody has said that it was stopped."""
        return self.stopped is None and self.ends is not None and now >= self.ends

    def minutes_until(self, now: datetime) -> int:
        """How long it has been, or was, under way. Units: min, whole ones that have passed."""
        return max(0, int(((self.stopped or now) - self.started) / timedelta(minutes=1)))


@dataclass(frozen=True, kw_only=True)
class Feed:
    """The one secret address of a collection's calendar; only the hash of its secret is kept."""

    hashed: str
    titles: bool
    """Titles of books stand in it."""
    made: datetime


class BenchReader(Protocol):
    """One unchanging view of the bench of one collection; loads the oldest first, recipes by name."""

    def loads(self) -> list[Load]: ...
    def load(self, load: str) -> Load | None: ...
    def recipes(self) -> list[Recipe]: ...
    def recipe(self, recipe: str) -> Recipe | None: ...
    def feed(self) -> Feed | None: ...


class BenchWriter(BenchReader, Protocol):
    """The writer's transaction over the bench: all of it is kept or none."""

    def put_load(self, load: Load) -> None: ...
    def take_load(self, load: str) -> None: ...
    def put_recipe(self, recipe: Recipe) -> None: ...
    def take_recipe(self, recipe: str) -> None: ...
    def put_feed(self, feed: Feed) -> None: ...
    def take_feed(self) -> None: ...


class BenchStore(Protocol):
    """Where the bench is kept; what `write` returned is durable.

    Raises: StoreError, ClosedError.
    """

    def read(self) -> AbstractContextManager[BenchReader]: ...
    def write(self, work: Callable[[BenchWriter], T]) -> T: ...


def flaws_of(step: Step, where: str = "") -> list[Problem]:
    """What cannot be planned so, each at its field."""
    found = [
        Problem(field=f"{where}{name}", sentence=f"A step plans nothing under the name {name}. Leave it out.")
        for name in step.values
        if name not in FIELDS
    ]
    if step.technique not in {each.id for each in techniques()}:
        found.append(Problem(field=f"{where}technique", sentence="Choose a technique of the table."))
    minutes = step.values.get("settings.total_minutes", "")
    if minutes and step.minutes is None:
        sentence = f"The time in all is a whole number of minutes, up to {MINUTES_MOST}. Write it so, or leave it open."
        found.append(Problem(field=f"{where}settings.total_minutes", sentence=sentence))
    found += [
        Problem(field=f"{where}{name}", sentence=f"It has up to {VALUE_MOST} characters. Shorten it.")
        for name, value in step.values.items()
        if len(value) > VALUE_MOST
    ]
    return found
