"""The form of a recipe: made from starter steps or from nothing, or adjusted into a new state."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.bench import STEPS_MOST, Step
from ledger.errors import ConflictError, InvalidError, Problem
from ledger.rules.cautions import Caution
from ledger.rules.steps import Starter, starters
from ledger.rules.techniques import techniques
from ledger.usecases.bench import keep_recipe, look_at_bench
from ledger.usecases.recipes import adjust_recipe, look_at_recipe
from web.bench_lines import step_title, technique_of
from web.bench_steps import CHOICES
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import faults_of
from web.frame import Frame, Place, Told
from web.pages.recipe import PATH
from web.posted import Posted
from web.recipe_rows import Row, moved, rows_in, rows_of
from web.render import Page, page, render
from web.starters import asked_for
from web.told import go_to
from web.wording import t

router = APIRouter()

NEW: Final = f"{PATH}/new"


@dataclass(frozen=True, kw_only=True)
class StepRow:
    """One step in the form."""

    at: str
    """What stands before the names of its fields."""
    title: str
    values: Row
    open: bool
    caution: Caution | None


@page("recipe_form.html")
@dataclass(frozen=True, kw_only=True)
class RecipeFormPage(Page):
    """A recipe's name and steps, to be typed."""

    new: bool
    action: str
    back: str
    name: str
    state: int
    rows: tuple[StepRow, ...]
    may_add: bool
    techniques: tuple[tuple[str, str], ...]
    choices: Mapping[str, tuple[tuple[str, str], ...]]
    starters: tuple[Starter, ...]
    starter: Starter | None
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Typed:
    """What stands in the form, and what is wrong with it."""

    name: str
    state: int
    rows: tuple[Row, ...]
    at: int | None = None
    do: str = ""
    problems: tuple[Problem, ...] = ()


@router.get(NEW)
def make(frame: FrameDep, _actor: ActorDep) -> Response:
    """An empty form, with the starter steps beside it."""
    return render(_page(frame, "", Typed(name="", state=0, rows=())))


@router.post(NEW)
def keep(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """A button's work on the rows, or the recipe is kept."""
    typed = _typed(posted)
    if _only_moved(posted):
        return render(_page(frame, "", typed))
    try:
        _refuse_a_name_in_use([each.name for each in look_at_bench(ledger, actor).recipes], typed.name)
        recipe = keep_recipe(ledger, actor, typed.name, _steps(typed.rows))
    except (InvalidError, ConflictError) as error:
        return _refused(frame, "", typed, error)
    return go_to(request, f"{PATH}/{recipe.id}", Told(sentence=t("bench.recipe_kept", name=recipe.name)))


@router.get(f"{PATH}/{{recipe}}/adjust")
def change(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, recipe: str) -> Response:
    """The form with what is kept."""
    found = look_at_recipe(ledger, actor, recipe).recipe
    return render(_page(frame, recipe, Typed(name=found.name, state=found.state, rows=rows_of(found.steps))))


@router.post(f"{PATH}/{{recipe}}/adjust")
def adjust(  # noqa: PLR0913 - what a request brings along
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, recipe: str, posted: PostedDep
) -> Response:
    """A button's work on the rows, or the recipe goes on in a new state."""
    look_at_recipe(ledger, actor, recipe)
    typed = _typed(posted)
    if _only_moved(posted):
        return render(_page(frame, recipe, typed))
    try:
        kept = adjust_recipe(ledger, actor, recipe, typed.name, _steps(typed.rows), state=typed.state)
    except (InvalidError, ConflictError) as error:
        return _refused(frame, recipe, typed, error)
    return go_to(request, f"{PATH}/{recipe}", Told(sentence=t("recipe.adjusted", name=kept.name, state=kept.state)))


def _only_moved(posted: Posted) -> bool:
    return moved((), posted.get("do")) is not None


def _typed(posted: Posted) -> Typed:
    rows, do, state = rows_in(posted), posted.get("do"), posted.get("state")
    after = moved(rows, do)
    kept = tuple(each for each in rows if each)
    return Typed(
        name=posted.get("name"),
        state=int(state) if state.isascii() and state.isdecimal() and len(state) < 10 else 0,  # noqa: PLR2004
        rows=kept if after is None else after.rows,
        at=None if after is None else after.at,
        do=do,
    )


def _steps(rows: Sequence[Row]) -> list[Step]:
    return [Step(values=dict(each)) for each in rows]


def _refuse_a_name_in_use(names: Sequence[str], name: str) -> None:
    """A new recipe takes no other's place unasked.

    Raises: ConflictError.
    """
    if name.casefold() in {each.casefold() for each in names}:
        raise ConflictError(sentence=t("recipe.name_in_use", name=name))


def _refused(frame: Frame, recipe: str, typed: Typed, error: InvalidError | ConflictError) -> Response:
    if isinstance(error, InvalidError):
        problems, status = error.problems, 422
    else:
        problems, status = (Problem(field="name", sentence=str(error)),), 409
    back = Typed(name=typed.name, state=typed.state, rows=typed.rows, problems=problems)
    return render(_page(frame, recipe, back), status=status)


def _page(frame: Frame, recipe: str, typed: Typed) -> RecipeFormPage:
    faults = faults_of(typed.problems)
    return RecipeFormPage(
        frame=frame.at(Place.BENCH),
        new=not recipe,
        action=f"{PATH}/{recipe}/adjust" if recipe else NEW,
        back=f"{PATH}/{recipe}" if recipe else f"{Place.BENCH.path}#recipes",
        name=typed.name,
        state=typed.state,
        rows=tuple(_row(place, each, typed, faults) for place, each in enumerate(typed.rows)),
        may_add=len(typed.rows) < STEPS_MOST,
        techniques=(("", t("bench.start.choose")), *((each.id, each.title) for each in techniques())),
        choices=CHOICES,
        starters=starters(),
        starter=asked_for(typed.do),
        problems=typed.problems,
        faults=faults,
    )


def _row(place: int, values: Row, typed: Typed, faults: Mapping[str, str]) -> StepRow:
    at, step = f"steps.{place}.", Step(values=values)
    row = technique_of(step)
    wrong = any(name.startswith(at) for name in faults)
    return StepRow(
        at=at,
        title=step_title(step) or t("recipe.form.empty"),
        values=values,
        open=wrong or place == typed.at,
        caution=row.caution if row else None,
    )
