"""records: a book's record for its next owner is chosen, made, taken and given by a link; one of an owner before comes in."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Path, Query, Request, Response
from fastapi.responses import StreamingResponse
from pydantic import Field

from api.answers import answered, placed
from api.bodies import read_body, read_json
from api.deps import (
    AppendDep,
    BookId,
    KeyDep,
    LedgerDep,
    ManagingBodyDep,
    ManagingDep,
    ReadingDep,
    RecordingDep,
    an_id,
    recording,
)
from api.documents import EVERYWHERE, appended, failures, text_header
from api.queries import Asked
from api.raw_bodies import file_from, is_record
from api.record_answers import (
    CheckAnswer,
    LinkAnswer,
    LinkBody,
    RecordAnswer,
    RecordBody,
    RecordsAnswer,
    checked,
    field_told,
    record_told,
)
from api.schemas import Written
from ledger.errors import InvalidError, Problem
from ledger.proof.envelope import moment_text
from ledger.proof.report import MalformedError
from ledger.proof.signature import VerifierKey, parse_vkey
from ledger.usecases.choose import Wish, choices
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, end_link, given_parts, made_record, make_link, records_of
from ledger.usecases.receive import look_at, receive
from ledger.usecases.record import Request as LedgerRequest

router = APIRouter(tags=["records"])

_DIGEST = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
_KINDS: dict[Form, str] = {
    Form.PAGE: "text/html",
    Form.BAG: "application/zip",
    Form.FILE: "application/json",
    Form.SHEET: "application/pdf",
}


class FormAsked(Asked):
    """In which form the record is taken."""

    form: Literal["page", "bag", "file", "sheet"] = Field(
        "page",
        description="One page for a browser, a bag of files as a zip, the record alone, a sheet to print as PDF.",
        examples=["bag"],
    )


class KeysAsked(Asked):
    """The keys that came by another way."""

    key: list[str] = Field([], max_length=20, description="Verifier keys of owners before; repeat it for several.")


FileDep = Annotated[bytes, Depends(file_from(recording, is_record))]
Digest = Annotated[str, Path(description="SHA-256 of the record.", examples=[_DIGEST])]
KeysDep = Annotated[KeysAsked, Query()]
RAW: dict[str, Any] = {
    "text/html": {"schema": {"type": "string"}, "example": "<!DOCTYPE html>"},
    "application/zip": {"schema": {"type": "string", "format": "binary"}, "example": "PK"},
    "application/pdf": {"schema": {"type": "string", "format": "binary"}, "example": "%PDF"},
    "application/json": {"schema": {"type": "object"}, "example": {"format": "slipsheet-record/1"}},
}


@router.get(
    "/books/{book}/records",
    summary="List a book's records",
    response_description="Its records, and what the next one can open.",
    responses=failures(404, *EVERYWHERE),
)
def list_records(ledger: LedgerDep, actor: RecordingDep, book: BookId) -> RecordsAnswer:
    """Records made here, and those that owners before made and that were received."""
    found = choices(ledger, actor, an_id("book", book))
    return RecordsAnswer(
        records=[record_told(each) for each in records_of(ledger, actor, book)],
        fields=[field_told(each) for each in found],
    )


@router.post(
    "/books/{book}/records",
    summary="Make a record of a book",
    status_code=201,
    response_description="The record, signed; an entry tells of it.",
    responses={
        201: {"headers": {"Location": text_header("Where it is taken.", f"/api/v1/records/{_DIGEST}")}},
        **failures(404, 409, 413, 415, 422, *EVERYWHERE),
    },
)
def make_record(
    request: Request, response: Response, ledger: LedgerDep, append: AppendDep, book: BookId
) -> RecordAnswer:
    """It takes the permissions to record and to sign. Once it is in other hands it cannot be taken back."""
    plain = append.plain()
    asked = read_body(RecordBody, plain)
    wish = Wish(
        opened=None if asked.opened is None else frozenset((each.entry, each.name) for each in asked.opened),
        pictures=None if asked.pictures is None else frozenset(asked.pictures),
        recipient=asked.recipient,
    )
    own = an_id("book", book)
    kept = issue(ledger, append.actor, own, wish, append.asked(f"books/{own}/records", plain))
    placed(request, response, f"/records/{kept.sha256}")
    return record_told(kept)


@router.get(
    "/records/{sha256}",
    summary="Take a record",
    response_class=Response,
    response_description="The record in the form that was asked for.",
    responses={200: {"content": RAW}, **failures(404, 409, 422, *EVERYWHERE)},
)
def take_record(ledger: LedgerDep, actor: ReadingDep, sha256: Digest, asked: Annotated[FormAsked, Query()]) -> Response:
    """The same record gives the same bytes, in each form."""
    form = Form(asked.form)
    parts = given_parts(ledger, made_record(ledger, actor, sha256), form)
    headers = {"Content-Length": str(sum(map(len, parts)))}
    return StreamingResponse(iter(parts), media_type=_KINDS[form], headers=headers)


@router.post(
    "/records/{sha256}/links",
    summary="Make a link to a record",
    status_code=201,
    response_description="The link; its address is told this once.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def link_record(ledger: LedgerDep, actor: ManagingDep, sha256: Digest, data: ManagingBodyDep) -> LinkAnswer:
    """Whoever has the address reads the record without signing in, until it expires or is ended."""
    link, secret = make_link(ledger, actor, sha256, read_body(LinkBody, read_json(data)).days)
    return LinkAnswer(id=link.id, path=f"/handed/{secret}", expires=moment_text(link.expires))


@router.delete(
    "/records/links/{link}",
    summary="End a link",
    status_code=204,
    response_description="It opens nothing from now on.",
    responses=failures(409, *EVERYWHERE),
)
def unlink_record(
    ledger: LedgerDep,
    actor: ManagingDep,
    link: Annotated[str, Path(description="Id of the link.", examples=["k3j8h2g4f6d5s3a7b7q2m4x6n5"])],
) -> None:
    """A second time changes nothing."""
    end_link(ledger, actor, link)


@router.post(
    "/records/check",
    summary="Check a record of somebody else",
    response_description="What checking came to.",
    responses=failures(413, 415, 422, *EVERYWHERE),
)
def check_record(actor: RecordingDep, data: FileDep, asked: KeysDep) -> CheckAnswer:
    """The page, the bag or the record alone as the body; nothing of it is kept."""
    return checked(look_at(actor, data, _keys(asked.key)))


@router.post(
    "/books/{book}/records/received",
    summary="Receive the record that came with a book",
    status_code=201,
    response_description="The entry that tells of it.",
    responses=appended(404),
)
def receive_record(  # noqa: PLR0913 - what a request brings along
    request: Request,
    response: Response,
    ledger: LedgerDep,
    actor: RecordingDep,
    key: KeyDep,
    book: BookId,
    data: FileDep,
    asked: KeysDep,
) -> Written:
    """The page or the bag as the body. It is kept as its maker's, with the verdict of the check, and never merged."""
    seen = look_at(actor, data, _keys(asked.key))
    own = an_id("book", book)
    recorded = receive(
        ledger, actor, seen, book=own, request=LedgerRequest(key=key, body=f"{own}/{seen.sha256}".encode())
    )
    return answered(request, response, recorded, f"/books/{own}")


def _keys(typed: list[str]) -> list[VerifierKey]:
    try:
        return [parse_vkey(each) for each in typed]
    except MalformedError as error:
        raise InvalidError(problems=(Problem(field="key", sentence=str(error)),)) from error
