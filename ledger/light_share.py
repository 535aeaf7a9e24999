"""What light did to a book as far as is known, and what it does where the book is: shares of a fade, years, days a year."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import accumulate
from typing import Final

from ledger.book import Book
from ledger.events._parts import Answer
from ledger.history import Moment
from ledger.light_dose import RoomStays, Segment, Stay, Total, light_on, segments_of, stays_of, total_of
from ledger.light_spot import NOTHING, DayLight
from ledger.rules.light import (
    DAYS,
    Extent,
    LightRules,
    Sensitivity,
    copies_per_slot,
    days_allowed,
    share_of,
    years_to_fade,
)

__all__ = [
    "Against",
    "Bounds",
    "Faded",
    "Light",
    "Other",
    "Prospect",
    "Standing",
    "light_of",
    "prospect_of",
    "standing_of",
]

WITH_UV: Final = (True,)
WITHOUT_UV: Final = (False,)
COLUMNS: Final = {Answer.YES: WITHOUT_UV, Answer.NO: WITH_UV, Answer.UNSURE: (False, True)}
"""Which doses to a fade count, with ultraviolet or without, by whether it is filtered out."""


class Against(StrEnum):
    """A year at a spot beside the yearly limit of the class: a label, and no verdict."""

    WITHIN = "within"
    OVER = "over"
    OPEN = "may be over"
    NO_LIMIT = "no limit"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, kw_only=True)
class Bounds:
    """The least, the middle and the most, each None where there is no end to it."""

    low: float | None
    middle: float | None
    high: float | None


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What a book is taken for, and what it would be taken for by itself; signatures apart."""

    book: Sensitivity
    default: Sensitivity
    signature: Sensitivity
    chosen: bool = False
    """The collector chose the class of the book."""
    signature_chosen: bool = False
    why: str = ""
    dated: bool = True
    """The cover has a date from which the default follows."""


@dataclass(frozen=True, kw_only=True)
class Faded:
    """Which part of a just noticeable fade the light was that is known; 1 is all of it."""

    known: Extent
    """With the ultraviolet as far as it is known."""
    with_uv: Extent
    without_uv: Extent


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """A year at one spot, on the light of one day."""

    light: DayLight
    a_year: Extent | None
    """Units: lx h; None where it is not known."""
    years: Bounds | None
    """Until the fade is just noticeable, on top of what is known; None where it is not known or never comes."""
    days: Bounds | None
    """Days a year that the yearly limit allows; None in a member is no limit."""
    copies: int | None
    """Copies that would take turns here."""
    against: Against
    brighter: bool | None
    """It is brighter than the class's limit at times; None where that is not known, or there is none."""
    others: tuple["Other", ...]
    """Limits that were published for other things."""


@dataclass(frozen=True, kw_only=True)
class Other:
    """A year beside a limit that was published for something else: a label. Units: lx h a year."""

    title: str
    limit: int
    against: Against


@dataclass(frozen=True, kw_only=True)
class Light:
    """All that is known of the light a book had here, until a day or until it left. What it had before is not known."""

    standing: Standing
    stays: tuple[Stay, ...]
    segments: tuple[Segment, ...]
    until: date
    total: Total
    """Units: lx h, d."""
    faded: Faded | None
    """None where light does it nothing."""
    signature: Faded | None
    here: Prospect | None
    """None where it is not here."""
    series: tuple[tuple[date, Extent], ...]
    """What it had had by that day. Units: lx h."""

    @property
    def since(self) -> date | None:
        """From when on it is counted; None where it was never here."""
        return self.stays[0].first if self.stays else None

    @property
    def known(self) -> bool:
        """Of one day at least something is known of its light; else the sum is not nothing, but not known."""
        return self.total.unknown_days < self.total.days or self.total.extent.high > 0

    @property
    def since_open(self) -> bool:
        """No date says from when on."""
        return bool(self.stays) and self.stays[0].open


def standing_of(
    rules: LightRules, book: Book, chosen: Sensitivity | None, signature: Sensitivity | None, why: str = ""
) -> Standing:
    """What it is taken for: what was chosen, else what its cover date says."""
    dated = book.issue.cover_date if book.issue is not None else None
    default = rules.by_default(None if dated is None else dated.earliest_day.year)
    return Standing(
        book=chosen or default,
        default=default,
        signature=signature or rules.signature(),
        chosen=chosen is not None,
        signature_chosen=signature is not None,
        why=why,
        dated=dated is not None,
    )


