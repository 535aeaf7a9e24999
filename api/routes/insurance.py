"""insurance: the schedule of all books with their values, and what is insured for too little."""

from typing import Final

from fastapi import APIRouter
from pydantic import Field

from api.cost_answers import value_answer
from api.cost_schemas import ValueAnswer
from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.routes.costs import AskedDep, CsvResponse, home
from api.schemas import Answer
from ledger.money import Money
from ledger.usecases.cost_tables import schedule_csv
from ledger.usecases.insurance import Insured, schedule

router = APIRouter(prefix="/insurance", tags=["costs"])

CSV_SCHEDULE: Final = (
    "book number,title,issue number,start year,publisher,grade,holder or certificate number,insurance value,currency,"
    "valued on,method,valid until,cost so far,cost currency,cost complete,market value,market currency,market valued on,"
    "to look at,photographs,book id\r\n1,The Copper Lantern,14,1962,Harbour Light,VF/NM 9.0,77-1040,1500.00,EUR,"
    "2026-03-01,own judgement,,1268.50,EUR,yes,,,,,2,b7q2m4x6n5k3j8h2g4f6d5s3a7\r\n"
)


class InsuredAnswer(Answer):
    """One book of the schedule."""

    book: str = Field(description="Id of the book.")
    number: int = Field(description="Number of the book in the collection.")
    title: str = Field(description="Title of the series.")
    issue_number: str = Field(description="Number as printed.")
    start_year: int | None = Field(description="Year in which the series began; null where it is not known.")
    grade: str | None = Field(description="The grade in force as it was written; null where none is.")
    holder_number: str | None = Field(description="Holder or certificate number; null where there is none.")
    value: ValueAnswer | None = Field(description="Last value for insurance; null where there is none.")
    market: ValueAnswer | None = Field(description="Last value for the market; null where there is none.")
    basis: Money | None = Field(description="What it cost, as far as that is counted. Units: smallest units.")
    basis_whole: bool = Field(description="All of that is known and counted.")
    photographs: list[str] = Field(description="SHA-256 of the clean copies of its photographs, in lower hex.")
    out_for: Money | None = Field(
        description="For how much it is insured in the hands it is in; null where it is here, or that was not entered. "
        "Units: smallest units."
    )
    to_look_at: list[str] = Field(description="Why it may be insured for too little; empty where nothing says so.")
    missing: Money | None = Field(
        description="By how much the market value is higher than the value for insurance; null where it is not, or where "
        "the two cannot be compared. Units: smallest units."
    )


class ScheduleAnswer(Answer):
    """Every book of the collection. What a policy covers, a licensed adviser says."""

    on: str = Field(description="Day of the schedule, UTC. Units: ISO 8601 date.")
    currency: str = Field(description="ISO 4217 code of the home currency.")
    total: Money = Field(description="Values for insurance that can be counted, added up. Units: smallest units.")
    not_counted: int = Field(description="Values that no rate counts.")
    books: list[InsuredAnswer] = Field(description="The books, by number.")


@router.get(
    "/schedule",
    summary="Read the insurance schedule",
    response_description="The books with their values.",
    responses=failures(422, *EVERYWHERE),
)
def read_schedule(ledger: LedgerDep, actor: ReadingDep, asked: AskedDep) -> ScheduleAnswer:
    """Each book with its value, cost, photographs and number, and whether it may be insured for too little."""
    found = schedule(ledger, actor, home(ledger, actor, asked))
    return ScheduleAnswer(
        on=found.on.isoformat(),
        currency=found.home,
        total=found.total,
        not_counted=found.not_counted,
        books=[_insured(each) for each in found.books],
    )


@router.get(
    "/schedule/table",
    summary="Take the insurance schedule as a table",
    response_class=CsvResponse,
    response_description="Every book, a line each.",
    responses={
        200: {"content": {"text/csv": {"schema": {"type": "string"}, "example": CSV_SCHEDULE}}},
        **failures(422, *EVERYWHERE),
    },
)
def take_schedule(ledger: LedgerDep, actor: ReadingDep, asked: AskedDep) -> CsvResponse:
    """CSV (RFC 4180), UTF-8. A text that a spreadsheet could take for a formula has an apostrophe before it."""
    return CsvResponse(schedule_csv(schedule(ledger, actor, home(ledger, actor, asked))))


def _insured(each: Insured) -> InsuredAnswer:
    row, costs = each.row, each.costs
    return InsuredAnswer(
        book=row.book,
        number=row.no,
        title=row.title,
        issue_number=row.number,
        start_year=row.start_year,
        grade=row.grade_as_written,
        holder_number=row.holder_number,
        value=value_answer(each.value),
        market=value_answer(each.market),
        basis=costs.basis if costs else None,
        basis_whole=costs.basis_whole if costs else False,
        photographs=list(each.photographs),
        out_for=each.out_for,
        to_look_at=[each_short.value for each_short in each.short],
        missing=each.missing,
    )
