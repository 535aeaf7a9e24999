"""Works at the bench: a load goes in, comes out, and is told by an entry; recipes are kept and taken up again."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime

from ledger.actor import Actor, Permission
from ledger.bench import (
    RECIPES_MOST,
    BenchReader,
    BenchStore,
    BenchWriter,
    Load,
    Recipe,
    Step,
    books_in,
    flaws_of,
)
from ledger.entry import Entry
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.recipes import adjusted, flaws_of_recipe, with_call_off, with_run
from ledger.tools import Tool
from ledger.usecases.record import random_id
from ledger.usecases.room import begun

__all__ = [
    "BOOKS_MOST",
    "Bench",
    "bench_of",
    "call_off",
    "forget_recipe",
    "go_on",
    "keep_recipe",
    "look_at_bench",
    "names_of",
    "put_adjusted",
    "put_in",
    "stop",
    "told",
    "told_by",
]

BOOKS_MOST = 60
"""In one load."""


@dataclass(frozen=True, kw_only=True)
class Bench:
    """All loads, the oldest first, and all recipes and tools by name."""

    loads: tuple[Load, ...]
    recipes: tuple[Recipe, ...]
    tools: tuple[Tool, ...] = ()

    def recipe_of(self, load: Load) -> Recipe | None:
        """The one a load is worked by, if it is still kept."""
        return next((each for each in self.recipes if each.id == load.recipe), None)

    def next_of(self, load: Load) -> Step | None:
        """The step that follows it by its recipe."""
        recipe = self.recipe_of(load)
        after = load.place + 1
        return recipe.steps[after] if recipe is not None and after < len(recipe.steps) else None

    def tool(self, tool: str | None) -> Tool | None:
        """The one of that id."""
        return next((each for each in self.tools if each.id == tool), None)

    def tool_for(self, step: Step) -> Tool | None:
        """The one in use that the step means by its name."""
        name = step.values.get("tool", "").strip().casefold()
        return next((each for each in self.tools if each.name.casefold() == name and not each.retired), None)

    def room_in(self, tool: Tool) -> int | None:
        """For how many more books there is room in it; None where that was left open."""
        return tool.room(books_in(self.loads, tool.id))


def look_at_bench(ledger: Ledger, actor: Actor) -> Bench:
    """The bench at this moment."""
    actor.require(Permission.READ)
    with bench_of(ledger).read() as reader:
        return Bench(loads=tuple(reader.loads()), recipes=tuple(reader.recipes()), tools=tuple(reader.tools()))


def names_of(ledger: Ledger, actor: Actor, books: Sequence[str]) -> dict[str, str]:
    """Title and number of each of these books, by its id; one that is not here has none."""
    actor.require(Permission.READ)
    names: dict[str, str] = {}
    with ledger.log.read() as reader:
        for book in dict.fromkeys(books):
            with suppress(NotFoundError):
                row = reader.book(book)
                names[book] = f"{row.title} {row.number}".strip() or book
    return names


def put_in(  # noqa: PLR0913 - what makes up a load
    ledger: Ledger,
    actor: Actor,
    books: Sequence[str],
    step: Step,
    *,
    by: tuple[str, int] | None = None,
    tool: str | None = None,
) -> Load:
    """The load that begins now; `by` is the recipe it is worked by, and the number of this step in it, from 0.

    `tool` is the id of the press it goes into; where the step calls it nothing, it is called by its own name.

    Keeps: a book is in one load at a time, and no tool holds more books than it takes.
    Raises: InvalidError, ConflictError, NoRoomError, NotFoundError for a book or tool that is not here.
    """
    actor.require(Permission.BENCH)
    load = _load(ledger, books, step, by or (None, 0), tool)
    with ledger.log.read() as reader:
        for book in load.books:
            reader.book(book)
    return bench_of(ledger).write(lambda writer: begun(writer, _in_state(writer, load), frozenset()))


def go_on(ledger: Ledger, actor: Actor, load: str) -> Load:
    """The load of the step that follows by the recipe, which begins now with the same books; the one before has come out.

    The one before stays on the bench until it is told. The new one goes into the tool that its step names, if there is
    one of that name.
    Raises: NotFoundError, ConflictError where no step follows or the books went on already, NoRoomError.
    """
    actor.require(Permission.BENCH)

    def work(writer: BenchWriter) -> Load:
        before = _need(writer, load)
        bench = Bench(loads=tuple(writer.loads()), recipes=tuple(writer.recipes()), tools=tuple(writer.tools()))
        step = bench.next_of(before)
        if step is None:
            raise ConflictError(sentence="No step follows this one. Write down what came of it.")
        if before.stopped is None:
            writer.put_load(replace(before, stopped=ledger.clock.now()))
        tool = bench.tool_for(step)
        after = _load(ledger, before.books, step, (before.recipe, before.place + 1), tool.id if tool else None)
        return begun(writer, _in_state(writer, after), frozenset({before.id}))

    return bench_of(ledger).write(work)


def _load(ledger: Ledger, books: Sequence[str], step: Step, by: tuple[str | None, int], tool: str | None) -> Load:
    """A load in a step that can be planned."""
    own = tuple(dict.fromkeys(books))
    problems = flaws_of(step)
    if not 1 <= len(own) <= BOOKS_MOST:
        problems.append(Problem(field="book", sentence=f"A load holds 1 to {BOOKS_MOST} books. Choose them."))
    if problems:
        raise InvalidError(problems=tuple(problems))
    recipe, place = by
    return Load(
        id=random_id(ledger.chance), books=own, step=step, started=ledger.clock.now(), recipe=recipe, place=place,
        tool=tool,
    )  # fmt: skip


def _in_state(writer: BenchWriter, load: Load) -> Load:
    """The load by the recipe as it is now."""
    recipe = writer.recipe(load.recipe) if load.recipe is not None else None
    return replace(load, state=recipe.state if recipe is not None else 0)


def stop(ledger: Ledger, actor: Actor, load: str) -> Load:
    """The load, which has come out now; a second time changes nothing.

    Raises: NotFoundError.
    """
    actor.require(Permission.BENCH)

    def work(writer: BenchWriter) -> Load:
        found = _need(writer, load)
        if found.stopped is None:
            found = replace(found, stopped=ledger.clock.now())
            writer.put_load(found)
        return found

    return bench_of(ledger).write(work)


def told(ledger: Ledger, actor: Actor, load: str, entries: Sequence[Entry] = ()) -> Load | None:
    """The load that these entries have told by now, gone from the bench; None where it was gone already.

    Keeps: the recipe it was worked by remembers the entries in the same write.
    """
    actor.require(Permission.BENCH)
    said = [(each.book, each.seq) for each in entries if each.book and isinstance(each.event, Intervention)]

    def work(writer: BenchWriter) -> Load | None:
        found = writer.load(load)
        if found is not None:
            writer.take_load(load)
            _remember(writer, found, lambda recipe: with_run(recipe, found, said))
        return found

    return bench_of(ledger).write(work)


def told_by(ledger: Ledger, actor: Actor, load: str, seqs: Sequence[int]) -> None:
    """The load is gone from the bench: the entries of these numbers have told it, each an intervention on a book of it.

    Raises: NotFoundError, ConflictError.
    """
    actor.require(Permission.BENCH)
    with ledger.log.read() as reader:
        entries = [reader.entry(seq) for seq in dict.fromkeys(seqs)]
    with bench_of(ledger).read() as bench:
        found = _need(bench, load)
    for each in entries:
        if each.book not in found.books or not isinstance(each.event, Intervention):
            sentence = f"Entry {each.seq} tells of no work on a book of this load. Name the entries that do, or none."
            raise ConflictError(sentence=sentence)
    told(ledger, actor, load, entries)


def call_off(ledger: Ledger, actor: Actor, load: str) -> None:
    """The load never was: nothing was done to the books. Its recipe only counts that.

    Raises: NotFoundError.
    """
    actor.require(Permission.BENCH)

    def work(writer: BenchWriter) -> None:
        found = _need(writer, load)
        writer.take_load(found.id)
        _remember(writer, found, with_call_off)

    bench_of(ledger).write(work)


def keep_recipe(ledger: Ledger, actor: Actor, name: str, steps: Sequence[Step]) -> Recipe:
    """The recipe under that name; one that had it goes on as a new state of it, with all that was done by it.

    Raises: InvalidError, ConflictError.
    """
    actor.require(Permission.BENCH)
    said = name.strip()
    if problems := flaws_of_recipe(said, steps):
        raise InvalidError(problems=tuple(problems))

    def work(writer: BenchWriter) -> Recipe:
        kept, now = writer.recipes(), ledger.clock.now()
        before = next((each for each in kept if each.name.casefold() == said.casefold()), None)
        if before is not None:
            return put_adjusted(writer, before, said, steps, now)
        if len(kept) >= RECIPES_MOST:
            raise ConflictError(sentence=f"There are {RECIPES_MOST} recipes. Take one away first.")
        recipe = Recipe(id=random_id(ledger.chance), name=said, made=now, steps=tuple(steps))
        writer.put_recipe(recipe)
        return recipe

    return bench_of(ledger).write(work)


def put_adjusted(writer: BenchWriter, before: Recipe, name: str, steps: Sequence[Step], now: datetime) -> Recipe:
    """The recipe in its new state, within a write."""
    in_use = {each.state for each in writer.loads() if each.recipe == before.id}
    recipe = adjusted(before, name=name, steps=steps, made=now, in_use=in_use)
    if recipe != before:
        writer.put_recipe(recipe)
    return recipe


def forget_recipe(ledger: Ledger, actor: Actor, recipe: str) -> None:
    """A recipe is no longer kept; what was done by it stays in the ledger."""
    actor.require(Permission.BENCH)
    bench_of(ledger).write(lambda writer: writer.take_recipe(recipe))


def bench_of(ledger: Ledger) -> BenchStore:
    """Where the bench of this ledger is kept.

    Raises: ConflictError for one that is open for reading only.
    """
    if ledger.bench is None:
        raise ConflictError(sentence="This ledger is open for reading only, and has no bench.")
    return ledger.bench


def _remember(writer: BenchWriter, load: Load, change: Callable[[Recipe], Recipe]) -> None:
    """What a load came to, at the recipe it was worked by, if that is still kept."""
    recipe = writer.recipe(load.recipe) if load.recipe is not None else None
    if recipe is not None and (changed := change(recipe)) != recipe:
        writer.put_recipe(changed)


def _need(reader: BenchReader, load: str) -> Load:
    found = reader.load(load)
    if found is None:
        raise NotFoundError(what="load on the bench", name=load)
    return found
