"""bench: what is in which press until when, the recipes and tools; it lies beside the ledger and is no part of the account."""

from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, ReadingDep, RecordingBodyDep, RecordingDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.queries import ToldAsked
from api.routes.tools import ToolAnswer, told
from api.schemas import Answer
from ledger.bench import FIELDS, STEPS_MOST, Load, Recipe, Step
from ledger.proof.envelope import moment_text
from ledger.tools import Tool
from ledger.usecases import bench as work
from ledger.usecases.tools import expected_of, look_at_tools

router = APIRouter(prefix="/bench", tags=["bench"])

_ID = "q4w8e2r6t5y3u7i9o2p4a6s8d2"
_VALUES = Field(
    description="Fields of an intervention as they are planned, by their names, as text: "
    + ", ".join(FIELDS)
    + ". The note is what the remark of its entry begins with.",
    examples=[{"technique": "cold-press", "settings.total_minutes": "720"}],
)


class LoadBody(BaseModel):
    """A load that goes in now."""

    model_config = ConfigDict(extra="forbid")

    books: list[str] = Field(min_length=1, max_length=work.BOOKS_MOST, description="Ids of the books.")
    values: dict[str, str] = _VALUES
    recipe: str | None = Field(None, max_length=64, description="Id of the recipe it is worked by.")
    place: int = Field(0, ge=0, lt=STEPS_MOST, description="Number of this step in the recipe, from 0.")
    tool: str | None = Field(
        None,
        max_length=64,
        description="Id of the press or tool it goes into; where `values` name no tool, they then name this one.",
    )


class RecipeBody(BaseModel):
    """A recipe; one of the same name goes on in a new state."""

    model_config = ConfigDict(extra="forbid")

    name: str = Field(min_length=1, max_length=80, description="What it is called.")
    steps: list[dict[str, str]] = Field(
        min_length=1, max_length=STEPS_MOST, description="Each step's fields, as in a load."
    )


class ExpectedAnswer(Answer):
    """What the tool's calibration tells of a load; nothing was measured in this run."""

    set_celsius: str = Field(description="What the load set. Units: °C, a decimal as text.")
    measured_celsius: str | None = Field(
        description="What is measured there by the calibration, on a straight line between two of its points; null "
        "outside of them, where nothing is known. Units: °C, a decimal as text."
    )
    on: str = Field(description="Day of the calibration. Units: ISO 8601 date.")
    measured_with: str = Field(description="With what the tool was measured then.")


class LoadAnswer(Answer):
    """Books that are in one step of work together."""

    id: str = Field(description="Id of the load.", examples=[_ID])
    books: list[str] = Field(description="Ids of the books.")
    values: dict[str, str] = _VALUES
    started: str = Field(description="When it went in. Units: UTC.")
    ends: str | None = Field(description="When it is to come out; null where that was left open. Units: UTC.")
    stopped: str | None = Field(description="When it came out; null while it is in. Units: UTC.")
    recipe: str | None = Field(description="Id of the recipe it is worked by.")
    place: int = Field(description="Number of this step in the recipe, from 0.")
    tool: str | None = Field(description="Id of the press or tool it is in; null where none was chosen.")
    expected: ExpectedAnswer | None = Field(
        description="What the tool's calibration tells; null where nothing was set, or the tool was never measured."
    )


class RecipeAnswer(Answer):
    """A sequence of steps under a name."""

    id: str = Field(description="Id of the recipe.", examples=[_ID])
    name: str = Field(description="What it is called.")
    made: str = Field(description="When it was kept, or adjusted last. Units: UTC.")
    state: int = Field(description="Number of its state: 1 when it is new, one more each time it is adjusted.")
    steps: list[dict[str, str]] = Field(description="Each step's fields.")


class BenchAnswer(Answer):
    """All that lies on the bench."""

    loads: list[LoadAnswer] = Field(description="The loads, the oldest first.")
    recipes: list[RecipeAnswer] = Field(description="The recipes, by name.")
    tools: list[ToolAnswer] = Field(description="The presses and tools, by name, with the room left in each.")


LoadId = Annotated[str, Path(description="Id of the load.", examples=[_ID])]
RecipeId = Annotated[str, Path(description="Id of the recipe.", examples=[_ID])]


