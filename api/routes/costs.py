"""costs: what a book and what all of them cost and brought in, in one currency, with what is not counted."""

from typing import Annotated, Final

from fastapi import APIRouter, Path, Query, Response
from pydantic import Field

from api.cost_answers import book_costs, totals_answer, year_answer
from api.cost_schemas import BookCostsAnswer, TotalsAnswer, YearAnswer
from api.deps import BookId, LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.queries import Asked
from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger
from ledger.usecases.cost_tables import year_csv
from ledger.usecases.costs import costs_of, home_of, totals_of, year_of

router = APIRouter(tags=["costs"])


class CostsAsked(Asked):
    """In which currency."""

    currency: str | None = Field(
        None,
        pattern=r"^[A-Z]{3}$",
        description="ISO 4217 code of the currency to count in; left out, it is the one chosen under settings, or else the "
        "one that most sums are in.",
        examples=["EUR"],
    )


class CsvResponse(Response):
    """As RFC 7111 and RFC 4180 have it."""

    media_type = "text/csv"


AskedDep = Annotated[CostsAsked, Query()]
Year = Annotated[int, Path(ge=1, le=9999, description="The year.", examples=[2026])]
CSV_YEAR: Final = (
    "day,book number,title,issue number,start year,what,amount,currency,counted,home currency,rate,rate of,rate told by,"
    "entry,book id\r\n2026-02-14,1,The Copper Lantern,14,1962,price,1250.00,EUR,1250.00,EUR,,,,2,"
    "b7q2m4x6n5k3j8h2g4f6d5s3a7\r\n"
)


@router.get(
    "/books/{book}/costs",
    summary="Read what a book cost",
    response_description="Its periods in the collection, each with its sums.",
    responses=failures(404, 422, *EVERYWHERE),
)
def read_book_costs(ledger: LedgerDep, actor: ReadingDep, book: BookId, asked: AskedDep) -> BookCostsAnswer:
    """Each sum with its entry, in its own currency and counted by the rate of its day; a book bought again has two bases."""
    return book_costs(costs_of(ledger, actor, an_id("book", book), home(ledger, actor, asked)))


@router.get(
    "/costs",
    summary="Read what the collection cost",
    response_description="Sums by year, gains, and what is not counted.",
    responses=failures(422, *EVERYWHERE),
)
def read_costs(ledger: LedgerDep, actor: ReadingDep, asked: AskedDep) -> TotalsAnswer:
    """Exact to the smallest unit; what is not known is named and counts for nothing. This is no advice on tax."""
    return totals_answer(totals_of(ledger, actor, home(ledger, actor, asked)))


@router.get(
    "/costs/{year}",
    summary="Read one year",
    response_description="Every sum of the year, and the books that left.",
    responses=failures(404, 422, *EVERYWHERE),
)
def read_cost_year(ledger: LedgerDep, actor: ReadingDep, year: Year, asked: AskedDep) -> YearAnswer:
    """Purchases, fees and sales line by line; each sale takes the basis of its own book. This is no advice on tax."""
    return year_answer(year_of(ledger, actor, year, home(ledger, actor, asked)))


@router.get(
    "/costs/{year}/table",
    summary="Take one year as a table",
    response_class=CsvResponse,
    response_description="Every sum of the year, a line each.",
    responses={
        200: {"content": {"text/csv": {"schema": {"type": "string"}, "example": CSV_YEAR}}},
        **failures(404, 422, *EVERYWHERE),
    },
)
def take_cost_year(ledger: LedgerDep, actor: ReadingDep, year: Year, asked: AskedDep) -> CsvResponse:
    """CSV (RFC 4180), UTF-8. A text that a spreadsheet could take for a formula has an apostrophe before it."""
    return CsvResponse(year_csv(year_of(ledger, actor, year, home(ledger, actor, asked))))


def home(ledger: Ledger, actor: Actor, asked: CostsAsked) -> str:
    """The currency to count in.

    Raises: InvalidError where none is asked for, chosen, or in any sum.
    """
    found = home_of(ledger, actor, asked.currency)
    if found is None:
        sentence = "No sum is entered and no currency chosen. Ask for one, such as EUR, or choose one under settings."
        raise InvalidError(problems=(Problem(field="currency", sentence=sentence),))
    return found.code
