"""health: the one thing this server says to anybody."""

from fastapi import APIRouter, Depends

from api.documents import failures
from api.queries import refuse_unasked
from api.schemas import Health

router = APIRouter(tags=["health"])


@router.get(
    "/health",
    summary="Say that the server answers",
    response_description="It does.",
    responses=failures(400, 421, 500),
    dependencies=[Depends(refuse_unasked)],
)
def health() -> Health:
    """Needs no token, looks at nothing, and says nothing else."""
    return Health(status="ok")
