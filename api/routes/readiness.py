"""readiness: whether the ledger is kept safe, for a watchman that asks now and then."""

from fastapi import APIRouter

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.schemas import ReadinessAnswer, ReadinessPoint
from ledger.usecases.readiness import readiness

router = APIRouter(tags=["health"])


@router.get(
    "/readiness",
    summary="Say whether the ledger is kept safe",
    response_description="Each question, and whether all is well.",
    responses=failures(*EVERYWHERE),
)
def read_readiness(ledger: LedgerDep, actor: ReadingDep) -> ReadinessAnswer:
    """Whether it can be written to, is signed, has room, is backed up, was tried, and goes as far as its anchor.

    The answer is 200 whatever it says: ask for `ready`.
    """
    found = readiness(ledger, actor)
    points = [ReadinessPoint(name=each.name, well=each.well, sentence=each.sentence) for each in found.answers]
    return ReadinessAnswer(ready=found.ready, points=points)