def light_of(  # noqa: PLR0913 - what light hangs on
    book: Book, moments: Sequence[Moment], rooms: RoomStays, rules: LightRules, standing: Standing, until: date
) -> Light:
    """The light of a book until a day, or until it left.

    Requires: moments in the order of happening.
    """
    stays = stays_of(book, moments, until)
    falls = light_on(stays, rooms, rules, until)
    if stays and not stays[-1].here:
        until = stays[-1].last
    segments = segments_of(stays, rooms, rules, until)
    faded = _faded(segments, rules, standing.book)
    return Light(
        standing=standing,
        stays=stays,
        segments=segments,
        until=until,
        total=total_of(segments, _lux_hours),
        faded=faded,
        signature=_faded(segments, rules, standing.signature),
        here=None if falls is None else prospect_of(falls, rules, standing.book, faded),
        series=_series(segments),
    )


def prospect_of(light: DayLight, rules: LightRules, of: Sensitivity, faded: Faded | None) -> Prospect:
    """What a year in this light comes to, for a book that had so much already."""
    a_day = light.lux_hours
    limit, most = of.most_lux_hours_a_year, of.most_lux
    days = None if a_day is None else _days(limit, a_day)
    return Prospect(
        light=light,
        a_year=None if a_day is None else a_day.times(DAYS),
        years=_years(light, rules, of, faded),
        days=days,
        copies=None if days is None else copies_per_slot(days.middle),
        against=_against(limit, a_day),
        brighter=None if most is None or light.lux is None else light.lux > most,
        others=tuple(
            Other(title=title, limit=other, against=_against(other, a_day)) for title, other in rules.other_limits()
        ),
    )


def _lux_hours(light: DayLight) -> Extent:
    return light.lux_hours or NOTHING


def _fades(light: DayLight, rules: LightRules, of: Sensitivity, columns: Sequence[bool]) -> Extent:
    """Which part of a just noticeable fade a day of it is; where columns leave it open, the band spans both.

    In the middle it is the one that fades sooner: what is not known to be filtered counts as not filtered.
    """
    doses = [dose for uv in columns if (dose := rules.fade_dose(of, uv=uv)) is not None]
    if not doses or light.lux_hours is None:
        return NOTHING
    return Extent(
        low=share_of(light.lux_hours.low, max(each.high for each in doses)),
        middle=share_of(light.lux_hours.middle, min(each.middle for each in doses)),
        high=share_of(light.lux_hours.high, min(each.low for each in doses)),
    )


def _faded(segments: Sequence[Segment], rules: LightRules, of: Sensitivity) -> Faded | None:
    if of.steps is None:
        return None

    def share(columns: Sequence[bool] | None) -> Extent:
        return total_of(segments, lambda light: _fades(light, rules, of, columns or COLUMNS[light.filtered])).extent

    return Faded(known=share(None), with_uv=share(WITH_UV), without_uv=share(WITHOUT_UV))


def _years(light: DayLight, rules: LightRules, of: Sensitivity, faded: Faded | None) -> Bounds | None:
    if of.steps is None or light.lux_hours is None or light.lux_hours.high == 0:
        return None
    a_year = _fades(light, rules, of, COLUMNS[light.filtered]).times(DAYS)
    had = faded.known if faded is not None else NOTHING
    return Bounds(
        low=years_to_fade(max(0.0, 1 - had.high), a_year.high),
        middle=years_to_fade(max(0.0, 1 - had.middle), a_year.middle),
        high=years_to_fade(max(0.0, 1 - had.low), a_year.low),
    )


def _days(limit: int | None, a_day: Extent) -> Bounds:
    """Days until the yearly limit is reached; a whole year of them is no limit."""

    def until(lux_hours: float) -> float | None:
        days = None if limit is None else days_allowed(limit, lux_hours)
        return None if days is None or days >= DAYS else days

    return Bounds(low=until(a_day.high), middle=until(a_day.middle), high=until(a_day.low))


def _against(limit: int | None, a_day: Extent | None) -> Against:
    if limit is None:
        return Against.NO_LIMIT
    if a_day is None:
        return Against.NOT_KNOWN
    if a_day.high * DAYS <= limit:
        return Against.WITHIN
    return Against.OVER if a_day.low * DAYS > limit else Against.OPEN


def _series(segments: Sequence[Segment]) -> tuple[tuple[date, Extent], ...]:
    """The sum as it grew, from nothing on."""
    if not segments:
        return ()
    ends = [each.begins + timedelta(days=each.days) for each in segments]
    grown = accumulate(total_of([each], _lux_hours).extent for each in segments)
    return ((segments[0].begins, NOTHING), *zip(ends, grown, strict=True))
