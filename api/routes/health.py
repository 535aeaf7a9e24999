"""health: the one thing this server says to anybody."""

from fastapi import APIRouter

from api.documents import failures
from api.schemas import Health

router = APIRouter(tags=["health"])


@router.get(
    "/health", summary="Say that the server answers", response_description="It does.", responses=failures(421, 500)
)
def health() -> Health:
    """Needs no token, looks at nothing, and says nothing else."""
    return Health(status="ok")
