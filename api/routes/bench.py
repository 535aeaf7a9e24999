"""bench: what is in which press until when, and the recipes; it lies beside the ledger and is no part of the account."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.bodies import read_body, read_capped, read_json
from api.deps import LedgerDep, ReadingDep, RecordingDep, an_id, is_json
from api.documents import EVERYWHERE, failures, text_header
from api.schemas import Answer
from ledger.bench import FIELDS, STEPS_MOST, Load, Recipe, Step
from ledger.proof.envelope import moment_text
from ledger.usecases import bench as work

router = APIRouter(prefix="/bench", tags=["bench"])

_ID = "q4w8e2r6t5y3u7i9o2p4a6s8d2"
_VALUES = Field(
    description="Fields of an intervention as they are planned, by their names, as text: " + ", ".join(FIELDS) + ".",
    examples=[{"technique": "cold-press", "settings.total_minutes": "720"}],
)


class LoadBody(BaseModel):
    """A load that goes in now."""

    model_config = ConfigDict(extra="forbid")

    books: list[str] = Field(min_length=1, max_length=work.BOOKS_MOST, description="Ids of the books.")
    values: dict[str, str] = _VALUES
    recipe: str | None = Field(None, max_length=64, description="Id of the recipe it is worked by.")
    place: int = Field(0, ge=0, lt=STEPS_MOST, description="Number of this step in the recipe, from 0.")


class RecipeBody(BaseModel):
    """A recipe; one of the same name is replaced."""

    model_config = ConfigDict(extra="forbid")

    name: str = Field(min_length=1, max_length=80, description="What it is called.")
    steps: list[dict[str, str]] = Field(
        min_length=1, max_length=STEPS_MOST, description="Each step's fields, as in a load."
    )


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


class RecipeAnswer(Answer):
    """A sequence of steps under a name."""

    id: str = Field(description="Id of the recipe.", examples=[_ID])
    name: str = Field(description="What it is called.")
    made: str = Field(description="When it was kept. Units: UTC.")
    steps: list[dict[str, str]] = Field(description="Each step's fields.")


class BenchAnswer(Answer):
    """All that lies on the bench."""

    loads: list[LoadAnswer] = Field(description="The loads, the oldest first.")
    recipes: list[RecipeAnswer] = Field(description="The recipes, by name.")


async def body_of(request: Request, _actor: RecordingDep, _json: Annotated[None, Depends(is_json)]) -> bytes:
    """The body."""
    return await read_capped(request)


BodyDep = Annotated[bytes, Depends(body_of)]
LoadId = Annotated[str, Path(description="Id of the load.", examples=[_ID])]
RecipeId = Annotated[str, Path(description="Id of the recipe.", examples=[_ID])]


@router.get("", summary="Look at the bench", response_description="Loads and recipes.", responses=failures(*EVERYWHERE))
def read_bench(ledger: LedgerDep, actor: ReadingDep) -> BenchAnswer:
    """What is under way now; once a load is over, record an intervention for its books and take the load away."""
    seen = work.look_at_bench(ledger, actor)
    return BenchAnswer(loads=[_load(each) for each in seen.loads], recipes=[_recipe(each) for each in seen.recipes])


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
def put_in(request: Request, response: Response, ledger: LedgerDep, actor: RecordingDep, data: BodyDep) -> LoadAnswer:
    """A book is in one load at a time. Nothing is written into the ledger by it."""
    asked = read_body(LoadBody, read_json(data))
    by = None if asked.recipe is None else (asked.recipe, asked.place)
    load = work.put_in(ledger, actor, asked.books, Step(values=asked.values), by=by)
    response.headers["Location"] = f"{request.scope.get('root_path', '')}/bench/loads/{load.id}"
    return _load(load)


@router.post(
    "/loads/{load}/stop",
    summary="Say that a load has come out",
    response_description="The load, stopped.",
    responses=failures(404, *EVERYWHERE),
)
def stop_load(ledger: LedgerDep, actor: RecordingDep, load: LoadId) -> LoadAnswer:
    """A second time changes nothing. The load stays until it is taken away."""
    return _load(work.stop(ledger, actor, an_id("load on the bench", load)))


@router.delete(
    "/loads/{load}",
    summary="Take a load away",
    status_code=204,
    response_description="It is no longer on the bench.",
    responses=failures(404, *EVERYWHERE),
)
def take_load(ledger: LedgerDep, actor: RecordingDep, load: LoadId) -> None:
    """After an entry has told what was done, or because it never went in."""
    work.call_off(ledger, actor, an_id("load on the bench", load))


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
    request: Request, response: Response, ledger: LedgerDep, actor: RecordingDep, data: BodyDep
) -> RecipeAnswer:
    """A sequence of steps under a name, to be taken up again."""
    asked = read_body(RecipeBody, read_json(data))
    recipe = work.keep_recipe(ledger, actor, asked.name, [Step(values=each) for each in asked.steps])
    response.headers["Location"] = f"{request.scope.get('root_path', '')}/bench/recipes/{recipe.id}"
    return _recipe(recipe)


@router.delete(
    "/recipes/{recipe}",
    summary="Take a recipe away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(*EVERYWHERE),
)
def forget_recipe(ledger: LedgerDep, actor: RecordingDep, recipe: RecipeId) -> None:
    """What was done by it stays in the ledger; one that is gone already stays gone."""
    work.forget_recipe(ledger, actor, recipe)


def _load(load: Load) -> LoadAnswer:
    return LoadAnswer(
        id=load.id,
        books=list(load.books),
        values=dict(load.step.values),
        started=moment_text(load.started),
        ends=None if load.ends is None else moment_text(load.ends),
        stopped=None if load.stopped is None else moment_text(load.stopped),
        recipe=load.recipe,
        place=load.place,
    )


def _recipe(recipe: Recipe) -> RecipeAnswer:
    return RecipeAnswer(
        id=recipe.id,
        name=recipe.name,
        made=moment_text(recipe.made),
        steps=[dict(each.values) for each in recipe.steps],
    )
