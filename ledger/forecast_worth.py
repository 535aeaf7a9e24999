"""What forecasts came to: each beside its result and two naive ones, and all of them, or some, together."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.forecast import Attempt, Forecast
from ledger.rules.grades import Grade, grades
from ledger.rules.naive import it_gains, it_stays
from ledger.rules.recalibration import RESULTS_NEEDED
from ledger.rules.scoring import Bias, Scores, at_least, bias_of, brier_at_least, mean, scores_of, skill
from ledger.rules.scoring import surprise as steps_of_surprise
from ledger.rules.thousandths import WHOLE

__all__ = [
    "FEW",
    "AgainstNaive",
    "AtLeastGrade",
    "Line",
    "Lock",
    "Worth",
    "chances_of",
    "scored",
    "worth_by",
    "worth_of",
]

FEW: Final = RESULTS_NEEDED
"""Fewer results say little of the next one. Our assumption."""
Chances = tuple[Fraction, ...]


@dataclass(frozen=True, kw_only=True)
class Lock:
    """Somebody outside saw a checkpoint that covers the outlook, before the result was there."""

    size: int
    """Entries that the checkpoint covers."""
    by: str
    time: str
    """Units: ISO 8601, UTC."""
    known: bool
    """A key that was given stands for it; else it rests on a time stamp whose authority nobody named here."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One outlook with the way through a service that it speaks of, and its scores once there is a result."""

    book: str
    name: str
    attempt: Attempt
    forecast: Forecast
    lock: Lock | None = None
    surprise: int | None = None
    """Steps from the outlook's middle step to the result; above zero where it was graded better."""
    scores: Scores | None = None
    stays: Scores | None = None
    """Of the naive forecast that the grade stays; None where no grade before is known."""
    gains: Scores | None = None
    """Of the naive forecast by the average gain; None where there was no earlier result with a gain either."""
    gains_from: int = 0
    """Earlier results that the average gain was taken from."""
    recalibrated: tuple[tuple[Grade, int], ...] | None = None
    """The outlook corrected by earlier results, of a book without a result; None while there are too few of them."""

    @property
    def chances(self) -> Chances:
        """The chance of each step, the lowest first."""
        return chances_of(self.forecast)


@dataclass(frozen=True, kw_only=True)
class AgainstNaive:
    """Forecasts against a naive one, over the results for which there is one."""

    count: int
    own: Fraction | None
    naive: Fraction | None
    """Means of the normalised ranked probability score; lower is better."""
    skill: Fraction | None
    """1 is all of the naive loss avoided, 0 none of it; None where the naive forecast lost nothing."""


@dataclass(frozen=True, kw_only=True)
class AtLeastGrade:
    """The statement "at least this grade", over all results."""

    grade: Grade
    chance: Fraction
    """Mean of the chances said."""
    came_true: int
    brier: Fraction
    """Mean; lower is better. Units: 0 to 1."""
    naive: Fraction | None
    """The same of the forecast that the grade stays, over the results with a grade before; None where there is none."""


@dataclass(frozen=True, kw_only=True)
class Worth:
    """What several forecasts came to."""

    key: str | None
    """What they have in common; None where that is not known, or where it is all of them."""
    count: int
    rps: Fraction
    rps_normalised: Fraction
    log: float
    brier: Fraction
    """Means; lower is better."""
    floored: int
    """Results that had no weight at all."""
    bias: Bias
    stays: AgainstNaive
    gains: AgainstNaive
    at_least: tuple[AtLeastGrade, ...]

    @property
    def few(self) -> bool:
        """There are so few that they say little."""
        return self.count < FEW


def chances_of(forecast: Forecast) -> Chances:
    """The chance of each of the 25 steps, the lowest first."""
    weights = {each.grade.step: each.per_mille for each in forecast.outlook.weights}
    return tuple(Fraction(weights.get(step, 0), WHOLE) for step in range(len(grades())))


def scored(book: str, name: str, attempt: Attempt, forecast: Forecast, earlier: Sequence[int]) -> Line:
    """An outlook with its scores; without a result it has none.

    `earlier` are the gains, in steps, of the results that were written down before it was.
    """
    line = Line(book=book, name=name, attempt=attempt, forecast=forecast)
    if attempt.result is None:
        return line
    chances, happened, steps = chances_of(forecast), attempt.result.step, len(grades())
    base = attempt.base.step if attempt.base is not None else None
    gained = None if base is None else it_gains(base, earlier, steps)
    return Line(
        book=book,
        name=name,
        attempt=attempt,
        forecast=forecast,
        surprise=steps_of_surprise(chances, happened),
        scores=scores_of(chances, happened),
        stays=None if base is None else scores_of(it_stays(base, steps), happened),
        gains=None if gained is None else scores_of(gained, happened),
        gains_from=len(earlier),
    )


def worth_of(lines: Sequence[Line], key: str | None = None) -> Worth | None:
    """All of them together; None where there are none.

    Requires: lines with a result.
    """
    found = [each.scores for each in lines if each.scores is not None]
    bias = bias_of([each.surprise for each in lines if each.surprise is not None])
    if not found or bias is None:
        return None
    return Worth(
        key=key,
        count=len(found),
        rps=_mean([each.rps for each in found]),
        rps_normalised=_mean([each.rps_normalised for each in found]),
        log=sum(each.log for each in found) / len(found),
        brier=_mean([each.brier for each in found]),
        floored=sum(each.floored for each in found),
        bias=bias,
        stays=_against(lines, lambda line: line.stays),
        gains=_against(lines, lambda line: line.gains),
        at_least=tuple(_at_least(lines, grade) for grade in grades()[1:]),
    )


def worth_by(lines: Sequence[Line], key: Callable[[Line], str | None], order: Sequence[str] = ()) -> tuple[Worth, ...]:
    """The same by what a key says of each, in that order, else by name; what is not known comes last."""
    groups: dict[str | None, list[Line]] = {}
    for each in lines:
        groups.setdefault(key(each), []).append(each)

    def place(name: str | None) -> tuple[bool, int, str]:
        return name is None, order.index(name) if name in order else len(order), (name or "").casefold()

    found = (worth_of(groups[name], name) for name in sorted(groups, key=place))
    return tuple(each for each in found if each is not None)


def _against(lines: Sequence[Line], naive: Callable[[Line], Scores | None]) -> AgainstNaive:
    pairs = [(line.scores, found) for line in lines if line.scores is not None and (found := naive(line)) is not None]
    own, theirs = [each.rps_normalised for each, _ in pairs], [each.rps_normalised for _, each in pairs]
    return AgainstNaive(count=len(pairs), own=mean(own), naive=mean(theirs), skill=skill(own, theirs))


def _at_least(lines: Sequence[Line], grade: Grade) -> AtLeastGrade:
    results = [(line.chances, line.attempt.result.step, line) for line in lines if line.attempt.result is not None]
    steps = len(grades())
    naive = [
        brier_at_least(it_stays(line.attempt.base.step, steps), happened, grade.step)
        for _, happened, line in results
        if line.attempt.base is not None
    ]
    return AtLeastGrade(
        grade=grade,
        chance=_mean([at_least(chances, grade.step) for chances, _, _ in results]),
        came_true=sum(happened >= grade.step for _, happened, _ in results),
        brier=_mean([brier_at_least(chances, happened, grade.step) for chances, happened, _ in results]),
        naive=mean(naive),
    )


def _mean(values: Sequence[Fraction]) -> Fraction:
    found = mean(values)
    assert found is not None  # there is at least one
    return found
