"""Small copies of photographs: of clean copies only, and only to somebody who is signed in."""

from enum import IntEnum
from typing import Final

from fastapi import APIRouter, Response

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


@router.get("/pictures/{sha256}")
def picture(sha256: str, ledger: LedgerDep, actor: ActorDep, size: Width = Width.ALONE) -> Response:
    """The clean copy of that digest, no wider than that."""
    data = small_picture(ledger, actor, sha256, int(size))
    return Response(data, media_type="image/jpeg", headers={"Cache-Control": KEPT})
