"""rates: what a currency was worth in another on a day, kept by hand; it lies beside the ledger."""

from typing import Annotated

from fastapi import APIRouter, Path
from pydantic import BaseModel, ConfigDict, Field

from api.bodies import read_body, read_json
from api.cost_answers import rate_answer
from api.cost_schemas import RateAnswer
from api.deps import LedgerDep, OwningBodyDep, OwningDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.schemas import Answer
from ledger.errors import NotFoundError
from ledger.usecases import rates as work

router = APIRouter(prefix="/rates", tags=["costs"])

_PARTS = 3


class RateBody(BaseModel):
    """One rate."""

    model_config = ConfigDict(extra="forbid")

    of: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code of the currency that is counted.")
    into: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code of the currency it is counted in.")
    on: str = Field(
        pattern=r"^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$",
        description="Its day, or the month or year it is taken for. Units: EDTF.",
    )
    rate: str = Field(
        pattern=r"^[0-9]{1,9}(\.[0-9]{1,8})?$",
        description="Units of `into` for one unit of `of`, above zero, a decimal as text.",
    )
    source: str = Field(min_length=1, max_length=work.SOURCE_MOST, description="Who told it.")


class RatesBody(BaseModel):
    """Rates to keep, all or none."""

    model_config = ConfigDict(extra="forbid")

    rates: list[RateBody] = Field(min_length=1, max_length=work.RATES_MOST, description="The rates.")


class RateList(Answer):
    """Rates of exchange."""

    rates: list[RateAnswer] = Field(description="By pair, then the newest first.")


RateId = Annotated[str, Path(description="Name of the rate: both codes and its day.", examples=["USD-EUR-2024-03-01"])]


@router.get("", summary="List rates", response_description="The rates.", responses=failures(*EVERYWHERE))
def list_rates(ledger: LedgerDep, actor: ReadingDep) -> RateList:
    """Every rate that is kept, with its source."""
    return RateList(rates=[rate_answer(each) for each in work.look_at_rates(ledger, actor)])


@router.post(
    "",
    summary="Keep rates",
    status_code=201,
    response_description="The rates as they are kept.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def keep_rates(ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep) -> RateList:
    """A rate of the same pair and day takes the place of the one before. Nothing is fetched, and nothing guessed."""
    asked = read_body(RatesBody, read_json(data))
    said = [work.RateSaid(**each.model_dump()) for each in asked.rates]
    return RateList(rates=[rate_answer(each) for each in work.keep_rates(ledger, actor, said, order="ymd")])


@router.delete(
    "/{rate}",
    summary="Take a rate away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_rate(ledger: LedgerDep, actor: OwningDep, rate: RateId) -> None:
    """What it counted is not counted from now on."""
    parts = rate.split("-", _PARTS - 1)
    if len(parts) != _PARTS:
        raise NotFoundError(what="rate", name=rate)
    work.take_rate(ledger, actor, *parts)
