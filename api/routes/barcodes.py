"""barcodes: a code, typed or in a picture, and the issue it leads to; it lies beside the ledger."""

from typing import Annotated

from fastapi import APIRouter, Depends, Path
from pydantic import Field

from api.barcode_answers import BarcodeAnswer, BarcodeBody, barcode_answer
from api.bodies import read_body, read_json
from api.deps import LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id, reading
from api.documents import EVERYWHERE, failures
from api.raw_bodies import file_from, is_picture
from api.schemas import Answer
from ledger.barcodes import TYPED_MOST, read_barcode
from ledger.usecases import barcodes as work

router = APIRouter(prefix="/barcodes", tags=["barcodes"])

Code = Annotated[
    str,
    Path(
        min_length=1,
        max_length=TYPED_MOST,
        description="The 12 or 13 digits, and after a hyphen the 2 or 5 beside them.",
        examples=["614141000036-01411"],
    ),
]
FileDep = Annotated[bytes, Depends(file_from(reading, is_picture))]


class BarcodeList(Answer):
    """The barcodes of a picture."""

    barcodes: list[BarcodeAnswer] = Field(description="Each with what it leads to; empty where none can be read.")


@router.get(
    "/{code}",
    summary="Look a barcode up",
    response_description="What the code leads to.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def look_up_barcode(ledger: LedgerDep, actor: ReadingDep, code: Code) -> BarcodeAnswer:
    """The check digit must fit (GS1). What the digits beside it stand for is common practice, so it is a proposal."""
    return barcode_answer(work.look_at_barcode(ledger, actor, read_barcode(code)))


@router.post(
    "/picture",
    summary="Read the barcodes of a picture",
    response_description="The codes, those with digits beside them first.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def photograph_barcode(ledger: LedgerDep, actor: ReadingDep, data: FileDep) -> BarcodeList:
    """One picture file as the body, within the limits of photographs. Nothing of it is kept."""
    found = work.read_picture(ledger, actor, data)
    return BarcodeList(barcodes=[barcode_answer(work.look_at_barcode(ledger, actor, each)) for each in found])


@router.put(
    "/{code}",
    summary="Say which book has a barcode",
    response_description="What the code leads to from now on.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def keep_barcode(ledger: LedgerDep, actor: OwningDep, code: Code, data: OwningBodyDep) -> BarcodeAnswer:
    """The code leads to the issue of that book, also when that is known better later."""
    asked = read_body(BarcodeBody, read_json(data))
    return barcode_answer(work.keep_barcode(ledger, actor, read_barcode(code), an_id("book", asked.book)))


@router.delete(
    "/{code}",
    summary="Forget a barcode",
    status_code=204,
    response_description="It leads to nothing any more.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def forget_barcode(ledger: LedgerDep, actor: OwningDep, code: Code) -> None:
    """No book is changed by it."""
    work.forget_barcode(ledger, actor, read_barcode(code))
