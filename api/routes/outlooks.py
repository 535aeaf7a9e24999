"""outlooks: what forecasts are worth, each beside its result."""

from fastapi import APIRouter
from pydantic import Field

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.outlook_answers import (
    DECIMALS,
    ClassAnswer,
    ForecastAnswer,
    WorthAnswer,
    class_answers,
    forecast_answer,
    worth_answer,
)
from api.schemas import Answer
from ledger.rules.recalibration import RESULTS_NEEDED
from ledger.rules.scoring import PIT_FROM
from ledger.usecases.forecasts import forecasts

router = APIRouter(prefix="/outlooks", tags=["outlooks"])


class OutlookScores(Answer):
    """Every outlook in force by what became of it, and what the collector's own came to."""

    in_all: WorthAnswer | None = Field(description="All that is scored; null while there is no result.")
    computed_in_all: WorthAnswer | None = Field(description="The same of computed outlooks.")
    by_service: list[WorthAnswer] = Field(description="By grading service.")
    by_stage: list[WorthAnswer] = Field(
        description="By stage, the last of each stage of a book; earlier ones are told here and are in no other total."
    )
    reliability: list[ClassAnswer] = Field(description='How often "at least g" came true, by the chance that was said.')
    pit: list[float] = Field(
        description="Share of results in each tenth of their forecasts, the lowest first (non-randomised); empty below "
        f"{PIT_FROM} results."
    )
    results_needed: int = Field(
        examples=[RESULTS_NEEDED], description="With fewer results no outlook is recalibrated, and they say little."
    )
    scored: list[ForecastAnswer] = Field(
        description="Own ones, each the last before its book was sent, in the order in which results were written down."
    )
    computed: list[ForecastAnswer] = Field(description="The same of computed ones.")
    earlier: list[ForecastAnswer] = Field(description="Own ones before those, with a result.")
    unfinished: list[ForecastAnswer] = Field(description="Of books without a result, own and computed.")
    no_result: list[ForecastAnswer] = Field(
        description="Of books that came back without a grade, never came back, or left the collection."
    )
    late: list[ForecastAnswer] = Field(description="Recorded when the result was there; never scored.")
    after_sending: list[ForecastAnswer] = Field(
        description="Recorded or dated after the book was sent, before its result; not scored."
    )
    taken_back: list[ForecastAnswer] = Field(
        description="The last before the book was sent, and withdrawn since; not scored, and no earlier one is instead."
    )
    sending_not_known: list[ForecastAnswer] = Field(
        description="There is a result, and nobody wrote down when the book was sent; not scored."
    )


@router.get(
    "/scores",
    summary="Score the forecasts",
    response_description="All of them.",
    responses=failures(*EVERYWHERE),
)
def read_scores(ledger: LedgerDep, actor: ReadingDep) -> OutlookScores:
    """Every forecast beside its result, read in one moment; scores are rounded to six decimals.

    The last outlook written down before a book was sent is scored, as it stood then. Weight zero on what happened counts
    as half a thousandth in the log score.
    """
    found = forecasts(ledger, actor)
    lines = {
        name: [forecast_answer(each) for each in getattr(found, name)]
        for name in (
            *("scored", "computed", "earlier", "unfinished", "no_result", "late"),
            *("after_sending", "taken_back", "sending_not_known"),
        )
    }
    return OutlookScores(
        in_all=None if found.in_all is None else worth_answer(found.in_all),
        computed_in_all=None if found.computed_in_all is None else worth_answer(found.computed_in_all),
        by_service=[worth_answer(each) for each in found.by_service],
        by_stage=[worth_answer(each) for each in found.by_stage],
        reliability=class_answers(found.reliability),
        pit=[round(float(each), DECIMALS) for each in found.pit],
        results_needed=RESULTS_NEEDED,
        **lines,
    )
