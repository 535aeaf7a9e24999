"""A recipe: its steps, to be begun with one tap for a book or several, and what it did to which paper so far."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.bench import NOTE, Load, Recipe, Step
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.rules.cautions import Caution
from ledger.tallies import FEW
from ledger.usecases import bench as bench_work
from ledger.usecases.browse import look_through
from ledger.usecases.recipes import RecipeLook, look_at_recipe
from ledger.views import ShelfQuery
from web.bench_lines import step_title, technique_of
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.filters import moment
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.recipe_lines import PassageLine, TallyTable, beside_it, passage_lines, statement, tables_of
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = f"{Place.BENCH.path}/recipes"
WAITING_MOST: Final = 200

Books = Annotated[list[str], Query(max_length=bench_work.BOOKS_MOST)]


@dataclass(frozen=True, kw_only=True)
class StepLine:
    """One step: in words, what goes with it, and what to mind."""

    title: str
    tool: str
    stack: str
    note: str
    caution: Caution | None


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """A book that can go in, and whether it is ticked."""

    id: str
    name: str
    ticked: bool


@dataclass(frozen=True, kw_only=True)
class StateLine:
    """How it stood before."""

    words: str
    steps: tuple[str, ...]


@page("recipe.html")
@dataclass(frozen=True, kw_only=True)
class RecipeDetailPage(Page):
    """One recipe, whole."""

    id: str
    name: str
    state: int
    kept: str
    """When it was kept so."""
    steps: tuple[StepLine, ...]
    waiting: tuple[Waiting, ...]
    statement: tuple[str, ...]
    beside: tuple[str, ...]
    """What is not in that, and why."""
    tables: tuple[TallyTable, ...]
    passages: tuple[PassageLine, ...]
    earlier: tuple[StateLine, ...]
    few_most: int
    problems: tuple[Problem, ...]


@router.get(f"{PATH}/{{recipe}}")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, recipe: str, book: Books = []) -> Response:  # noqa: B006 - FastAPI copies it
    """Its steps and its history; books that the address names are ticked."""
    return render(_page(frame, ledger, actor, look_at_recipe(ledger, actor, recipe), book))


@router.post(f"{PATH}/{{recipe}}/start")
def start(  # noqa: PLR0913 - what a request brings along
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, recipe: str, posted: PostedDep
) -> Response:
    """The ticked books go into one of its steps now."""
    seen, books = look_at_recipe(ledger, actor, recipe), posted.all("book")
    try:
        load = _begun(ledger, actor, seen.recipe, books, posted)
    except InvalidError as error:
        return render(_page(frame, ledger, actor, seen, books, error.problems), status=422)
    except ConflictError as error:
        said = (Problem(field="", sentence=str(error)),)
        return render(_page(frame, ledger, actor, seen, books, said), status=409)
    went = t.n("bench.went_in", len(load.books), what=step_title(load.step))
    return go_to(request, Place.BENCH.path, Told(sentence=went))


def _begun(ledger: Ledger, actor: Actor, recipe: Recipe, books: Sequence[str], posted: Posted) -> Load:
    """The load that goes in.

    Raises: NotFoundError for a step that it has not; ConflictError where it was adjusted since it was read.
    """
    step = posted.get("step")
    if not (step.isascii() and step.isdecimal() and int(step) < len(recipe.steps)):
        raise NotFoundError(what=f"step of {recipe.name} with the number", name=step)
    if posted.get("state") != str(recipe.state):
        raise ConflictError(sentence=t("recipe.adjusted_since", name=recipe.name))
    place = int(step)
    return bench_work.put_in(ledger, actor, books, recipe.steps[place], by=(recipe.id, place))


def _page(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    seen: RecipeLook,
    ticked: Sequence[str],
    problems: tuple[Problem, ...] = (),
) -> RecipeDetailPage:
    recipe = seen.recipe
    names = bench_work.names_of(ledger, actor, [each.book for each in seen.passages])
    return RecipeDetailPage(
        frame=frame.at(Place.BENCH),
        id=recipe.id,
        name=recipe.name,
        state=recipe.state,
        kept=moment(recipe.made),
        steps=tuple(map(_step, recipe.steps)),
        waiting=_waiting(ledger, actor, ticked),
        statement=statement(seen),
        beside=beside_it(seen),
        tables=tables_of(seen),
        passages=passage_lines(seen, names),
        earlier=tuple(
            StateLine(
                words=t("recipe.state_was", number=each.number, name=each.name, at=moment(each.made)),
                steps=tuple(map(step_title, each.steps)),
            )
            for each in reversed(recipe.earlier)
        ),
        few_most=FEW,
        problems=problems,
    )


def _step(step: Step) -> StepLine:
    row = technique_of(step)
    value: Mapping[str, str] = step.values
    return StepLine(
        title=step_title(step),
        tool=value.get("tool", ""),
        stack=value.get("settings.stack", ""),
        note=value.get(NOTE, ""),
        caution=row.caution if row else None,
    )


def _waiting(ledger: Ledger, actor: Actor, ticked: Sequence[str]) -> tuple[Waiting, ...]:
    """The books that wait for a load, after those that were ticked; a single one is ticked already."""
    busy = {book for load in bench_work.look_at_bench(ledger, actor).loads for book in load.books}
    rows = look_through(ledger, actor, ShelfQuery(on_bench=True, limit=WAITING_MOST)).page.rows
    waiting = [each.book for each in rows if each.book not in busy]
    ids = list(dict.fromkeys([*ticked, *waiting]))
    names = bench_work.names_of(ledger, actor, ids)
    here = [each for each in ids if each in names]
    alone = len(here) == 1
    return tuple(Waiting(id=each, name=names[each], ticked=alone or each in ticked) for each in here)
