"""Small copies of photographs: of clean copies only, and only to somebody who is signed in."""

from enum import IntEnum
from typing import Annotated, Final

from fastapi import APIRouter, Query, Response

from ledger.errors import NotFoundError
from ledger.events.photograph import Crop
from ledger.usecases.browse import small_picture
from web.deps import ActorDep, LedgerDep

router = APIRouter()

KEPT: Final = "private, max-age=31536000, immutable"
"""A picture never changes under its name; no cache that others read may have it."""


class Width(IntEnum):
    """How wide a copy may be asked for. Units: px."""

    IN_A_LIST = 160
    ON_A_WALL = 480
    ALONE = 1200


Part = Annotated[
    str, Query(pattern=r"^(|\d{1,2},\d{1,2},\d{1,3},\d{1,3})$", description="Left, top, width, height in %.")
]


@router.get("/pictures/{sha256}")
def picture(sha256: str, ledger: LedgerDep, actor: ActorDep, size: Width = Width.ALONE, part: Part = "") -> Response:
    """The clean copy of that digest, or the part of it that shows one of several books, no wider than that."""
    data = small_picture(ledger, actor, sha256, int(size), _part(sha256, part))
    return Response(data, media_type="image/jpeg", headers={"Cache-Control": KEPT})


def _part(sha256: str, text: str) -> Crop | None:
    if not text:
        return None
    left, top, width, height = (int(each) for each in text.split(","))
    if not width or not height:
        raise NotFoundError(what="photograph", name=sha256)
    return Crop(x_percent=left, y_percent=top, width_percent=width, height_percent=height)
