"""The light of a book as it is answered: what it had, what its spot does in a year, and what it is taken for."""

from datetime import date

from pydantic import BaseModel, ConfigDict, Field

from api.schemas import Answer
from ledger.events._parts import Answer as YesNo
from ledger.light_share import Against, Bounds, Faded, Light, Prospect, Standing
from ledger.light_spot import Known
from ledger.rules.light import Extent, LightClass, Sensitivity
from ledger.usecases.light import WHY_MOST, BookLight, ClassSaid
from ledger.usecases.light_what_if import WhatIf

_DECIMALS = 6
_DECIMAL = r"^(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?$"
_SHORT = r"^[a-z0-9][a-z0-9-]{0,39}$"
_SHARE = "Units: 1 is a just noticeable fade."


class ExtentAnswer(Answer):
    """The least, the middle and the most that something can be; never one number where the sources give a band."""

    low: float = Field(ge=0, description="The least.")
    middle: float = Field(ge=0, description="The middle.")
    high: float = Field(ge=0, description="The most.")


class BoundsAnswer(Answer):
    """The least, the middle and the most; null in a member is that there is no end to it."""

    low: float | None = Field(description="The least.")
    middle: float | None = Field(description="The middle.")
    high: float | None = Field(description="The most.")


class SensitivityAnswer(Answer):
    """A class of responsivity to light (CIE 157:2004), and the blue wool steps (ISO 105-B08) that stand for it."""

    light_class: LightClass = Field(description="The class.")
    steps: list[int] | None = Field(
        description="Blue wool steps: the most sensitive, the usual, the least sensitive; null where light does nothing."
    )
    most_lux: int | None = Field(description="The class's limit of light; null is no limit. Units: lx.")
    most_lux_hours_a_year: int | None = Field(
        description="The class's limit of a year's light; null is no limit. Units: lx h a year."
    )


class StandingAnswer(Answer):
    """What the book is taken for."""

    book: SensitivityAnswer = Field(description="What its cover is taken for.")
    chosen: bool = Field(description="The collector chose that; else it follows from the cover date, an assumption.")
    why: str = Field(description="Why it was chosen; empty where that was not said.")
    default: SensitivityAnswer = Field(description="What it would be taken for by itself.")
    dated: bool = Field(description="The cover has a date; without one the most sensitive class is taken.")
    signature: SensitivityAnswer = Field(description="What a signature on it is taken for.")
    signature_chosen: bool = Field(description="The collector chose that.")


class FadedAnswer(Answer):
    """Which part of a just noticeable fade the known light was: an index to compare by, no forecast of a copy."""

    known: ExtentAnswer = Field(description=f"With the ultraviolet as far as it is known. {_SHARE}")
    with_uv: ExtentAnswer = Field(description=f"As if no ultraviolet had been filtered out. {_SHARE}")
    without_uv: ExtentAnswer = Field(description=f"As if all of it had been. {_SHARE}")


class ProspectAnswer(Answer):
    """A year at one spot."""

    known: Known = Field(description="How the light of the spot is known.")
    filtered: YesNo = Field(description="Ultraviolet is filtered out before it falls on the book.")
    away_cm: int | None = Field(description="How far off the nearest reading was made; null without one. Units: cm.")
    lux: float | None = Field(description="The brightest it is; null is not known. Units: lx.")
    uv_milliwatts: float | None = Field(
        description="Ultraviolet at the brightest, before any glazing; null is not measured. Units: mW/m²."
    )
    lux_hours_a_day: ExtentAnswer | None = Field(description="Null is not known. Units: lx h a day.")
    lux_hours_a_year: ExtentAnswer | None = Field(description="Null is not known. Units: lx h a year.")
    years: BoundsAnswer | None = Field(
        description="Until the fade is just noticeable, on top of the light that is known; null where that is not known, "
        "or never comes. Units: years."
    )
    days_a_year: BoundsAnswer | None = Field(
        description="Days that the class's yearly limit allows; null in a member is every day. Units: days a year."
    )
    copies: int | None = Field(description="Copies that would take turns in the spot; null is not known.")
    against: Against = Field(description="A year of it beside the class's yearly limit: a label, no verdict.")
    brighter: bool | None = Field(description="It is at times brighter than the class's limit; null is not known.")
    others: list["OtherAnswer"] = Field(description="Beside limits that were published for other things: labels.")


class OtherAnswer(Answer):
    """A yearly limit of something else."""

    title: str = Field(description="What it was published for.")
    lux_hours_a_year: int = Field(description="The limit. Units: lx h a year.")
    against: Against = Field(description="A year beside it: a label, no verdict.")


class PointAnswer(Answer):
    """What the book had had by a day."""

    by: date = Field(description="The day. Units: ISO 8601 date.")
    lux_hours: ExtentAnswer = Field(description="Since it came here. Units: lx h.")


class LightAnswer(Answer):
    """The light of one book."""

    book: str = Field(description="Id of the book.")
    until: date = Field(description="Until which day it is counted. Units: ISO 8601 date.")
    since: date | None = Field(description="From which day; null where it was never here. Units: ISO 8601 date.")
    since_open: bool = Field(description="No date says since when, so it counts from when it must have been here.")
    earlier: str = Field(description="Of the light before that: not known, and never nothing.", examples=["not known"])
    lux_hours: ExtentAnswer | None = Field(
        description="Light since then, as far as it is known; null where nothing is known of it. Units: lx h."
    )
    days: int = Field(description="Days that are counted. Units: days.")
    unknown_days: int = Field(description="Days of them whose light is, or may be, not known. Units: days.")
    standing: StandingAnswer = Field(description="What it is taken for.")
    faded: FadedAnswer | None = Field(
        description="What that light did; null where nothing is known of it, or light does nothing."
    )
    signature: FadedAnswer | None = Field(description="The same of a signature on it.")
    here: ProspectAnswer | None = Field(description="A year where it is now; null where it is not here.")
    series: list[PointAnswer] = Field(description="How it grew.")


