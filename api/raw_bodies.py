"""Bodies that are no JSON: one file as it is, in a temporary file until it is whole, with a limit."""

from collections.abc import Awaitable, Callable
from tempfile import SpooledTemporaryFile
from typing import Annotated, Any

from fastapi import Depends, Request

from api.refusals import FileTypeError, TooLargeError
from ledger.actor import Actor
from ledger.arriving import PICTURE_MOST

PICTURE_TYPES = (
    "image/jpeg",
    "image/png",
    "image/webp",
    "image/tiff",
    "image/heic",
    "image/heif",
    "application/octet-stream",
)
"""What a photograph may be said to be; what it is, its bytes tell."""
RECORD_TYPES = ("text/html", "application/zip", "application/json", "application/octet-stream")
"""What a record may be said to be; what it is, its bytes tell."""
TABLE_TYPES = (
    "text/csv",
    "text/tab-separated-values",
    "text/plain",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/octet-stream",
)
"""What a spreadsheet or a logger's file may be said to be; what it is, its bytes tell."""
IN_MEMORY = 1024 * 1024
"""Bytes that are held in memory before the rest goes to the disk."""


def is_picture(request: Request) -> None:
    """The body is said to be a picture.

    Raises: FileTypeError.
    """
    _need(request, PICTURE_TYPES)


def is_record(request: Request) -> None:
    """The body is said to be what a record may be.

    Raises: FileTypeError.
    """
    _need(request, RECORD_TYPES)


def is_table(request: Request) -> None:
    """The body is said to be what a spreadsheet or a logger's file may be.

    Raises: FileTypeError.
    """
    _need(request, TABLE_TYPES)


def _need(request: Request, takes: tuple[str, ...]) -> None:
    kind = request.headers.get("content-type", "").lower().partition(";")[0].strip()
    if kind not in takes:
        raise FileTypeError(takes=takes)


def file_from(
    let_in: Callable[[Request, Actor], Actor], is_kind: Callable[[Request], None]
) -> Callable[..., Awaitable[bytes]]:
    """The file of who is let in; of anybody else, and of another kind, nothing is read."""

    async def file_of(
        request: Request, _actor: Annotated[Actor, Depends(let_in)], _kind: Annotated[None, Depends(is_kind)]
    ) -> bytes:
        return await read_file(request)

    return file_of


async def read_file(request: Request) -> bytes:
    """The file, refused as soon as it is known to be too long.

    Raises: TooLargeError.
    """
    stated = request.headers.get("content-length", "")
    if stated.isdecimal() and int(stated[:12]) > PICTURE_MOST:
        raise TooLargeError(most=PICTURE_MOST, sentence=_sentence())
    with SpooledTemporaryFile(max_size=IN_MEMORY) as file:
        async for chunk in request.stream():
            file.write(chunk)
            if file.tell() > PICTURE_MOST:
                raise TooLargeError(most=PICTURE_MOST, sentence=_sentence())
        file.seek(0)
        return file.read()


def content(kinds: tuple[str, ...] = PICTURE_TYPES) -> dict[str, Any]:
    """How OpenAPI tells of such a body. Source: OpenAPI 3.1 section 4.8.14: of raw bytes the schema says nothing."""
    return {kind: {"schema": {"type": "string", "format": "binary"}} for kind in kinds}


def _sentence() -> str:
    return f"The file is longer than {PICTURE_MOST} bytes. Give a smaller one."
