"""rotations: plans of who hangs when, changed by hand, accepted, and their swaps checked off."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from api.answers import REPLAYED, placed, written
from api.bodies import read_body, read_counted, read_json
from api.deps import AppendDep, LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id
from api.documents import APPENDS, EVERYWHERE, failures, text_header
from api.rotation_answers import (
    RotationAnswer,
    RotationBody,
    RotationList,
    RowsBody,
    SwapAnswer,
    SwapBody,
    told_rotation,
)
from ledger.proof.envelope import moment_text
from ledger.rotations import Rotation
from ledger.usecases import rotation as work
from ledger.usecases.rotation_swap import SwapSaid, do_swap

router = APIRouter(prefix="/rotations", tags=["care"])

_ID = "r5o2t4a6t3i7o2n4p5l6a7n2x3"
_WHAT = "plan of rotation"

RotationId = Annotated[str, Path(description="Id of the plan.", examples=[_ID])]


@router.get("", summary="List plans of rotation", response_description="The plans.", responses=failures(*EVERYWHERE))
def list_rotations(ledger: LedgerDep, actor: ReadingDep) -> RotationList:
    """Proposed ones and the one that counts."""
    return RotationList(rotations=[_told(each) for each in work.look_at_rotations(ledger, actor)])


@router.get(
    "/{rotation}",
    summary="Read a plan of rotation",
    response_description="The plan.",
    responses=failures(404, 409, *EVERYWHERE),
)
def read_rotation(ledger: LedgerDep, actor: ReadingDep, rotation: RotationId) -> RotationAnswer:
    """Who hangs when, each book's share of a fade at its end, and the swaps with their days."""
    return _told(work.look_at_rotation(ledger, actor, an_id(_WHAT, rotation)))


@router.post(
    "",
    summary="Propose a plan of rotation",
    status_code=201,
    response_description="The plan.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/rotations/{_ID}")}},
        **failures(404, 409, 413, 415, 422, *EVERYWHERE),
    },
)
def propose_rotation(
    request: Request, response: Response, ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep
) -> RotationAnswer:
    """The largest share of a fade dose over all books, as small as it can be. It lies beside the ledger.

    Exact by branch and bound where that comes to its end; else the best found, beside the least that any could reach.
    """
    made = work.propose_rotation(ledger, actor, read_body(RotationBody, read_json(data)).said())
    placed(request, response, f"/rotations/{made.id}")
    return _told(made)


@router.put(
    "/{rotation}/rows",
    summary="Change a plan of rotation by hand",
    response_description="The plan as it is now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def change_rotation(ledger: LedgerDep, actor: OwningDep, rotation: RotationId, data: OwningBodyDep) -> RotationAnswer:
    """All rows are sent. One that breaks a wish is refused, and so is one of a swap that is over."""
    asked = read_body(RowsBody, read_json(data))
    return _told(work.change_rotation(ledger, actor, an_id(_WHAT, rotation), asked.said()))


@router.post(
    "/{rotation}/acceptance",
    summary="Accept a plan of rotation",
    response_description="The plan as it is now.",
    responses=failures(404, 409, *EVERYWHERE),
)
def accept_rotation(ledger: LedgerDep, actor: OwningDep, rotation: RotationId) -> RotationAnswer:
    """Its swaps stand in the calendar from now on. Nothing is written to the ledger until a swap is done."""
    return _told(work.accept_rotation(ledger, actor, an_id(_WHAT, rotation)))


@router.post(
    "/{rotation}/swaps",
    summary="Check a swap off",
    response_description="The plan, and what was written.",
    responses={
        200: {
            "headers": {
                "Idempotency-Replayed": text_header(
                    "?1 when the key was used before and nothing was written now.", "?1"
                )
            }
        },
        **failures(404, *APPENDS),
    },
)
def do_a_swap(response: Response, ledger: LedgerDep, append: AppendDep, rotation: RotationId) -> SwapAnswer:
    """Writes the placements as one act: books that come down, then books that are hung, by what hangs at this moment."""
    own, plain = an_id(_WHAT, rotation), append.plain()
    asked = read_counted(SwapBody, plain)
    said = SwapSaid(number=asked.number - 1, on=asked.on, kept_in=asked.kept_in, place=asked.place)
    done = do_swap(ledger, append.actor, own, said, append.asked(f"rotations/{own}/swaps", plain))
    if done.recorded is not None and done.recorded.replayed:
        response.headers[REPLAYED] = "?1"
    told = None if done.recorded is None else written(done.recorded)
    return SwapAnswer(
        rotation=_told(done.plan),
        act=told.act if told else None,
        entries=told.entries if told else [],
        warnings=told.warnings if told else [],
    )


@router.delete(
    "/{rotation}",
    summary="Take a plan of rotation away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_rotation(ledger: LedgerDep, actor: OwningDep, rotation: RotationId) -> None:
    """The placements that its swaps wrote stay in the ledger."""
    work.take_rotation(ledger, actor, an_id(_WHAT, rotation))


def _told(plan: Rotation) -> RotationAnswer:
    return told_rotation(plan, moment_text(plan.row.made))