@router.get(
    "", summary="Look at the bench", response_description="Loads, recipes and tools.", responses=failures(*EVERYWHERE)
)
def read_bench(ledger: LedgerDep, actor: ReadingDep) -> BenchAnswer:
    """What is under way now; once a load is over, record an intervention for its books and take the load away."""
    seen = work.look_at_bench(ledger, actor)
    return BenchAnswer(
        loads=[load_answer(each, seen.tools) for each in seen.loads],
        recipes=[recipe_answer(each) for each in seen.recipes],
        tools=told((each, seen.room_in(each)) for each in seen.tools),
    )


@router.post(
    "/loads",
    summary="Put books in",
    status_code=201,
    response_description="The load; its clock runs.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/bench/loads/{_ID}")}},
        **failures(404, 409, 413, 415, 422, *EVERYWHERE),
    },
)
def put_in(
    request: Request, response: Response, ledger: LedgerDep, actor: RecordingDep, data: RecordingBodyDep
) -> LoadAnswer:
    """A book is in one load at a time, and a tool holds no more than it takes. The ledger is not written to."""
    asked = read_body(LoadBody, read_json(data))
    by = None if asked.recipe is None else (asked.recipe, asked.place)
    load = work.put_in(ledger, actor, asked.books, Step(values=asked.values), by=by, tool=asked.tool)
    placed(request, response, f"/bench/loads/{load.id}")
    return load_answer(load, look_at_tools(ledger, actor))


@router.post(
    "/loads/{load}/stop",
    summary="Say that a load has come out",
    response_description="The load, stopped.",
    responses=failures(404, *EVERYWHERE),
)
def stop_load(ledger: LedgerDep, actor: RecordingDep, load: LoadId) -> LoadAnswer:
    """A second time changes nothing. The load stays until it is taken away."""
    stopped = work.stop(ledger, actor, an_id("load on the bench", load))
    return load_answer(stopped, look_at_tools(ledger, actor))


@router.delete(
    "/loads/{load}",
    summary="Take a load away",
    status_code=204,
    response_description="It is no longer on the bench.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_load(ledger: LedgerDep, actor: RecordingDep, load: LoadId, asked: Annotated[ToldAsked, Query()]) -> None:
    """After entries have told what was done, which its recipe then remembers; with none named it never went in."""
    own = an_id("load on the bench", load)
    if asked.entry:
        work.told_by(ledger, actor, own, asked.entry)
    else:
        work.call_off(ledger, actor, own)


@router.post(
    "/recipes",
    summary="Keep a recipe",
    status_code=201,
    response_description="The recipe.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/bench/recipes/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def keep_recipe(
    request: Request, response: Response, ledger: LedgerDep, actor: RecordingDep, data: RecordingBodyDep
) -> RecipeAnswer:
    """A sequence of steps under a name, to be taken up again; kept under a name in use, it is a new state of that one."""
    asked = read_body(RecipeBody, read_json(data))
    recipe = work.keep_recipe(ledger, actor, asked.name, [Step(values=each) for each in asked.steps])
    placed(request, response, f"/bench/recipes/{recipe.id}")
    return recipe_answer(recipe)


@router.delete(
    "/recipes/{recipe}",
    summary="Take a recipe away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(*EVERYWHERE),
)
def forget_recipe(ledger: LedgerDep, actor: RecordingDep, recipe: RecipeId) -> None:
    """Its history goes with it, what was done stays in the ledger; one that is gone already stays gone."""
    work.forget_recipe(ledger, actor, recipe)


def load_answer(load: Load, tools: Sequence[Tool]) -> LoadAnswer:
    """A load as it is told; the tools are those of its bench."""
    return LoadAnswer(
        id=load.id,
        books=list(load.books),
        values=dict(load.step.values),
        started=moment_text(load.started),
        ends=None if load.ends is None else moment_text(load.ends),
        stopped=None if load.stopped is None else moment_text(load.stopped),
        recipe=load.recipe,
        place=load.place,
        tool=load.tool,
        expected=_expected(load, tools),
    )


def _expected(load: Load, tools: Sequence[Tool]) -> ExpectedAnswer | None:
    found = expected_of(load, tools)
    if found is None:
        return None
    return ExpectedAnswer(
        set_celsius=found.set_celsius,
        measured_celsius=None if found.celsius is None else str(found.celsius),
        on=found.calibration.on.isoformat(),
        measured_with=found.calibration.measured_with,
    )


def recipe_answer(recipe: Recipe) -> RecipeAnswer:
    """A recipe as it is answered."""
    return RecipeAnswer(
        id=recipe.id,
        name=recipe.name,
        made=moment_text(recipe.made),
        state=recipe.state,
        steps=[dict(each.values) for each in recipe.steps],
    )
