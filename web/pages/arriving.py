"""Photographs that come in pieces while a form is filled in; what is cut goes on where it was cut."""

import re
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Header, Query, Request, Response
from fastapi.responses import JSONResponse
from starlette.requests import ClientDisconnect

from ledger.arriving import PIECE_MOST, Partial
from ledger.errors import ConflictError, LedgerError
from ledger.proof.report import MalformedError
from ledger.usecases import arrive
from web.deps import ActorDep, LedgerDep, SignedInDep
from web.refusals import TooLargeError
from web.wording import t

router = APIRouter(prefix="/photographs/arriving")

DIGEST: Final = re.compile(r"[0-9a-f]{64}")
Size = Annotated[int, Query(ge=0, le=2**53)]
Named = Annotated[str, Query(min_length=1, max_length=600)]
Sha256 = Annotated[str, Query(pattern=r"^([0-9a-f]{64})?$")]
Offset = Annotated[int, Header(alias="Upload-Offset", ge=0, le=2**53)]


async def piece_of(request: Request, _who: SignedInDep) -> bytes:
    """The bytes of a piece; of one that was cut, those that came.

    Keeps: what TCP delivered is the beginning of what was sent, so it can stand.
    Raises: TooLargeError.
    """
    data = bytearray()
    try:
        async for chunk in request.stream():
            data += chunk
            if len(data) > PIECE_MOST:
                raise TooLargeError(most=PIECE_MOST)
    except ClientDisconnect:
        pass
    return bytes(data)


PieceDep = Annotated[bytes, Depends(piece_of)]


@router.post("")
def begin(  # noqa: PLR0913 - what a request brings along
    ledger: LedgerDep, actor: ActorDep, who: SignedInDep, named: Named, size: Size, sha256: Sha256 = ""
) -> Response:
    """A file begins, or goes on; one that is here whole already need not come."""
    try:
        if sha256 and arrive.is_here(ledger, actor, sha256):
            return JSONResponse({"here": sha256, "told": t("new_entry.arrive.one_file")})
        return _answer(arrive.begin_arrival(ledger, actor, who.session.hashed, named, size), status=201)
    except (MalformedError, ConflictError) as error:
        return _refused(error)


@router.get("/{name}")
def how_far(ledger: LedgerDep, actor: ActorDep, who: SignedInDep, name: str) -> Response:
    """How much of it is here."""
    return _answer(arrive.how_far(ledger, actor, who.session.hashed, name))


@router.patch("/{name}")
def piece(  # noqa: PLR0913 - what a request brings along
    ledger: LedgerDep, actor: ActorDep, who: SignedInDep, name: str, offset: Offset, data: PieceDep
) -> Response:
    """One piece more, from where the last one ended."""
    try:
        return _answer(arrive.add_piece(ledger, actor, who.session.hashed, name, offset=offset, data=data))
    except ConflictError as error:
        return _refused(error)


@router.post("/{name}/whole")
def whole(ledger: LedgerDep, actor: ActorDep, who: SignedInDep, name: str, sha256: Sha256 = "") -> Response:
    """All of it has come: it is looked at and kept, or refused and deleted."""
    try:
        kept = arrive.keep_whole(ledger, actor, who.session.hashed, name, sha256)
    except (MalformedError, ConflictError) as error:
        return _refused(error)
    told = t("new_entry.arrive.one_file") if kept.was_here else ""
    return JSONResponse({"here": kept.original, "told": told})


def _answer(partial: Partial, *, status: int = 200) -> Response:
    said = {"id": partial.id, "held": partial.held, "size": partial.size}
    return JSONResponse(said, status_code=status, headers={"Upload-Offset": str(partial.held)})


def _refused(error: LedgerError) -> Response:
    """In words, for the page that sent it."""
    if isinstance(error, MalformedError):
        problem = error.problem[:1].upper() + error.problem[1:]
        return JSONResponse({"told": f"{problem}. {error.mend}"}, status_code=422)
    return JSONResponse({"told": str(error)}, status_code=409)
