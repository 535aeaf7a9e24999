"""Forecasts and what they are worth, as they are answered."""

from collections.abc import Iterable
from fractions import Fraction

from pydantic import Field

from api.schemas import Answer, EntryNumber
from ledger.forecast_worth import AgainstNaive, AtLeastGrade, Line, Worth
from ledger.rules.scoring import AtLeast, Scores

DECIMALS = 6
"""Exact numbers are rounded to so many decimals."""
_LOWER = "Lower is better."


class WeightAnswer(Answer):
    """How likely one step is held to be."""

    grade: str = Field(description="A step of the ten-point scale.", examples=["9.2"])
    per_mille: int = Field(ge=1, le=1000, description="Units: thousandths; all of an outlook together are 1000.")


class ScoresAnswer(Answer):
    """The scores of one forecast against one result."""

    rps: float = Field(ge=0, description=f"Ranked probability score, as a sum over steps. {_LOWER} Units: 0 to 24.")
    rps_normalised: float = Field(ge=0, le=1, description=f"The same divided by 24. {_LOWER} Units: 0 to 1.")
    log: float = Field(ge=0, description=f"Log score, of half a thousandth at the least. {_LOWER} Units: nats.")
    brier: float = Field(ge=0, le=2, description=f"Over all steps as if they had no order. {_LOWER} Units: 0 to 2.")
    floored: bool = Field(description="What happened had no weight, so the log score is that of half a thousandth.")


class LockAnswer(Answer):
    """Somebody outside saw a checkpoint that covers the outlook, before the result was there."""

    size: int = Field(ge=1, description="Entries that the checkpoint covers.")
    by: str = Field(description="Who saw it, as they call themselves.")
    time: str = Field(description="When, by their word. Units: ISO 8601, UTC.")
    known: bool = Field(description="A cosigner's key stands for it; else a time stamp whose authority was not named.")


class ForecastAnswer(Answer):
    """One outlook, the way through a service that it speaks of, and its scores once there is a result."""

    book: str = Field(description="Id of the book.")
    name: str = Field(description="Title and number.")
    entry: EntryNumber = Field(description="Number of the outlook's entry.")
    recorded: str = Field(description="When it was written down. Units: ISO 8601, UTC.")
    stage: str = Field(description="Where the book stood: at purchase, raw, after work or before sending.")
    origin: str = Field(description="The collector's own weights, or computed ones: own or computed.")
    weights: list[WeightAnswer] = Field(description="As they stood when the book was sent.")
    mended_since: bool = Field(description="It was corrected after the book was sent, which changes no score.")
    sent: int | None = Field(description="Number of the entry that sent it; null where it was not sent.")
    sent_on: str | None = Field(description="When it was sent; null where that is not known. Units: EDTF.")
    batch: str | None = Field(description="The batch it was sent in.")
    service: str | None = Field(description="Who grades; null where that was not written down.")
    outcome: int | None = Field(description="Number of the entry with what came of it; null while there is none.")
    outcome_on: str | None = Field(description="When that was. Units: EDTF.")
    result: str | None = Field(description="The grade it was given; null where there is none.")
    before: str | None = Field(description="The grade before it was sent, whoever stated it; null where none is known.")
    surprise: int | None = Field(
        description="From the outlook's middle step to the result; above zero where it was graded better. Units: steps."
    )
    scores: ScoresAnswer | None = Field(description="Null while there is no result.")
    stays: ScoresAnswer | None = Field(
        description="Scores of the naive forecast that the grade stays; null where no grade before is known."
    )
    gains: ScoresAnswer | None = Field(
        description="Scores of the naive forecast by the average gain of earlier results; null where there are none."
    )
    gains_from: int = Field(ge=0, description="Earlier results that the average gain was taken from.")
    lock: LockAnswer | None = Field(description="Null where nobody outside is known to have seen it before the result.")
    recalibrated: list[WeightAnswer] | None = Field(
        description="Of a book without a result, the outlook as earlier results correct it; null while there are too few."
    )


class BiasAnswer(Answer):
    """The steps of surprise of several results."""

    median: float = Field(description="Median. Units: steps; above zero, books were graded better than forecast.")
    mean: float = Field(description="Mean. Units: steps.")
    met: int = Field(ge=0, description="Results at the outlook's middle step.")
    within_one: int = Field(ge=0, description="Results at most one step away from it.")


class AgainstNaiveAnswer(Answer):
    """Forecasts against a naive one, over the results for which there is one."""

    count: int = Field(ge=0, description="Results.")
    own: float | None = Field(description=f"Mean normalised ranked probability score of the forecasts. {_LOWER}")
    naive: float | None = Field(description="The same of the naive one.")
    skill: float | None = Field(
        description="1 is all of the naive loss avoided, 0 none; null where the naive forecast lost nothing."
    )


class AtLeastGradeAnswer(Answer):
    """The statement "at least this grade", over all results."""

    grade: str = Field(description="A step of the ten-point scale.")
    chance: float = Field(ge=0, le=1, description="Mean of the chances said. Units: 0 to 1.")
    came_true: int = Field(ge=0, description="Results of which it was true.")
    brier: float = Field(ge=0, le=1, description=f"Mean Brier score. {_LOWER} Units: 0 to 1.")
    naive: float | None = Field(description="The same of the forecast that the grade stays; null where there is none.")


