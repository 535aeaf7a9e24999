"""photographs: a file comes in as it is, and its clean copy goes out; an entry says what it shows."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Path, Query, Response
from pydantic import Field

from api.deps import LedgerDep, ReadingDep, RecordingDep, recording
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from api.raw_bodies import file_from, is_picture
from api.schemas import Answer
from ledger.usecases.arrive import keep_picture
from ledger.usecases.browse import clean_picture, small_picture

router = APIRouter(prefix="/photographs", tags=["photographs"])

_DIGEST = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
JPEG: dict[str, Any] = {"image/jpeg": {"schema": {"type": "string", "format": "binary"}}}


class KeptAnswer(Answer):
    """A photograph that is kept: with these digests and sizes an event of the kind `photograph` names it."""

    original: str = Field(description="SHA-256 of the file as it came.", examples=[_DIGEST])
    clean: str = Field(description="SHA-256 of the clean copy: upright, encoded anew, without metadata.")
    width_px: int = Field(description="Width of the clean copy. Units: px.", examples=[3000])
    height_px: int = Field(description="Height of the clean copy. Units: px.", examples=[4500])
    was_here: bool = Field(description="The same file was kept before; it is one file still.")


class SizeAsked(Asked):
    """How large a copy is to be."""

    size: Literal["160", "480", "1200"] | None = Field(
        None, description="No wider than this; left out, as large as it is. Units: px.", examples=["480"]
    )


FileDep = Annotated[bytes, Depends(file_from(recording, is_picture))]
Digest = Annotated[str, Path(description="SHA-256 of the clean copy.", examples=[_DIGEST])]


@router.post(
    "",
    summary="Send a photograph",
    status_code=201,
    response_description="Kept, byte for byte and safe on the disk, with its clean copy.",
    responses={
        200: {"description": "The same file was here already; it is one file still.", "model": KeptAnswer},
        **failures(413, 415, 422, *EVERYWHERE),
    },
)
def send_photograph(response: Response, ledger: LedgerDep, actor: RecordingDep, data: FileDep) -> KeptAnswer:
    """One JPEG, PNG, WebP or TIFF file as the body, HEIC too where the program has that extra; up to 64 MiB, 40 million pixels.

    Nothing is written into the ledger by it: record a `photograph` event with these digests and sizes.
    """
    kept = keep_picture(ledger, actor, data)
    if kept.was_here:
        response.status_code = 200
    return KeptAnswer(
        original=kept.original,
        clean=kept.clean,
        width_px=kept.width,
        height_px=kept.height,
        was_here=kept.was_here,
    )


@router.get(
    "/{sha256}",
    summary="Fetch a photograph",
    response_class=Response,
    response_description="The clean copy.",
    responses={200: {"content": JPEG}, **failures(404, *EVERYWHERE)},
)
def fetch_photograph(
    ledger: LedgerDep,
    actor: ReadingDep,
    sha256: Digest,
    asked: Annotated[SizeAsked, Query()],
) -> Response:
    """Only clean copies that an entry names; an original goes out only by the page of its entry, to its owner."""
    size = None if asked.size is None else int(asked.size)
    found = clean_picture(ledger, actor, sha256) if size is None else small_picture(ledger, actor, sha256, size)
    return Response(found, media_type="image/jpeg")
