"""The calendar in its bytes: read back by the library that others use, and held against RFC 5545."""

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from icalendar import Calendar

from ledger.adapters.calendar import ICalendars
from ledger.feed import AHEAD, Due
from tests.calendars import flaws

MOMENT = datetime(2026, 3, 4, 18, 30, 5, 999, tzinfo=timezone(timedelta(hours=2)))
PRESS = Due(id="a" * 32, at=MOMENT, words="Comes out: Press, 2 books", changed=MOMENT - timedelta(hours=3), ahead=AHEAD)
REST = Due(id="b" * 32, at=date(2026, 3, 11), words="Look again after the rest: one book", changed=MOMENT)


SPELLED = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Slipsheet//Bench//EN",
    "CALSCALE:GREGORIAN",
    "NAME:Bench",
    "REFRESH-INTERVAL;VALUE=DURATION:PT1H",
    "BEGIN:VTIMEZONE",
    "TZID:Etc/UTC",
    "BEGIN:STANDARD",
    "DTSTART:19700101T000000",
    "TZOFFSETFROM:+0000",
    "TZOFFSETTO:+0000",
    "END:STANDARD",
    "END:VTIMEZONE",
    "BEGIN:VEVENT",
    "SUMMARY:Comes out: Press\\, 2 books",
    "DTSTART:20260304T163005Z",
    "DTEND:20260304T164505Z",
    "DTSTAMP:20260304T133005Z",
    "UID:aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa@slipsheet.invalid",
    "CLASS:PRIVATE",
    "TRANSP:TRANSPARENT",
    "BEGIN:VALARM",
    "ACTION:DISPLAY",
    "DESCRIPTION:Comes out: Press\\, 2 books",
    "TRIGGER:-PT10M",
    "END:VALARM",
    "END:VEVENT",
    "BEGIN:VEVENT",
    "SUMMARY:Look again after the rest: one book",
    "DTSTART;VALUE=DATE:20260311",
    "DTEND;VALUE=DATE:20260312",
    "DTSTAMP:20260304T163005Z",
    "UID:bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb@slipsheet.invalid",
    "CLASS:PRIVATE",
    "TRANSP:TRANSPARENT",
    "END:VEVENT",
    "END:VCALENDAR",
    "",
]


def written(*dues: Due) -> bytes:
    return ICalendars().written(dues, "Bench")


def events_of(data: bytes) -> list[Any]:
    """What the library reads in a calendar."""
    return list(Calendar.from_ical(data).walk("VEVENT"))


def test_the_whole_of_it_is_as_the_standard_spells_it() -> None:
    """Source: RFC 5545 sections 3.1 (lines), 3.6.1 (event), 3.6.6 (alarm), 3.3.5 form 2 (UTC); RFC 7986 5.1 and 5.7."""
    assert written(PRESS, REST).decode().split("\r\n") == SPELLED


def test_the_order_in_which_things_come_changes_no_byte() -> None:
    assert written(PRESS, REST) == written(REST, PRESS)


@example("C:\\New\\n; one, two")
@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=120))
def test_a_title_of_any_letters_comes_back_and_no_line_is_too_long(title: str) -> None:
    """Source: RFC 5545 sections 3.1 (75 octets, folding) and 3.3.11 (escapes)."""
    data = written(Due(id="c" * 32, at=MOMENT, words=title, changed=MOMENT))
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert b"\n" not in data.replace(b"\r\n", b"")
    (event,) = events_of(data)
    assert str(event["summary"]) == title


@pytest.mark.parametrize("due", [PRESS, REST])
def test_the_library_reads_the_same_moment_back(due: Due) -> None:
    (event,) = events_of(written(due))
    expected = due.at.astimezone(UTC).replace(microsecond=0) if isinstance(due.at, datetime) else due.at
    assert event["dtstart"].dt == expected


@pytest.mark.parametrize("dues", [(), (PRESS,), (PRESS, REST)], ids=["nothing due", "a load", "a load and a rest"])
def test_it_keeps_to_the_standard_even_when_nothing_is_due(dues: tuple[Due, ...]) -> None:
    """Source: RFC 5545 section 3.6: at least one component."""
    assert flaws(written(*dues)) == []
