"""Calendars as programs read them. Source: RFC 5545; the name and how often to ask again, RFC 7986."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Final

from icalendar import Alarm, Calendar, Event, Timezone, TimezoneStandard, vText

from ledger.feed import Due

__all__ = ["ICalendars"]

_MAKER: Final = "-//Slipsheet//Bench//EN"
_HOST: Final = "slipsheet.invalid"
_ASK_AGAIN: Final = timedelta(hours=1)
_LASTS: Final = timedelta(minutes=15)
"""A moment is drawn so long, or calendars show it as nothing. Our assumption."""


class ICalendars:
    """As `feed.Calendars`."""

    def written(self, dues: Sequence[Due], name: str) -> bytes:
        """The calendar, its entries in the order of their ids."""
        calendar = Calendar()
        calendar.add("prodid", _MAKER)
        calendar.add("version", "2.0")
        calendar.add("calscale", "GREGORIAN")
        calendar.add("name", name)
        calendar.add("refresh-interval", _ASK_AGAIN, parameters={"VALUE": "DURATION"})
        calendar.add_component(_zone())
        for due in sorted(dues, key=lambda each: each.id):
            calendar.add_component(_event(due))
        return bytes(calendar.to_ical())


class _Line(vText):
    """One line of text; the library would take a backslash before a capital N for the end of a line."""

    def to_ical(self) -> bytes:
        """Escaped. Source: RFC 5545 section 3.3.11."""
        return self.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").encode()


def _zone() -> Timezone:
    """A calendar holds at least one component, and there may be nothing due: RFC 5545 section 3.6."""
    zone, standard = Timezone(), TimezoneStandard()
    zone.add("tzid", "Etc/UTC")
    standard.add("dtstart", datetime(1970, 1, 1))  # noqa: DTZ001 - a zone begins at a local time, section 3.6.5
    standard.add("tzoffsetfrom", timedelta(0))
    standard.add("tzoffsetto", timedelta(0))
    zone.add_component(standard)
    return zone


def _event(due: Due) -> Event:
    event = Event()
    event.add("uid", f"{due.id}@{_HOST}")
    event.add("dtstamp", due.changed.astimezone(UTC).replace(microsecond=0))
    event.add("summary", _Line(due.words))
    event.add("class", "PRIVATE")
    event.add("transp", "TRANSPARENT")
    if not isinstance(due.at, datetime):
        event.add("dtstart", due.at)
        event.add("dtend", due.at + timedelta(days=1))
        return event
    start = due.at.astimezone(UTC).replace(microsecond=0)
    event.add("dtstart", start)
    event.add("dtend", start + _LASTS)
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _Line(due.words))
    alarm.add("trigger", -due.ahead)
    event.add_component(alarm)
    return event
