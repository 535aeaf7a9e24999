"""alignment: how one photograph of a face lies over another; it is worked out when asked for, and nothing is stored."""

from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Query
from pydantic import Field

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.queries import AlignmentAsked
from api.schemas import Answer
from ledger.alignment import NotAligned
from ledger.usecases.align import line_up

router = APIRouter(tags=["photographs"])

EXAMPLE: Final[dict[str, Any]] = {
    "aligned": True,
    "reason": None,
    "method": "places, then brightness",
    "matrix": [[0.998, -0.035, 2.4], [0.035, 0.998, -1.1]],
    "agreeing": 212,
    "rms_px": 0.9,
    "wide_px": 1200,
    "likeness": 0.98,
}
"""An answer."""


class AlignmentAnswer(Answer):
    """How the later of two photographs lies over the earlier one."""

    aligned: bool = Field(description="Whether that was found.")
    reason: str | None = Field(default=None, description="Why it was not found; null where it was.")
    method: Literal["places, then brightness"] | None = Field(
        default=None,
        description="How it was found: by places that agree, refined by brightness; null where it was not.",
    )
    matrix: list[list[float]] | None = Field(
        default=None,
        min_length=2,
        max_length=2,
        description="Row by row the two rows that stand before a column of x, y and 1 of the later photograph and give x "
        "and y of the earlier one, each from its upper left. Units: per cent of the width of each, on both axes.",
    )
    agreeing: int = Field(ge=0, description="Places that were found on both photographs and agree with each other.")
    rms_px: float | None = Field(
        default=None, ge=0, description="How far these places still lie apart, as a root mean square. Units: px."
    )
    wide_px: int | None = Field(
        default=None, ge=1, description="How wide the earlier photograph was when that was measured. Units: px."
    )
    likeness: float | None = Field(
        default=None, le=1, description="Correlation of brightness where the sheet is; 1 is the same up to light."
    )


@router.get(
    "/photographs/alignment",
    summary="Line up two photographs of one face",
    response_description="How the later one lies over the earlier one, or why that was not found.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def line_up_photographs(
    ledger: LedgerDep, actor: ReadingDep, asked: Annotated[AlignmentAsked, Query()]
) -> AlignmentAnswer:
    """From places that are found on both and agree, and then by all of their brightness.

    A pair that cannot be lined up is no failure: `aligned` is false, and `reason` says why. Neither photograph is
    changed. The server needs the extra named align for it, and answers 409 without.
    """
    lined = line_up(ledger, actor, asked.before, asked.after)
    found, over = lined.found, lined.over
    if isinstance(found, NotAligned):
        return AlignmentAnswer(aligned=False, reason=found.reason.value, agreeing=found.agreeing)
    assert over is not None  # the one is there with the other
    return AlignmentAnswer(
        aligned=True,
        method="places, then brightness",
        matrix=[list(row) for row in over.rows],
        agreeing=found.agreeing,
        rms_px=found.rms_px,
        wide_px=found.wide_px,
        likeness=found.likeness,
    )
