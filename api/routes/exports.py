"""exports: the whole collection as one archive, made while one does something else, and fetched when it is ready."""

from typing import Annotated, Any, Final

from fastapi import APIRouter, Path, Request, Response
from fastapi.responses import StreamingResponse
from pydantic import BaseModel, ConfigDict, Field

from api.answers import placed
from api.bodies import read_body, read_json
from api.deps import LedgerDep, TakingOutBodyDep, TakingOutDep, an_id
from api.documents import EVERYWHERE, failures, text_header
from api.made import MadeAnswer, how_far
from api.schemas import Answer
from ledger.exports import Export
from ledger.usecases import exports as work
from ledger.usecases.sign_in import PASSWORD_LEAST, PASSWORD_MOST

router = APIRouter(prefix="/exports", tags=["exports"])

_ID: Final = "m4x6n5k3j8h2g4f6d5s3a7b7q2"
ExportId = Annotated[str, Path(description="Id of the archive.", examples=[_ID])]


class ExportBody(BaseModel):
    """The archive that is wanted."""

    model_config = ConfigDict(extra="forbid")

    passphrase: str | None = Field(
        None,
        min_length=PASSWORD_LEAST,
        max_length=PASSWORD_MOST,
        description="Left out, the signing key stays here. Given, it goes along, locked under this.",
    )


class ExportAnswer(MadeAnswer):
    """One archive: how far it is, and what it came to."""

    keys: bool = Field(description="The signing key is in it, under a passphrase.")
    done: int = Field(ge=0, description="Rows, entries and photographs that are written so far.")
    expected: int = Field(ge=0, description="How many there are in all; 0 until they are counted.")
    entries: int | None = Field(description="Entries in it; null until it is ready.")
    photographs: int | None = Field(
        description="Photographs in it, originals and clean copies; null until it is ready."
    )
    missing: list[str] = Field(description="SHA-256 of photographs that are not in it: gone here, or changed.")


class ExportList(Answer):
    """Archives that lie here."""

    exports: list[ExportAnswer] = Field(description="The archives, the newest first.")


class ArchiveResponse(StreamingResponse):
    """A zip."""

    media_type = "application/zip"


@router.get(
    "",
    summary="List archives",
    response_description="Those that are under way or lie here.",
    responses=failures(*EVERYWHERE),
)
def list_exports(ledger: LedgerDep, actor: TakingOutDep) -> ExportList:
    """An archive lies here for a day, and no longer than the server runs; of more than two the oldest goes."""
    return ExportList(exports=[_answer(each) for each in work.EXPORTS.all(ledger, actor)])


@router.post(
    "",
    summary="Take the whole collection out",
    status_code=202,
    response_description="It is being written; look again until it is ready.",
    responses={
        202: {"headers": {"Location": text_header("Where to look.", f"/api/v1/exports/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def begin_export(
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: TakingOutDep,
    data: TakingOutBodyDep,
) -> ExportAnswer:
    """Everything in one file, in an open form: entries, sealed values, photographs, checkpoints, and all that lies beside.

    `slipsheet import FILE` puts it into an empty place. One is written at a time.
    """
    asked = read_body(ExportBody, read_json(data))
    export = work.begin_export(ledger, actor, passphrase=asked.passphrase)
    placed(request, response, f"/exports/{export.id}")
    return _answer(export)


@router.get(
    "/{export}",
    summary="Look how far an archive is",
    response_description="The archive.",
    responses=failures(404, *EVERYWHERE),
)
def read_export(ledger: LedgerDep, actor: TakingOutDep, export: ExportId) -> ExportAnswer:
    """Under way with its count, ready with its size, or failed with the reason."""
    return _answer(work.EXPORTS.named(ledger, actor, an_id("archive", export)))


@router.get(
    "/{export}/file",
    summary="Fetch an archive",
    response_class=ArchiveResponse,
    response_description="The archive, a zip.",
    responses={
        200: {
            "content": {
                "application/zip": {"schema": {"type": "string", "format": "binary"}, "example": "PK"},
            }
        },
        **failures(404, *EVERYWHERE),
    },
)
def fetch_export(ledger: LedgerDep, actor: TakingOutDep, export: ExportId) -> ArchiveResponse:
    """Sent a piece at a time. It holds every sealed value in the clear: keep it as you keep the ledger."""
    name = an_id("archive", export)
    headers = {"Content-Disposition": 'attachment; filename="slipsheet-archive.zip"', "Cache-Control": "no-store"}
    return ArchiveResponse(work.export_pieces(ledger, actor, name), headers=headers)


@router.delete(
    "/{export}",
    summary="Take an archive away",
    status_code=204,
    response_description="It lies here no longer.",
    responses=failures(404, *EVERYWHERE),
)
def take_export_away(ledger: LedgerDep, actor: TakingOutDep, export: ExportId) -> None:
    """One that is under way is called off."""
    work.EXPORTS.take_away(ledger, actor, an_id("archive", export))


def _answer(each: Export) -> ExportAnswer:
    outcome = each.outcome
    return ExportAnswer(
        **how_far(each),
        keys=each.keys,
        entries=outcome.entries if outcome else None,
        photographs=outcome.pictures if outcome else None,
        missing=list(outcome.missing) if outcome else [],
    )


_UNDER_WAY: Final[dict[str, Any]] = {
    "id": _ID,
    "state": "under way",
    "keys": False,
    "begun": "2026-03-01T09:30:00.000000Z",
    "ended": None,
    "done": 0,
    "expected": 0,
    "entries": None,
    "photographs": None,
    "missing": [],
    "bytes": None,
    "failure": None,
}
_READY: Final[dict[str, Any]] = {
    **_UNDER_WAY,
    "state": "ready",
    "ended": "2026-03-01T09:30:04.000000Z",
    "done": 1480,
    "expected": 1480,
    "entries": 412,
    "photographs": 96,
    "bytes": 61_203_968,
}
EXPORT_REQUESTS: dict[str, Any] = {
    "begin_export": {
        "plain": {"summary": "Without the signing key", "value": {}},
        "key": {
            "summary": "With the signing key, locked",
            "value": {"passphrase": "a sentence that only you would say"},
        },
    }
}
EXPORT_ANSWERS: dict[str, Any] = {
    "list_exports": {"exports": [_READY]},
    "begin_export": _UNDER_WAY,
    "read_export": _READY,
}
