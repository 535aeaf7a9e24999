"""How light fades a cover: doses to a just noticeable fade, classes with their limits, and the sums made with them.

All of it is an index to compare spots by, and no forecast of any copy: which dyes a cover has nobody measured. Light adds
up: 50 lx for 10 hours do what 250 lx do in 2.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import ceil
from typing import Final

from ledger.rules._tables import Row, table
from ledger.rules.lit_places import LitPlace, lit_places

__all__ = [
    "DAYS",
    "Extent",
    "LightClass",
    "LightRules",
    "Sensitivity",
    "copies_per_slot",
    "days_allowed",
    "light_rules",
    "lux_allowed",
    "share_of",
    "uv_milliwatts",
    "year_lux_hours",
    "yearly_budget",
    "years_to_fade",
]

DAYS: Final = 365
"""Of a year."""
_FIRST_STEP, _LAST_STEP = 1, 8
"""Blue wool references, the most sensitive and the least. Source: ISO 105-B08."""
_JUST_OVER: Final = 1e-9
"""A quotient that misses a whole number by less is that number."""


class LightClass(StrEnum):
    """Responsivity to light. Source: CIE 157:2004, section 3.1.1."""

    NONE = "none"
    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


@dataclass(frozen=True, kw_only=True)
class Extent:
    """The least, the middle and the most that something can be."""

    low: float
    middle: float
    high: float

    def __add__(self, other: "Extent") -> "Extent":
        """Light adds up."""
        return Extent(low=self.low + other.low, middle=self.middle + other.middle, high=self.high + other.high)

    def times(self, factor: float) -> "Extent":
        """So many times as much."""
        return Extent(low=self.low * factor, middle=self.middle * factor, high=self.high * factor)


@dataclass(frozen=True, kw_only=True)
class Sensitivity:
    """A class, and the blue wool steps that stand for what is of it; no steps where light does it nothing."""

    light_class: LightClass
    steps: tuple[int, int, int] | None
    """The most sensitive, the usual, the least sensitive."""
    most_lux: int | None
    most_lux_hours_a_year: int | None
    """None: no limit."""


@dataclass(frozen=True, kw_only=True)
class LightRules:
    """The table, and that of places in a house, with what the collector ruled in them."""

    rows: Mapping[str, Row]
    places: Mapping[str, LitPlace]
    """How light it commonly is there, by id."""

    def fade_dose(self, sensitivity: Sensitivity, *, uv: bool) -> Extent | None:
        """Lux hours to a just noticeable fade, with the doubt in them; None where light does it nothing.

        Source: the rows `blue-wool-…` and `doubt`.
        """
        if sensitivity.steps is None:
            return None
        name = "with_uv_lux_hours" if uv else "without_uv_lux_hours"
        doses = (float(max(1, self.number(f"blue-wool-{step}", name))) for step in sensitivity.steps)
        first, usual, last = sorted(doses)
        factor = max(1, self.number("doubt", "factor"))
        return Extent(low=first / factor, middle=usual, high=last * factor)

    def of_class(self, light_class: LightClass) -> Sensitivity:
        """What a class stands for. Source: the row of its name."""
        return self._sensitivity(light_class, light_class.value)

    def by_default(self, first_year: int | None) -> Sensitivity:
        """What a cover of the year is taken for; one whose year is not known is taken as the most sensitive.

        Source: our assumption.
        """
        old = first_year is None or first_year <= self.number("before-1980", "last_year")
        return self._default("before-1980" if old else "from-1980")

    def signature(self) -> Sensitivity:
        """What a signature is taken for. Source: our assumption."""
        return self._default("signature")

    def number(self, row: str, name: str) -> int:
        """A figure of the table; less than nothing is nothing."""
        return max(0, self.rows[row].whole(name))

    def other_limits(self) -> tuple[tuple[str, int], ...]:
        """Yearly limits that were published for other things, each with its title: labels, no classes of a book.

        Source: the row's own. Units: lx h a year.
        """
        named = ("special", "photographs")
        return tuple((self.rows[each].text("title"), self.number(each, "most_lux_hours_a_year")) for each in named)

    def total_fade(self) -> int:
        """So many just noticeable fades are almost a total one. Source: from memory."""
        return self.number("total-fade", "fades")

    def _default(self, row: str) -> Sensitivity:
        try:
            light_class = LightClass(self.rows[row].text("class"))
        except ValueError:  # a ruling that names no class
            light_class = LightClass.HIGH
        return self._sensitivity(light_class, row)

    def _sensitivity(self, light_class: LightClass, row: str) -> Sensitivity:
        if light_class is LightClass.NONE:
            return Sensitivity(light_class=light_class, steps=None, most_lux=None, most_lux_hours_a_year=None)
        given = [self.number(row, f"{name}_step") for name in ("first", "usual", "last")]
        first, usual, last = sorted(min(_LAST_STEP, max(_FIRST_STEP, each)) for each in given)
        return Sensitivity(
            light_class=light_class,
            steps=(first, usual, last),
            most_lux=self.number(light_class.value, "most_lux"),
            most_lux_hours_a_year=self.number(light_class.value, "most_lux_hours_a_year"),
        )


def light_rules(edited: Mapping[str, Row] | None = None, places: Iterable[LitPlace] | None = None) -> LightRules:
    """The tables as they were shipped, with these rows in place of the first one's, and these places.

    Source: the row's own.
    """
    return LightRules(
        rows={row.id: (edited or {}).get(row.id, row) for row in table("light").rows},
        places={each.id: each for each in (lit_places() if places is None else places)},
    )


def year_lux_hours(
    lux: float, hours: float, days: float = DAYS, *, off_lux: float = 0.0, off_hours: float = 0.0
) -> float:
    """Lux hours of a year, those outside of the lit hours too. Units: lx, h a day, d.

    Source: the definition of exposure; reciprocity, which from memory holds well at such levels.
    """
    return (lux * hours + off_lux * off_hours) * days


def share_of(lux_hours: float, fade_dose: float) -> float:
    """Which part it is of a just noticeable fade; 1 is all of it.

    Source: reciprocity, as `year_lux_hours`.
    """
    return lux_hours / fade_dose


def years_to_fade(fade_dose: float, a_year: float) -> float | None:
    """Years to a just noticeable fade; None in the dark. Units: lx h, lx h a year.

    Source: as `share_of`.
    """
    return fade_dose / a_year if a_year > 0 else None


def days_allowed(limit: float, lux: float, hours: float = 1.0) -> float | None:
    """Days a year until a yearly limit is reached; more than a year's is no limit, and so is None. Units: lx h, lx, h.

    Source: the limit as a sum of CIE 157:2004, shared out.
    """
    return limit / (lux * hours) if lux * hours > 0 else None


def lux_allowed(limit: float, hours: float) -> float | None:
    """Light that a yearly limit allows every day; None where it is never on. Units: lx h, h a day, lx.

    Source: as `days_allowed`.
    """
    return limit / (hours * DAYS) if hours > 0 else None


def copies_per_slot(days: float | None) -> int | None:
    """Copies that take turns in a slot, so that it is never empty; None where no day is allowed.

    Source: as `days_allowed`.
    """
    if days is None or days >= DAYS:
        return 1
    return ceil(DAYS / days - _JUST_OVER) if days > 0 else None


def yearly_budget(fade_dose: float, years: float) -> float:
    """Lux hours a year that come to a just noticeable fade in so many years. Units: lx h.

    Source: as `share_of`.
    """
    return fade_dose / years


def uv_milliwatts(lux: float, microwatts_per_lumen: float) -> float:
    """Ultraviolet on a square metre. Units: lx, µW/lm, mW/m².

    Source: the definition of the measure, a share of the luminous flux.
    """
    return lux * microwatts_per_lumen / 1000
