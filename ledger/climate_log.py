"""What a climate log comes to over a time: how much is known, how paper ages in it, how damp it was and for how long.

Every figure is of the time that is known; what is not known is counted and never filled.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.climate_damp import Damp, Warned, damp_of
from ledger.climate_held import Held, within
from ledger.climate_ranges import Day, RangeShare, days_of, seasons_of, shares_of, swings_of
from ledger.rules import climate
from ledger.rules.ageing import Band
from ledger.rules.permanence import mean_film, mean_isoperm
from ledger.rules.walls import WallRules, wall_rules

__all__ = ["DAY", "Extent", "Figures", "figures_of"]

DAY: Final = climate.SECONDS_A_DAY
_HUNDRED: Final = 100
_PER_MILLE: Final = 1000


@dataclass(frozen=True, kw_only=True)
class Extent:
    """The least, the mean and the most of a figure over the time that is known."""

    low: float
    mean: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Figures:
    """All of it, of one place over one time. Units: s of the logger's clock."""

    start: int
    end: int
    known: int
    equivalent: Band
    """Days at 20 degrees and 50 per cent that age as much as the known time."""
    multiplier: Band | None
    """How many times as long paper lasts as at 20 degrees and 50 per cent; None where nothing is known."""
    celsius: Extent | None
    rh: Extent | None
    dew_point: Extent | None
    grams: Extent | None
    untried: int
    """Seconds at humidities at which the formula was not tried."""
    damp: tuple[Damp, ...]
    """The air first, then surfaces that are colder."""
    ranges: tuple[RangeShare, ...]
    swings: tuple[RangeShare, ...]
    """Of days that are known by nine tenths."""
    seasons: tuple[RangeShare, ...]
    """Of months that are known by nine tenths; empty where there are not twelve."""
    isoperm: Band | None
    """How many times as permanent by another formula; None where nothing is known."""
    film: float | None
    """How many times the index of acetate film, which is not paper."""
    days: tuple[Day, ...]

    @property
    def coverage_per_mille(self) -> int:
        """Share of the time that is known."""
        return self.known * _PER_MILLE // (self.end - self.start) if self.end > self.start else 0

    @property
    def warning(self) -> Warned:
        """The gravest of the air and of the surface that is least colder.

        Surfaces that are colder still are told and warned of by themselves: nobody knows whether they are that cold.
        """
        return max((each.warning for each in self.damp[:2]), key=list(Warned).index)


def figures_of(
    readings: Sequence[Held], start: int, end: int, colder: Sequence[float] = (), rules: WallRules | None = None
) -> Figures:
    """What they come to over that time; `colder` are surfaces told beside the air. Units: s, kelvin.

    Requires: readings in the order of time that do not overlap.
    """
    inside = list(within(readings, start, end))
    times: Counter[tuple[int, int]] = Counter()
    for each in inside:
        times[each.celsius, each.rh] += each.seconds
    known = times.total()
    airs = [(celsius / _HUNDRED, rh / _HUNDRED, seconds) for (celsius, rh), seconds in times.items()]
    equivalent = climate.equivalent_days(airs)
    days, taken = tuple(days_of(inside)), wall_rules() if rules is None else rules
    return Figures(
        start=start,
        end=end,
        known=known,
        equivalent=equivalent,
        multiplier=climate.mean_multiplier(equivalent, known),
        celsius=_extent((celsius, seconds) for celsius, _, seconds in airs),
        rh=_extent((rh, seconds) for _, rh, seconds in airs),
        dew_point=_extent(
            (dew, seconds) for celsius, rh, seconds in airs if (dew := climate.dew_point(celsius, rh)) is not None
        ),
        grams=_extent((climate.absolute_humidity(celsius, rh), seconds) for celsius, rh, seconds in airs),
        untried=sum(seconds for _, rh, seconds in airs if not climate.tried(rh)),
        damp=tuple(damp_of(inside, times, each, taken) for each in (0.0, *colder)),
        ranges=tuple(shares_of(times)),
        swings=tuple(swings_of(days)),
        seasons=tuple(seasons_of(days)),
        isoperm=mean_isoperm(airs),
        film=mean_film(airs),
        days=days,
    )


def _extent(figures: Iterable[tuple[float, int]]) -> Extent | None:
    low = high = total = weight = 0.0
    for value, seconds in figures:
        low, high = (min(low, value), max(high, value)) if weight else (value, value)
        total, weight = total + value * seconds, weight + seconds
    return Extent(low=low, mean=total / weight, high=high) if weight else None
