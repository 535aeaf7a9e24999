"""Works at the bench: a load goes in, comes out, and is told by an entry; recipes are kept and taken up again."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from ledger.actor import Actor, Permission
from ledger.bench import (
    LOADS_MOST,
    NAME_MOST,
    RECIPES_MOST,
    STEPS_MOST,
    BenchStore,
    BenchWriter,
    Load,
    Recipe,
    Step,
    flaws_of,
)
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.usecases.record import random_id

__all__ = [
    "BOOKS_MOST",
    "Bench",
    "call_off",
    "forget_recipe",
    "keep_recipe",
    "look_at_bench",
    "names_of",
    "put_in",
    "stop",
    "told",
]

BOOKS_MOST = 60
"""In one load."""


@dataclass(frozen=True, kw_only=True)
class Bench:
    """All loads, the oldest first, and all recipes by name."""

    loads: tuple[Load, ...]
    recipes: tuple[Recipe, ...]

    def recipe_of(self, load: Load) -> Recipe | None:
        """The one a load is worked by, if it is still kept."""
        return next((each for each in self.recipes if each.id == load.recipe), None)

    def next_of(self, load: Load) -> Step | None:
        """The step that follows it by its recipe."""
        recipe = self.recipe_of(load)
        after = load.place + 1
        return recipe.steps[after] if recipe is not None and after < len(recipe.steps) else None


def look_at_bench(ledger: Ledger, actor: Actor) -> Bench:
    """The bench at this moment."""
    actor.require(Permission.READ)
    with _store(ledger).read() as reader:
        return Bench(loads=tuple(reader.loads()), recipes=tuple(reader.recipes()))


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


def put_in(
    ledger: Ledger, actor: Actor, books: Sequence[str], step: Step, *, by: tuple[str, int] | None = None
) -> Load:
    """The load that begins now; `by` is the recipe it is worked by, and the number of this step in it, from 0.

    Keeps: a book is in one load at a time.
    Raises: InvalidError, ConflictError, NotFoundError for a book that is not here.
    """
    actor.require(Permission.BENCH)
    own = tuple(dict.fromkeys(books))
    problems = flaws_of(step)
    if not 1 <= len(own) <= BOOKS_MOST:
        problems.append(Problem(field="book", sentence=f"A load holds 1 to {BOOKS_MOST} books. Choose them."))
    if problems:
        raise InvalidError(problems=tuple(problems))
    with ledger.log.read() as reader:
        for book in own:
            reader.book(book)
    recipe, place = by or (None, 0)
    load = Load(
        id=random_id(ledger.chance), books=own, step=step, started=ledger.clock.now(), recipe=recipe, place=place
    )

    def work(writer: BenchWriter) -> None:
        others = writer.loads()
        if len(others) >= LOADS_MOST:
            raise ConflictError(sentence=f"There are {LOADS_MOST} loads on the bench. Write down what is over first.")
        busy = {book for each in others for book in each.books}
        if taken := [book for book in own if book in busy]:
            count = "One of these books is" if len(taken) == 1 else f"{len(taken)} of these books are"
            raise ConflictError(sentence=f"{count} in another load. Write down what came of that first.")
        writer.put_load(load)

    _store(ledger).write(work)
    return load


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

    return _store(ledger).write(work)


def told(ledger: Ledger, actor: Actor, load: str) -> Load | None:
    """The load that an entry has told by now, gone from the bench; None where it was gone already."""
    actor.require(Permission.BENCH)

    def work(writer: BenchWriter) -> Load | None:
        found = writer.load(load)
        writer.take_load(load)
        return found

    return _store(ledger).write(work)


def call_off(ledger: Ledger, actor: Actor, load: str) -> None:
    """The load never was: nothing was done to the books.

    Raises: NotFoundError.
    """
    actor.require(Permission.BENCH)

    def work(writer: BenchWriter) -> None:
        writer.take_load(_need(writer, load).id)

    _store(ledger).write(work)


def keep_recipe(ledger: Ledger, actor: Actor, name: str, steps: Sequence[Step]) -> Recipe:
    """The recipe under that name, in the place of one that had it.

    Raises: InvalidError, ConflictError.
    """
    actor.require(Permission.BENCH)
    said = name.strip()
    problems = [flaw for place, step in enumerate(steps) for flaw in flaws_of(step, f"steps.{place}.")]
    if not 1 <= len(said) <= NAME_MOST:
        problems.append(Problem(field="name", sentence=f"A recipe has a name of 1 to {NAME_MOST} characters."))
    if not 1 <= len(steps) <= STEPS_MOST:
        problems.append(Problem(field="steps", sentence=f"A recipe has 1 to {STEPS_MOST} steps."))
    if problems:
        raise InvalidError(problems=tuple(problems))

    def work(writer: BenchWriter) -> Recipe:
        kept = writer.recipes()
        before = next((each for each in kept if each.name.casefold() == said.casefold()), None)
        if before is None and len(kept) >= RECIPES_MOST:
            raise ConflictError(sentence=f"There are {RECIPES_MOST} recipes. Take one away first.")
        own = before.id if before is not None else random_id(ledger.chance)
        recipe = Recipe(id=own, name=said, made=ledger.clock.now(), steps=tuple(steps))
        writer.put_recipe(recipe)
        return recipe

    return _store(ledger).write(work)


def forget_recipe(ledger: Ledger, actor: Actor, recipe: str) -> None:
    """A recipe is no longer kept; what was done by it stays in the ledger."""
    actor.require(Permission.BENCH)
    _store(ledger).write(lambda writer: writer.take_recipe(recipe))


def _store(ledger: Ledger) -> BenchStore:
    if ledger.bench is None:
        raise ConflictError(sentence="This ledger is open for reading only, and has no bench.")
    return ledger.bench


def _need(writer: BenchWriter, load: str) -> Load:
    found = writer.load(load)
    if found is None:
        raise NotFoundError(what="load on the bench", name=load)
    return found
