"""Looks at one recipe with all that was done by it, and adjusts it."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from ledger.actor import Actor, Permission
from ledger.bench import BenchWriter, Recipe, Step
from ledger.errors import ConflictError, InvalidError, NotFoundError
from ledger.history import Moment, history
from ledger.ports import Ledger
from ledger.recipes import flaws_of_recipe
from ledger.tallies import Tally, in_all
from ledger.usecases.bench import bench_of, put_adjusted
from ledger.worked import Passage, passages_of

__all__ = ["RecipeLook", "adjust_recipe", "look_at_recipe"]


@dataclass(frozen=True, kw_only=True)
class RecipeLook:
    """One recipe, each time a book was worked by it, and what that came to; `loads` are those under way by it now."""

    recipe: Recipe
    passages: tuple[Passage, ...]
    loads: int

    @property
    def in_all(self) -> Tally:
        """All of it, counted."""
        return in_all(self.passages)


def look_at_recipe(ledger: Ledger, actor: Actor, recipe: str) -> RecipeLook:
    """The recipe at this moment, with what the entries in force say of its work.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with bench_of(ledger).read() as bench:
        found = _need(bench.recipe(recipe), recipe)
        loads = sum(each.recipe == recipe for each in bench.loads())
    books = {book for run in found.runs for book, _ in run.told}
    return RecipeLook(recipe=found, passages=passages_of(found, _histories(ledger, books)), loads=loads)


def adjust_recipe(  # noqa: PLR0913 - who sets what, read from which state
    ledger: Ledger, actor: Actor, recipe: str, name: str, steps: Sequence[Step], *, state: int
) -> Recipe:
    """The recipe in a new state; `state` is the one that was read before.

    Keeps: its history. Where nothing changes there is no new state.
    Raises: NotFoundError, InvalidError; ConflictError where it was adjusted since, or another one has the name.
    """
    actor.require(Permission.BENCH)
    said = name.strip()
    if problems := flaws_of_recipe(said, steps):
        raise InvalidError(problems=tuple(problems))

    def work(writer: BenchWriter) -> Recipe:
        before = _need(writer.recipe(recipe), recipe)
        if before.state != state:
            raise ConflictError(sentence=f"{before.name} was adjusted since you read it. Read it again first.")
        others = (each for each in writer.recipes() if each.id != recipe)
        if any(each.name.casefold() == said.casefold() for each in others):
            raise ConflictError(sentence=f"Another recipe is called {said}. Choose another name.")
        return put_adjusted(writer, before, said, steps, ledger.clock.now())

    return bench_of(ledger).write(work)


def _histories(ledger: Ledger, books: set[str]) -> dict[str, Sequence[Moment]]:
    """What happened to each of these books; one that is not here has none."""
    found: dict[str, Sequence[Moment]] = {}
    with ledger.log.read() as reader:
        for book in sorted(books):
            with suppress(NotFoundError):
                found[book] = history(reader.of_book(book), ledger.codec)
    return found


def _need(found: Recipe | None, recipe: str) -> Recipe:
    if found is None:
        raise NotFoundError(what="recipe", name=recipe)
    return found
