"""recipes: one recipe with what it did to which paper so far, and how it is adjusted."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from api.bodies import read_body, read_json
from api.deps import LedgerDep, ReadingDep, RecordingBodyDep, RecordingDep, an_id
from api.documents import EVERYWHERE, failures
from api.recipe_answers import RecipeWhole, recipe_whole
from api.routes.bench import RecipeAnswer, RecipeBody, RecipeId, recipe_answer
from ledger.bench import Step
from ledger.proof.canonical import GREATEST
from ledger.usecases import recipes as work

router = APIRouter(prefix="/bench/recipes", tags=["bench"])

Number = Annotated[int, Field(ge=1, le=GREATEST)]


class RecipeChange(RecipeBody):
    """A recipe as it is to be from now on."""

    state: Number = Field(description="Number of the state that was read; refused where it was adjusted since.")


@router.get(
    "/{recipe}",
    summary="Read a recipe and what it did so far",
    response_description="The recipe, whole.",
    responses=failures(404, *EVERYWHERE),
)
def read_recipe(ledger: LedgerDep, actor: ReadingDep, recipe: RecipeId) -> RecipeWhole:
    """Each time a book was worked by it, and what the last look after a week of rest found, with no other work since."""
    return recipe_whole(work.look_at_recipe(ledger, actor, an_id("recipe", recipe)))


@router.put(
    "/{recipe}",
    summary="Adjust a recipe",
    response_description="The recipe in its new state.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def adjust_recipe(ledger: LedgerDep, actor: RecordingDep, recipe: RecipeId, data: RecordingBodyDep) -> RecipeAnswer:
    """Name and steps as they are to be, all of them; its history stays. Where nothing changes there is no new state."""
    own = an_id("recipe", recipe)
    asked = read_body(RecipeChange, read_json(data))
    steps = [Step(values=each) for each in asked.steps]
    return recipe_answer(work.adjust_recipe(ledger, actor, own, asked.name, steps, state=asked.state))
