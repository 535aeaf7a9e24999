"""The start: whoever comes in stands before the wall."""

from fastapi import APIRouter
from fastapi.responses import RedirectResponse

from web.frame import Place

router = APIRouter()


@router.get("/")
def home() -> RedirectResponse:
    """On to the wall."""
    return RedirectResponse(Place.WALL.path, status_code=303)
