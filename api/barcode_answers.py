"""What a barcode leads to, as it is answered, with examples for the OpenAPI document."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from api.book_answers import BookLine, line
from api.deps import ID
from api.schemas import Answer
from ledger.events._parts import Issue
from ledger.usecases.barcodes import BarcodeLook

__all__ = ["BARCODE_ANSWERS", "BARCODE_REQUESTS", "BarcodeAnswer", "BarcodeBody", "barcode_answer"]


class ProposalAnswer(Answer):
    """What the digits beside a code are mostly taken for; common practice, no standard."""

    number: str = Field(description="Number of the issue.")
    cover: int | None = Field(description="Which of its covers, 1 the first; null where that is not told.")
    printing: int | None = Field(description="Printing, 1 the first; null where that is not told.")
    month: int | None = Field(
        description="Month of the cover date, where two digits may be that instead. Units: months, 1 to 12."
    )


class BarcodeAnswer(Answer):
    """A barcode and what it leads to."""

    code: str = Field(description="The digits, and after a hyphen those beside them, if any.")
    number: str = Field(description="The 12 digits of a UPC-A, or the 13 of an EAN-13.")
    add_on: str = Field(description="The 2 or 5 digits beside it as text; empty where there are none.")
    proposal: ProposalAnswer | None = Field(
        description="What the digits beside it are mostly taken for; null for none."
    )
    issue: Issue | None = Field(
        description="The issue it was remembered for, or else one proposed by another code of its series; null for none."
    )
    remembered: bool = Field(description="A book told that this very code is on that issue.")
    books: list[BookLine] = Field(description="Own copies of the issue, by their numbers, gone ones too.")


class BarcodeBody(BaseModel):
    """Which book has the code."""

    model_config = ConfigDict(extra="forbid")

    book: str = Field(pattern=f"^{ID.pattern}$", description="Id of the book whose issue the code leads to.")


def barcode_answer(found: BarcodeLook) -> BarcodeAnswer:
    """As it is answered."""
    proposal = found.proposal
    return BarcodeAnswer(
        code=found.barcode.code,
        number=found.barcode.number,
        add_on=found.barcode.add_on,
        proposal=None
        if proposal is None
        else ProposalAnswer(
            number=proposal.number, cover=proposal.cover, printing=proposal.printing, month=proposal.month
        ),
        issue=found.issue,
        remembered=found.remembered,
        books=[line(row) for row in found.books],
    )


_ANSWER: dict[str, Any] = {
    "code": "614141000036-01411",
    "number": "614141000036",
    "add_on": "01411",
    "proposal": {"number": "14", "cover": 1, "printing": 1, "month": None},
    "issue": {
        "title": "The Copper Lantern",
        "number": "14",
        "start_year": 1982,
        "publisher": "Harbour Light",
        "cover_date": None,
        "printing": 1,
        "variant": None,
    },
    "remembered": False,
    "books": [],
}
BARCODE_ANSWERS: dict[str, Any] = {
    "look_up_barcode": _ANSWER,
    "photograph_barcode": {"barcodes": [_ANSWER]},
    "keep_barcode": {**_ANSWER, "remembered": True},
}
BARCODE_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    "keep_barcode": {"book": {"summary": "It is on this book", "value": {"book": "b7q2m4x6n5k3j8h2g4f6d5s3a7"}}}
}
