"""stamps: what somebody else said of a checkpoint: asked for, taken in, listed."""

from base64 import b64decode, b64encode
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from api.bodies import read_body, read_json
from api.deps import LedgerDep, ReadingDep, SigningBodyDep, SigningDep
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from api.schemas import Answer
from ledger.errors import InvalidError, Problem
from ledger.proof.envelope import moment_text
from ledger.usecases import stamps as work

router = APIRouter(tags=["proofs"], prefix="/checkpoint/stamps")

_BASE64: dict[str, Any] = {"format": "byte"}
_VKEY = "a-neighbour+09ebf21f+BD1AF8PoQ4lakrcKp00bfrycmCzPLsSWjMDNVfEq9GYM"


class StampBody(BaseModel):
    """What came back from an authority or from a second person."""

    model_config = ConfigDict(extra="forbid")

    stamp: str = Field(
        min_length=4,
        max_length=1_000_000,
        description="The file that came back, in base64: a time stamp or the authority's whole answer (RFC 3161), or the "
        "lines of cosignatures, alone or under their checkpoint (C2SP tlog-cosignature).",
        json_schema_extra=_BASE64,
    )
    request: str | None = Field(
        None,
        max_length=100_000,
        description="The request that the time stamp answers, in base64; the number in both must be the same.",
        json_schema_extra=_BASE64,
    )
    key: str | None = Field(None, max_length=300, description="Verifier key of the cosigner; needed once.")


class WantedAsked(Asked):
    """For whom a request is."""

    since: int | None = Field(
        None,
        ge=0,
        le=2**53,
        description="For a person who cosigns: how many entries they saw last, 0 for the first time; left out, the "
        "request is for a time stamp authority.",
    )


class WantedAnswer(Answer):
    """What to send out for the newest checkpoint."""

    size: int = Field(ge=0, description="How many entries that checkpoint covers.")
    media: Literal["application/timestamp-query", "text/plain"] = Field(description="What the file is.")
    request: str = Field(
        description="The file in base64. For an authority it has a digest and a number, for a cosigner the checkpoint "
        "and hashes; of entries there is nothing in it.",
        json_schema_extra=_BASE64,
    )


class StampAnswer(Answer):
    """What one person or authority said of one checkpoint."""

    kind: Literal["time stamp", "cosignature"] = Field(description="Which of the two it is.")
    size: int = Field(ge=0, description="How many entries the checkpoint covers that it is of.")
    by: str = Field(description="Who said so, by the name in their certificate or key.")
    time: str | None = Field(
        description="When they saw it, as they say; null where the stamp does not hold. Units: UTC."
    )
    holds: bool = Field(description="Its signature is good and it is of the checkpoint that it is kept with.")
    sentence: str = Field(description="All that it proves, or why it proves nothing.")
    taken: str = Field(description="When it was taken in. Units: UTC.")
    stamp: str = Field(description="The token or the line itself, in base64.", json_schema_extra=_BASE64)


class StampList(Answer):
    """Stamps, by the size of their checkpoints."""

    stamps: list[StampAnswer] = Field(description="The stamps.")


@router.get(
    "",
    summary="List what others said of checkpoints",
    response_description="Every stamp that was taken in.",
    responses=failures(*EVERYWHERE),
)
def list_stamps(ledger: LedgerDep, actor: ReadingDep) -> StampList:
    """Each is looked at again.

    Whether an authority is one that you trust, its certificate has to tell you: `slipsheet verify --authority FILE`.
    """
    return StampList(stamps=[_answer(each) for each in work.kept_stamps(ledger, actor)])


@router.get(
    "/wanted",
    summary="Make a request for a stamp",
    response_description="The request, for the newest checkpoint.",
    responses=failures(409, 422, *EVERYWHERE),
)
def want_stamp(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[WantedAsked, Query()]) -> WantedAnswer:
    """Keep the file until the answer comes: it has the number that the answer must have too."""
    if asked.since is None:
        wanted = work.stamp_wanted(ledger, actor)
        return WantedAnswer(size=wanted.size, media="application/timestamp-query", request=_spelt(wanted.data))
    wanted = work.cosignature_wanted(ledger, actor, asked.since)
    return WantedAnswer(size=wanted.size, media="text/plain", request=_spelt(wanted.data))


@router.post(
    "",
    summary="Take in a stamp",
    status_code=201,
    response_description="What was taken in; the same stamp again changes nothing.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def take_stamp(ledger: LedgerDep, actor: SigningDep, data: SigningBodyDep) -> StampList:
    """What is of no checkpoint of this ledger, or does not hold, is refused and not kept."""
    asked = read_body(StampBody, read_json(data))
    request = None if asked.request is None else _bytes("request", asked.request)
    taken = work.take(ledger, actor, _bytes("stamp", asked.stamp), request=request, key=asked.key or "")
    return StampList(stamps=[_answer(each) for each in taken.stamps])


def _answer(told: work.Told) -> StampAnswer:
    return StampAnswer(
        kind=told.stamp.kind.value,
        size=told.stamp.size,
        by=told.by,
        time=None if told.time is None else moment_text(told.time),
        holds=not told.fault,
        sentence=told.sentence,
        taken=moment_text(told.stamp.made),
        stamp=_spelt(told.stamp.data),
    )


def _spelt(data: bytes) -> str:
    return b64encode(data).decode("ascii")


def _bytes(field: str, text: str) -> bytes:
    """Raises: InvalidError."""
    try:
        return b64decode(text, validate=True)
    except ValueError as error:
        sentence = f"{field} is not base64. Send the bytes of the file in base64, with its padding."
        raise InvalidError(problems=(Problem(field=field, sentence=sentence),)) from error


_STAMP = {
    "kind": "cosignature",
    "size": 3,
    "by": "a-neighbour (09ebf21f)",
    "time": "2026-03-02T08:00:00.000000Z",
    "holds": True,
    "sentence": "This checkpoint existed at 2026-03-02T08:00:00+00:00, says a-neighbour (09ebf21f).",
    "taken": "2026-03-03T19:12:00.000000Z",
    "stamp": "4oCUIGEtbmVpZ2hib3VyIC4uLgo=",
}
BODY_EXAMPLES: dict[str, Any] = {
    "take_stamp": {
        "line": {
            "summary": "The line of a neighbour who cosigned",
            "value": {"stamp": "4oCUIGEtbmVpZ2hib3VyIC4uLgo=", "key": _VKEY},
        }
    }
}
ANSWER_EXAMPLES: dict[str, Any] = {
    "list_stamps": {"stamps": [_STAMP]},
    "take_stamp": {"stamps": [_STAMP]},
    "want_stamp": {"size": 3, "media": "text/plain", "request": "b2xkIDAKCi4uLgo="},
}