class LightList(Answer):
    """What hangs."""

    books: list[LightAnswer] = Field(description="The light of every book that hangs.")


class WhatIfAnswer(Answer):
    """A year as it is, and as it would be."""

    now: ProspectAnswer | None = Field(description="Where it is now; null where it is not here.")
    then: ProspectAnswer = Field(description="As it was asked for.")


class LightClassBody(BaseModel):
    """What the collector takes a book for; what is left out follows from the table."""

    model_config = ConfigDict(extra="forbid")

    light_class: LightClass | None = Field(None, description="The class of the cover; null leaves it to the table.")
    why: str = Field("", max_length=WHY_MOST, description="Why; kept only with a class.")
    signature_class: LightClass | None = Field(None, description="The class of a signature on it; null as above.")

    def said(self) -> ClassSaid:
        """As the ledger hears it."""
        return ClassSaid(light_class=self.light_class or "", why=self.why, signature_class=self.signature_class or "")


class WhatIfBody(BaseModel):
    """Another spot, another light, less of it, or a filter; what is left out stays as it is."""

    model_config = ConfigDict(extra="forbid")

    room: str | None = Field(None, pattern=_SHORT, description="Id of a room; with it its wall.")
    wall: str | None = Field(None, pattern=_SHORT, description="Id of a wall of that room.")
    x_cm: str | None = Field(None, pattern=_DECIMAL, description="From the left end. Units: cm, a decimal as text.")
    y_cm: str | None = Field(None, pattern=_DECIMAL, description="From the floor. Units: cm, a decimal as text.")
    lux: str | None = Field(None, pattern=_DECIMAL, description="The light instead. Units: lx, a decimal as text.")
    hours_per_day: str | None = Field(
        None, pattern=_DECIMAL, description="With that light. Units: h a day, a decimal as text."
    )
    dim_to_percent: int | None = Field(None, ge=0, le=100, description="So much of the light. Units: per cent.")
    uv_filter: YesNo | None = Field(None, description="Whether ultraviolet is filtered out.")

    def asked(self) -> WhatIf:
        """As the ledger hears it."""
        return WhatIf(**self.model_dump())


def light_answer(of: BookLight) -> LightAnswer:
    """The light of a book."""
    light: Light = of.light
    return LightAnswer(
        book=of.book.id,
        until=light.until,
        since=light.since,
        since_open=light.since_open,
        earlier="not known",
        lux_hours=_extent(light.total.extent) if light.known else None,
        days=light.total.days,
        unknown_days=light.total.unknown_days,
        standing=_standing(light.standing),
        faded=_faded(light.faded if light.known else None),
        signature=_faded(light.signature if light.known else None),
        here=None if light.here is None else prospect_answer(light.here),
        series=[PointAnswer(by=day, lux_hours=_extent(extent)) for day, extent in light.series],
    )


def prospect_answer(of: Prospect) -> ProspectAnswer:
    """A year at a spot."""
    return ProspectAnswer(
        known=of.light.known,
        filtered=of.light.filtered,
        away_cm=of.light.away_cm,
        lux=of.light.lux,
        uv_milliwatts=of.light.uv_milliwatts,
        lux_hours_a_day=None if of.light.lux_hours is None else _extent(of.light.lux_hours),
        lux_hours_a_year=None if of.a_year is None else _extent(of.a_year),
        years=bounds_answer(of.years),
        days_a_year=bounds_answer(of.days),
        copies=of.copies,
        against=of.against,
        brighter=of.brighter,
        others=[OtherAnswer(title=each.title, lux_hours_a_year=each.limit, against=each.against) for each in of.others],
    )


def _standing(of: Standing) -> StandingAnswer:
    return StandingAnswer(
        book=_sensitivity(of.book),
        chosen=of.chosen,
        why=of.why,
        default=_sensitivity(of.default),
        dated=of.dated,
        signature=_sensitivity(of.signature),
        signature_chosen=of.signature_chosen,
    )


def _sensitivity(of: Sensitivity) -> SensitivityAnswer:
    return SensitivityAnswer(
        light_class=of.light_class,
        steps=None if of.steps is None else list(of.steps),
        most_lux=of.most_lux,
        most_lux_hours_a_year=of.most_lux_hours_a_year,
    )


def _faded(of: Faded | None) -> FadedAnswer | None:
    if of is None:
        return None
    return FadedAnswer(known=_extent(of.known), with_uv=_extent(of.with_uv), without_uv=_extent(of.without_uv))


def _extent(of: Extent) -> ExtentAnswer:
    low, middle, high = (round(each, _DECIMALS) for each in (of.low, of.middle, of.high))
    return ExtentAnswer(low=low, middle=middle, high=high)


def bounds_answer(of: Bounds | None) -> BoundsAnswer | None:
    """Rounded to what may be said; None where it is not known."""
    if of is None:
        return None
    low, middle, high = (None if each is None else round(each, _DECIMALS) for each in (of.low, of.middle, of.high))
    return BoundsAnswer(low=low, middle=middle, high=high)
