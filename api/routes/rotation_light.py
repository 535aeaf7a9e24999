"""rotations: what their spots allow, and what their turns would come to in another light."""

from typing import Annotated

from fastapi import APIRouter, Path

from api.bodies import read_body, read_json
from api.deps import LedgerDep, ReadingBodyDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.rotation_answers import told_rotation
from api.rotation_light_answers import RotationDays, RotationTried, RotationTryBody, told_days
from ledger.proof.envelope import moment_text
from ledger.usecases.rotation import look_at_rotation
from ledger.usecases.rotation_known import known_light
from ledger.usecases.rotation_what_if import rotation_what_if

router = APIRouter(prefix="/rotations", tags=["care"])

_WHAT = "plan of rotation"

RotationId = Annotated[str, Path(description="Id of the plan.", examples=["r5o2t4a6t3i7o2n4p5l6a7n2x3"])]


@router.get(
    "/{rotation}/days",
    summary="Read the days a year each spot of a plan allows each book",
    response_description="Spot after spot.",
    responses=failures(404, 409, *EVERYWHERE),
)
def read_rotation_days(ledger: LedgerDep, actor: ReadingDep, rotation: RotationId) -> RotationDays:
    """By the yearly limit of the book's class, in the light of the spot as its room is now."""
    plan = look_at_rotation(ledger, actor, an_id(_WHAT, rotation))
    return told_days(plan, known_light(ledger, actor, plan.spots, [each.book for each in plan.books]))


@router.post(
    "/{rotation}/what-if",
    summary="Try a plan of rotation in another light",
    response_description="The plan as it is, and in that light.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def try_rotation(ledger: LedgerDep, actor: ReadingDep, rotation: RotationId, data: ReadingBodyDep) -> RotationTried:
    """A spot moved, the light dimmed, ultraviolet filtered. Nothing is kept; the turns stay the same."""
    asked = read_body(RotationTryBody, read_json(data))
    now, then = rotation_what_if(ledger, actor, an_id(_WHAT, rotation), asked.asked())
    made = moment_text(now.row.made)
    return RotationTried(now=told_rotation(now, made), then=told_rotation(then, made))
