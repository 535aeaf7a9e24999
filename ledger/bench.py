"""The bench: what is in which press until when, and the recipes it is worked by.

It lies beside the ledger and is no part of the account: what was done is told by an entry, once it is over.
"""

from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final, Protocol, TypeVar

from ledger.errors import Problem
from ledger.rules.techniques import techniques
from ledger.tools import Tool

__all__ = [
    "FIELDS",
    "LOADS_MOST",
    "NOTE",
    "RECIPES_MOST",
    "STEPS_MOST",
    "BenchReader",
    "BenchStore",
    "BenchWriter",
    "Feed",
    "Load",
    "Recipe",
    "Run",
    "State",
    "Step",
    "books_in",
    "flaws_of",
    "in_tool",
]

T = TypeVar("T")

NOTE: Final = "note"
"""A few words that go with a step, such as what is left alone. An entry that tells of it begins with them as its remark."""
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
    NOTE,
)
"""What a step plans: fields of an intervention by the names a form has for them, none a sealed one, and a note."""

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
        return self._minutes("total")

    @property
    def hold_minutes(self) -> int | None:
        """How long it is to be hot; None where that is left open. Units: min."""
        return self._minutes("hold")

    @property
    def cooling_minutes(self) -> int | None:
        """How long it is to cool once the heat is off; None where that is left open. Units: min."""
        return self._minutes("cooling")

    def _minutes(self, name: str) -> int | None:
        text = self.values.get(f"settings.{name}_minutes", "")
        return int(text) if text.isascii() and text.isdecimal() and int(text) <= MINUTES_MOST else None


@dataclass(frozen=True, kw_only=True)
class State:
    """A recipe as it stood from one adjusting to the next."""

    number: int
    """From 1 up; one by which nobody worked may be gone."""
    name: str
    made: datetime
    steps: tuple[Step, ...]


@dataclass(frozen=True, kw_only=True)
class Run:
    """One step of a recipe that was worked, as entries told it: which load, by which state, and who wrote what of whom."""

    load: str
    state: int
    place: int
    """Number of the step in that state, from 0."""
    started: datetime
    ends: datetime | None
    """When it was to come out; None where that was left open."""
    stopped: datetime | None
    told: tuple[tuple[str, int], ...]
    """Each book with the number of its entry."""

    @property
    def early(self) -> bool:
        """It came out before its planned end."""
        return self.stopped is not None and self.ends is not None and self.stopped < self.ends


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """A sequence of steps under a name, and what was done by it; `made` is when it was last adjusted."""

    id: str
    name: str
    made: datetime
    steps: tuple[Step, ...]
    state: int = 1
    earlier: tuple[State, ...] = ()
    """How it stood before, as far as somebody worked by it then."""
    runs: tuple[Run, ...] = ()
    """In the order in which they were told."""
    called_off: int = 0
    """Loads that never went in."""

    @property
    def states(self) -> tuple[State, ...]:
        """All that are known, the one in force last."""
        now = State(number=self.state, name=self.name, made=self.made, steps=self.steps)
        return (*self.earlier, now)


@dataclass(frozen=True, kw_only=True)
class Load:
    """Books that are in one step of work together, until an entry tells what was done.

    `recipe` is the id of the one it is worked by, `place` the number of this step in it, from 0, and `state` the number
    of the state in which the recipe was then, 0 where that is not known.
    """

    id: str
    books: tuple[str, ...]
    step: Step
    started: datetime
    stopped: datetime | None = None
    recipe: str | None = None
    place: int = 0
    tool: str | None = None
    """Id of the press or tool it is in; what the entry calls it stands in the step."""
    state: int = 0

    @property
    def ends(self) -> datetime | None:
        """When it is to come out; None where that was left open."""
        return None if self.step.minutes is None else self.started + timedelta(minutes=self.step.minutes)

    @property
    def heat_off(self) -> datetime | None:
        """When the heat goes off, by the hold that is planned; None where none is."""
        hold = self.step.hold_minutes
        return None if not hold else self.started + timedelta(minutes=hold)

    @property
    def cool(self) -> datetime | None:
        """When it has cooled, by the cooling that is planned; None where none is."""
        cooling = self.step.cooling_minutes
        return None if self.heat_off is None or not cooling else self.heat_off + timedelta(minutes=cooling)

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
    """One unchanging view of the bench of one collection; loads the oldest first, recipes and tools by name."""

    def loads(self) -> list[Load]: ...
    def load(self, load: str) -> Load | None: ...
    def recipes(self) -> list[Recipe]: ...
    def recipe(self, recipe: str) -> Recipe | None: ...
    def tools(self) -> list[Tool]: ...
    def tool(self, tool: str) -> Tool | None: ...
    def feed(self) -> Feed | None: ...


class BenchWriter(BenchReader, Protocol):
    """The writer's transaction over the bench: all of it is kept or none."""

    def put_load(self, load: Load) -> None: ...
    def take_load(self, load: str) -> None: ...
    def put_recipe(self, recipe: Recipe) -> None: ...
    def take_recipe(self, recipe: str) -> None: ...
    def put_tool(self, tool: Tool) -> None: ...
    def take_tool(self, tool: str) -> None: ...
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


def in_tool(loads: Iterable[Load], tool: str) -> tuple[Load, ...]:
    """The loads that take up room in it: those that have not come out."""
    return tuple(each for each in loads if each.tool == tool and each.stopped is None)


def books_in(loads: Iterable[Load], tool: str) -> int:
    """How many books are in it now."""
    return sum(len(each.books) for each in in_tool(loads, tool))
