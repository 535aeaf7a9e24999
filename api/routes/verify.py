"""verify: everything that is wrong with the ledger, or that it is whole."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from pydantic import BaseModel, ConfigDict, Field

from api.bodies import read_body, read_capped, read_json
from api.deps import LedgerDep, ReadingDep, is_json
from api.documents import EVERYWHERE, failures
from api.schemas import FindingAnswer, ReportAnswer
from ledger.usecases.anchored import kept_anchor
from ledger.usecases.verify import verify_ledger

router = APIRouter(tags=["proofs"])


class VerifyBody(BaseModel):
    """What the ledger is held against."""

    model_config = ConfigDict(extra="forbid")

    anchor: str | None = Field(
        None, max_length=20_000, description="Signed note of a checkpoint that was kept elsewhere, byte for byte."
    )


async def body_of(request: Request, _actor: ReadingDep) -> bytes:
    """The body, which may be left out."""
    data = await read_capped(request)
    if data:
        is_json(request)
    return data


@router.post(
    "/verify",
    summary="Verify the whole ledger",
    response_description="Everything found, and what was looked at.",
    responses=failures(413, 415, 422, *EVERYWHERE),
)
def verify(ledger: LedgerDep, actor: ReadingDep, data: Annotated[bytes, Depends(body_of)]) -> ReportAnswer:
    """Every entry is reread from its bytes and nothing is changed.

    An old copy put back, or entries cut from the end, show only against a checkpoint kept elsewhere: send it as
    `anchor`. Left out, it is the one that the program keeps beside its key.
    """
    anchor = read_body(VerifyBody, read_json(data)).anchor if data else None
    report = verify_ledger(ledger, actor, anchor=kept_anchor(ledger) if anchor is None else anchor)
    findings = [
        FindingAnswer(
            code=each.code, sentence=each.sentence, evidence=each.evidence.value, seq=each.seq, book=each.book
        )
        for each in report.findings
    ]
    return ReportAnswer(ok=report.ok, findings=findings, checked=report.checked, notes=report.notes)
