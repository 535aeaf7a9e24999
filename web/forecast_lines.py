"""Forecasts in words: each beside its result, totals beside the naive ones, and how far results lie from forecasts."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.events.outlook import Origin
from ledger.forecast import Stands
from ledger.forecast_worth import AgainstNaive, AtLeastGrade, Line, Worth
from ledger.rules.grades import Grade
from ledger.rules.scoring import AtLeast, Bias, Scores
from web.forecast_drawings import Strip, strip_of
from web.wording import t

__all__ = [
    "AtLeastLine",
    "ClassLine",
    "ForecastLine",
    "TotalLine",
    "at_least_lines",
    "bias_words",
    "class_lines",
    "forecast_line",
    "total_line",
]

NAMED_MOST: Final = 3
"""Steps of an outlook that are named beside its drawing."""


@dataclass(frozen=True, kw_only=True)
class ForecastLine:
    """One outlook beside its result."""

    book: str
    name: str
    seq: int
    stage: str
    weights: str
    strip: Strip
    sent: str
    """Where and when it was sent; empty where it was not."""
    result: str
    outcome: int | None
    surprise: str
    own: str
    stays: str
    gains: str
    """Normalised ranked scores."""
    log: str
    notes: tuple[str, ...]
    offered: str
    """The outlook as earlier results correct it, in words; empty where none is offered."""
    offered_strip: Strip | None


@dataclass(frozen=True, kw_only=True)
class TotalLine:
    """What several came to, in words."""

    name: str
    count: int
    few: bool
    own: str
    stays: str
    gains: str
    log: str
    brier: str
    met: int
    within_one: int
    bias: str
    floored: str


@dataclass(frozen=True, kw_only=True)
class AtLeastLine:
    """The statement "at least g", over all results."""

    grade: str
    said: str
    came_true: str
    brier: str
    naive: str


@dataclass(frozen=True, kw_only=True)
class ClassLine:
    """One class of chances that were said."""

    said: str
    count: int
    came_true: str


def forecast_line(line: Line) -> ForecastLine:
    """One outlook in words and as a drawing."""
    attempt, forecast = line.attempt, line.forecast
    weights = {each.grade: each.per_mille for each in forecast.outlook.weights}
    offered = dict(line.recalibrated or ())
    return ForecastLine(
        book=line.book,
        name=line.name,
        seq=forecast.seq,
        stage=t(f"forecasts.stages.{forecast.outlook.stage.value.replace(' ', '_')}"),
        weights=_weights(weights),
        strip=strip_of(weights, attempt.result),
        sent=_sent(line),
        result=attempt.result.text if attempt.result else "",
        outcome=attempt.outcome,
        surprise="" if line.surprise is None else surprise_words(line.surprise),
        own=_score(line.scores),
        stays=_score(line.stays),
        gains=_score(line.gains) if line.gains or line.stays is None else t("forecasts.naive.none_yet"),
        log="" if line.scores is None else f"{line.scores.log:.2f}",
        notes=tuple(_notes(line)),
        offered=_weights(offered) if offered else "",
        offered_strip=strip_of(offered, None) if offered else None,
    )


def total_line(worth: Worth, name: str) -> TotalLine:
    """Totals in words."""
    return TotalLine(
        name=name,
        count=worth.count,
        few=worth.few,
        own=_number(worth.rps_normalised),
        stays=_against(worth.stays),
        gains=_against(worth.gains),
        log=f"{worth.log:.2f}",
        brier=_number(worth.brier),
        met=worth.bias.met,
        within_one=worth.bias.within_one,
        bias=bias_words(worth.bias),
        floored=t.n("forecasts.floored", worth.floored) if worth.floored else "",
    )


def bias_words(bias: Bias) -> str:
    """How far results lie from the middle step, on average and in the middle."""
    middle = _steps(bias.median)
    if bias.mean == 0:
        return t("forecasts.bias.none", median=middle)
    return t("forecasts.bias.whole", mean=_steps(bias.mean), median=middle)


def surprise_words(steps: int) -> str:
    """How many steps better or lower than the middle step it was graded."""
    if steps == 0:
        return t("forecasts.surprise.none")
    return t.n("forecasts.surprise.better" if steps > 0 else "forecasts.surprise.lower", abs(steps))


def at_least_lines(found: Sequence[AtLeastGrade], count: int) -> tuple[AtLeastLine, ...]:
    """Every grade of which something was open: neither certain each time nor ruled out each time, and so it came."""
    return tuple(
        AtLeastLine(
            grade=each.grade.text,
            said=_per_cent(each.chance),
            came_true=t("forecasts.of", some=each.came_true, all=count),
            brier=_number(each.brier),
            naive=t("frame.not_known") if each.naive is None else _number(each.naive),
        )
        for each in found
        if each.brier or each.naive
    )


def class_lines(classes: Sequence[AtLeast]) -> tuple[ClassLine, ...]:
    """The same as the drawing of reliability, in words; classes without a statement are left out."""
    return tuple(
        ClassLine(
            said=t("forecasts.reliability.said", chance=_per_cent(each.chance)),
            count=each.count,
            came_true=t("forecasts.reliability.of", true=each.came_true, all=each.count),
        )
        for each in classes
        if each.chance is not None
    )


def _weights(weights: dict[Grade, int]) -> str:
    """The likeliest steps in words."""
    order = sorted(weights.items(), key=lambda each: (-each[1], each[0]))
    named = [t("forecasts.weight", grade=grade.text, chance=f"{weight / 10:g}") for grade, weight in order[:NAMED_MOST]]
    words = ", ".join(named)
    more = len(order) - NAMED_MOST
    return f"{words} {t.n('forecasts.more_steps', more)}" if more > 0 else words


def _sent(line: Line) -> str:
    attempt = line.attempt
    if attempt.sent is None:
        return ""
    when = attempt.sent_on.label() if attempt.sent_on else t("frame.not_known")
    return t("forecasts.sent", service=attempt.service or t("forecasts.service_not_known"), at=when)


def _notes(line: Line) -> list[str]:
    forecast, notes = line.forecast, []
    if line.lock is not None:
        seen = {"by": line.lock.by, "time": line.lock.time, "size": line.lock.size}
        notes.append(t("forecasts.locked" if line.lock.known else "forecasts.locked_unnamed", **seen))
    if line.scores is not None and line.scores.floored:
        notes.append(t("forecasts.no_weight"))
    if forecast.mended_since:
        notes.append(t("forecasts.mended_since"))
    if forecast.outlook.origin is Origin.COMPUTED:
        notes.append(t("forecasts.computed"))
    if forecast.stands not in (Stands.COUNTS, Stands.EARLIER):
        notes.append(t(f"forecasts.stands.{forecast.stands.value.replace(' ', '_')}"))
    return notes


def _score(scores: Scores | None) -> str:
    return t("frame.not_known") if scores is None else _number(scores.rps_normalised)


def _against(found: AgainstNaive) -> str:
    """Beside a naive forecast; says over how many results."""
    if found.own is None or found.naive is None:
        return t("forecasts.naive.none")
    numbers = t.n("forecasts.naive.beside", found.count, own=_number(found.own), naive=_number(found.naive))
    if found.skill is None:
        return f"{numbers} {t('forecasts.naive.lost_nothing')}"
    share = _per_cent(abs(found.skill))
    words = t("forecasts.naive.less" if found.skill >= 0 else "forecasts.naive.more", share=share)
    return f"{numbers} {words}"


def _number(value: Fraction) -> str:
    return f"{float(value):.3f}"


def _per_cent(value: Fraction) -> str:
    return f"{round(value * 100)}"


def _plain(steps: Fraction) -> str:
    return f"{float(steps):.1f}".removesuffix(".0")


def _steps(steps: Fraction) -> str:
    """So many steps to one side of the middle step, with one decimal where it is not a whole number."""
    if steps == 0:
        return t("forecasts.bias.at_it")
    if abs(steps) == 1:
        return t("forecasts.bias.one_better" if steps > 0 else "forecasts.bias.one_lower")
    return t("forecasts.bias.better" if steps > 0 else "forecasts.bias.lower", steps=_plain(abs(steps)))