class WorthAnswer(Answer):
    """What several forecasts came to."""

    key: str | None = Field(description="The service or the stage they have in common; null for not known, or for all.")
    count: int = Field(ge=1, description="Results.")
    few: bool = Field(description="There are so few that they say little.")
    rps: float = Field(ge=0, description=f"Mean ranked probability score, as a sum over steps. {_LOWER}")
    rps_normalised: float = Field(ge=0, le=1, description=f"The same divided by 24. {_LOWER}")
    log: float = Field(ge=0, description=f"Mean log score. {_LOWER} Units: nats.")
    brier: float = Field(ge=0, le=2, description=f"Mean Brier score over all steps. {_LOWER}")
    floored: int = Field(ge=0, description="Results that had no weight at all.")
    bias: BiasAnswer = Field(description="How far results lay from the middle step.")
    stays: AgainstNaiveAnswer = Field(description="Against the forecast that the grade stays.")
    gains: AgainstNaiveAnswer = Field(description="Against the forecast by the average gain of earlier results.")
    at_least: list[AtLeastGradeAnswer] = Field(description="Of every grade but the lowest.")


class ClassAnswer(Answer):
    """Statements "at least g" whose chance lay in one class."""

    above: float = Field(description="The chance was more than this; in the first class it may be this. Units: 0 to 1.")
    up_to: float = Field(description="The chance was this at most. Units: 0 to 1.")
    count: int = Field(ge=0, description="Statements.")
    came_true: int = Field(ge=0, description="Those that came true.")
    chance: float | None = Field(description="Mean of the chances said; null where there are no statements.")


def _number(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), DECIMALS)


def _sure(value: Fraction) -> float:
    return round(float(value), DECIMALS)


def scores_answer(scores: Scores | None) -> ScoresAnswer | None:
    """One forecast's scores."""
    if scores is None:
        return None
    return ScoresAnswer(
        rps=_sure(scores.rps),
        rps_normalised=_sure(scores.rps_normalised),
        log=round(scores.log, DECIMALS),
        brier=_sure(scores.brier),
        floored=scores.floored,
    )


def forecast_answer(line: Line) -> ForecastAnswer:
    """One outlook with its result."""
    attempt, forecast = line.attempt, line.forecast
    offered = line.recalibrated
    return ForecastAnswer(
        book=line.book,
        name=line.name,
        entry=forecast.seq,
        recorded=forecast.recorded.isoformat(timespec="microseconds").replace("+00:00", "Z"),
        stage=forecast.outlook.stage.value,
        origin=forecast.outlook.origin.value,
        weights=[WeightAnswer(grade=each.grade.text, per_mille=each.per_mille) for each in forecast.outlook.weights],
        mended_since=forecast.mended_since,
        sent=attempt.sent,
        sent_on=None if attempt.sent_on is None else attempt.sent_on.text,
        batch=attempt.batch,
        service=attempt.service,
        outcome=attempt.outcome,
        outcome_on=None if attempt.outcome_on is None else attempt.outcome_on.text,
        result=None if attempt.result is None else attempt.result.text,
        before=None if attempt.base is None else attempt.base.text,
        surprise=line.surprise,
        scores=scores_answer(line.scores),
        stays=scores_answer(line.stays),
        gains=scores_answer(line.gains),
        gains_from=line.gains_from,
        lock=None if line.lock is None else LockAnswer(**vars(line.lock)),
        recalibrated=None if offered is None else [WeightAnswer(grade=g.text, per_mille=w) for g, w in offered],
    )


def worth_answer(worth: Worth) -> WorthAnswer:
    """Totals of several."""
    bias = worth.bias
    return WorthAnswer(
        key=worth.key,
        count=worth.count,
        few=worth.few,
        rps=_sure(worth.rps),
        rps_normalised=_sure(worth.rps_normalised),
        log=round(worth.log, DECIMALS),
        brier=_sure(worth.brier),
        floored=worth.floored,
        bias=BiasAnswer(median=_sure(bias.median), mean=_sure(bias.mean), met=bias.met, within_one=bias.within_one),
        stays=_against(worth.stays),
        gains=_against(worth.gains),
        at_least=[_at_least(each) for each in worth.at_least],
    )


def class_answers(classes: Iterable[AtLeast]) -> list[ClassAnswer]:
    """The classes of reliability."""
    return [
        ClassAnswer(
            above=_sure(each.above),
            up_to=_sure(each.up_to),
            count=each.count,
            came_true=each.came_true,
            chance=_number(each.chance),
        )
        for each in classes
    ]


def _against(found: AgainstNaive) -> AgainstNaiveAnswer:
    return AgainstNaiveAnswer(
        count=found.count, own=_number(found.own), naive=_number(found.naive), skill=_number(found.skill)
    )


def _at_least(found: AtLeastGrade) -> AtLeastGradeAnswer:
    return AtLeastGradeAnswer(
        grade=found.grade.text,
        chance=_sure(found.chance),
        came_true=found.came_true,
        brier=_sure(found.brier),
        naive=_number(found.naive),
    )
