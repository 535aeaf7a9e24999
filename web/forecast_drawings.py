"""Drawings of forecasts: one on the scale with its result, how often "at least g" came true, and the PIT. Units: px."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.rules.grades import Grade, grades
from ledger.rules.scoring import AtLeast
from ledger.rules.thousandths import WHOLE
from web.wording import t

__all__ = ["Bar", "Dot", "PitDrawing", "ReliabilityDrawing", "Strip", "pit_of", "reliability_of", "strip_of"]

STEP: Final = 8
STRIP_HEIGHT: Final = 36
SIDE: Final = 220
"""A side of the square of reliability, and the width of the PIT."""
PIT_HEIGHT: Final = 140


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One bar, standing on its line."""

    x: int
    y: int
    width: int
    height: int
    word: str = ""


@dataclass(frozen=True, kw_only=True)
class Strip:
    """An outlook on the scale, every step as wide as any other, and the step of the result; -1 where there is none."""

    bars: tuple[Bar, ...]
    result: int


@dataclass(frozen=True, kw_only=True)
class Dot:
    """One class: where it lies, and what it stands for."""

    x: int
    y: int
    word: str


@dataclass(frozen=True, kw_only=True)
class ReliabilityDrawing:
    """Said against came true, both from 0 to 100 %; on the diagonal both are the same."""

    side: int
    dots: tuple[Dot, ...]
    ticks: tuple[tuple[int, int], ...]
    """Place along a side, and the per cent that it stands for."""


@dataclass(frozen=True, kw_only=True)
class PitDrawing:
    """Ten bars, and the height at which all would stand were forecasts calibrated."""

    width: int
    height: int
    even: int
    bars: tuple[Bar, ...]


def strip_of(weights: Mapping[Grade, int], result: Grade | None) -> Strip:
    """The bars of the steps that have a weight; the whole height is certainty, and none is too low to be seen."""
    bars = []
    for grade, weight in sorted(weights.items()):
        height = max(weight * STRIP_HEIGHT // WHOLE, 1)
        bars.append(Bar(x=grade.step * STEP + 1, y=STRIP_HEIGHT - height, width=STEP - 2, height=height))
    return Strip(bars=tuple(bars), result=-1 if result is None else result.step * STEP)


def strip_width() -> int:
    """How wide a strip is."""
    return STEP * len(grades())


def reliability_of(classes: Sequence[AtLeast]) -> ReliabilityDrawing:
    """A dot for every class with statements."""
    found = [each for each in classes if each.chance is not None]
    dots = [
        Dot(
            x=round((each.chance or Fraction(0)) * SIDE),
            y=SIDE - round(Fraction(each.came_true, each.count) * SIDE),
            word=t("forecasts.reliability.of", true=each.came_true, all=each.count),
        )
        for each in found
    ]
    return ReliabilityDrawing(
        side=SIDE, dots=tuple(dots), ticks=tuple((SIDE * part // 4, 25 * part) for part in range(5))
    )


def pit_of(shares: Sequence[Fraction]) -> PitDrawing | None:
    """The bars, the highest at full height; none where there are no shares."""
    if not shares:
        return None
    most, wide = max(shares), SIDE // len(shares)
    bars = []
    for place, share in enumerate(shares):
        height = round(share / most * PIT_HEIGHT)
        word = f"{round(share * 100)}"
        bars.append(Bar(x=place * wide + 1, y=PIT_HEIGHT - height, width=wide - 2, height=height, word=word))
    even = PIT_HEIGHT - round(Fraction(1, len(shares)) / most * PIT_HEIGHT)
    return PitDrawing(width=SIDE, height=PIT_HEIGHT, even=even, bars=tuple(bars))
