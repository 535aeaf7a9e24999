"""What stands on the label of a book that hangs, and in its line of the plain list."""

from enum import Enum
from typing import NamedTuple

from ledger.events._parts import Holding
from ledger.usecases.light import SpotDays
from ledger.views import HungRow
from ledger.when import When
from web.brief import brief_when
from web.light_words import days_words
from web.wording import t

__all__ = ["HungLine", "Used", "hung_line", "light_line", "used_of"]


class Used(Enum):
    """How much of the days a year that a spot allows a book is used."""

    NO = "no"
    MAY_BE = "may be"
    UP = "up"


class HungLine(NamedTuple):
    """One book on a wall, in words."""

    book: str
    title: str
    number: str
    """Its number and, where it is known, its date."""
    publisher: str
    since: str
    place: str
    at: str
    """Where on the wall it hangs; empty where that was not entered."""
    size: str
    holding: str
    grade: str
    light: str
    """What light leaves of a year; empty where nobody asked."""


def hung_line(row: HungRow, light: str = "") -> HungLine:
    """A row in words; what is not known says so, but for its place on the wall, which the page tells once."""
    return HungLine(
        book=row.book,
        title=row.title or t("wall.untitled"),
        number=_number(row),
        publisher=row.publisher or "",
        since=t("wall.since", date=_brief(row.placed_on)) if row.placed_on else t("wall.since_not_known"),
        place=row.place or "",
        at=t("wall.at", x=_plain(row.x_cm), y=_plain(row.y_cm)) if row.x_cm and row.y_cm else "",
        size=t("wall.size", width=_plain(row.width_mm), height=_plain(row.height_mm))
        if row.width_mm and row.height_mm
        else "",
        holding=t("wall.in_holder") if row.holding == Holding.SLABBED.value else "",
        grade=t("wall.grade", grade=row.grade_as_written) if row.grade_as_written else "",
        light=light,
    )


def light_line(of: SpotDays) -> str:
    """How many days a year the light of its spot allows, in a band, and how many of them are left."""
    if of.days is None:
        return t("light.on_wall.not_known")
    if of.days.middle is None:
        return t("light.on_wall.every")
    said, hung = days_words(of.days), of.hung
    if hung is None:
        return t("light.on_wall.allows", days=said)
    used = used_of(of)
    if used is not Used.NO:
        return (
            t("light.on_wall.used_up", days=said) if used is Used.UP else t("light.on_wall.may_be_used_up", days=said)
        )
    return t("light.on_wall.left", days=said, left=int(of.days.middle) - hung)


def used_of(of: SpotDays) -> Used:
    """Whether a book has had the days a year that its spot allows."""
    if of.days is None or of.hung is None:
        return Used.NO
    if of.days.high is not None and of.hung >= int(of.days.high):
        return Used.UP
    return Used.MAY_BE if of.days.low is not None and of.hung >= int(of.days.low) else Used.NO


def _number(row: HungRow) -> str:
    if not row.cover_date:
        return t("wall.number", number=row.number)
    return t("wall.number_date", number=row.number, date=_brief(row.cover_date))


def _brief(date: str) -> str:
    """A date with its month in short, so that it keeps to one line below a book."""
    return brief_when(When.parse(date))


def _plain(measure: str) -> str:
    """A measure without zeros at its end."""
    return measure.rstrip("0").rstrip(".") if "." in measure else measure
