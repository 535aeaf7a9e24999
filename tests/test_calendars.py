"""The check that calendars are held against finds what it is there to find."""

import pytest

from tests.calendars import flaws

EVENT = (
    "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//example.org//ledger 1.0//EN", "BEGIN:VEVENT",
    "UID:evt-0001@example.org", "DTSTAMP:20260102T030405Z", "DTSTART;VALUE=DATE:20260315",
    "SUMMARY:Insurance schedule renewal", "BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:Insurance schedule renewal",
    "TRIGGER:-P7D", "END:VALARM", "END:VEVENT", "END:VCALENDAR",
)  # fmt: skip
TODO = (
    "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//example.org//ledger 1.0//EN", "BEGIN:VTODO",
    "UID:todo-0001@example.org", "DTSTAMP:20260102T030405Z", "DUE:20260401T120000Z",
    "SUMMARY:Return item from treatment", "STATUS:NEEDS-ACTION", "BEGIN:VALARM", "ACTION:DISPLAY",
    "DESCRIPTION:Item due back", "TRIGGER;RELATED=END:-PT24H", "END:VALARM", "END:VTODO", "END:VCALENDAR",
)  # fmt: skip
"""The least an event and a task may have, with an alarm. Source: RFC 5545 sections 3.6.1, 3.6.2, 3.6.6."""


def joined(lines: tuple[str, ...], end: str = "\r\n") -> bytes:
    return "".join(f"{line}{end}" for line in lines).encode()


@pytest.mark.parametrize("lines", [EVENT, TODO], ids=["event", "task"])
def test_the_least_that_is_allowed_passes(lines: tuple[str, ...]) -> None:
    assert flaws(joined(lines)) == []


@pytest.mark.parametrize(
    "lost",
    [
        "UID:evt-0001@example.org",
        "DTSTAMP:20260102T030405Z",
        "DTSTART;VALUE=DATE:20260315",
        "PRODID:-//example.org//ledger 1.0//EN",
        "VERSION:2.0",
        "DESCRIPTION:Insurance schedule renewal",
        "TRIGGER:-P7D",
    ],
)
def test_a_line_that_must_be_there_is_missed(lost: str) -> None:
    assert len(flaws(joined(tuple(line for line in EVENT if line != lost)))) == 1


@pytest.mark.parametrize(
    ("lines", "was", "now"),
    [
        (EVENT, "DTSTART;VALUE=DATE:20260315", "DTSTART;VALUE=DATE:2026-03-15"),
        (EVENT, "DTSTART;VALUE=DATE:20260315", "DTSTART:20260315T120000"),
        (EVENT, "DTSTART;VALUE=DATE:20260315", "DTSTART:20260315T120000Z\r\nDTEND;VALUE=DATE:20260316"),
        (EVENT, "DTSTART;VALUE=DATE:20260315", "DTSTART;VALUE=DATE:20260315\r\nDTEND;VALUE=DATE:20260315"),
        (EVENT, "SUMMARY:Insurance schedule renewal", "SUMMARY:Insurance, schedule"),
        (EVENT, "SUMMARY:Insurance schedule renewal", "SUMMARY:" + "x" * 68),
        (EVENT, "TRIGGER:-P7D", "TRIGGER:-7D"),
        (TODO, "TRIGGER;RELATED=END:-PT24H", "TRIGGER:-PT24H"),
    ],
)
def test_a_line_that_is_wrong_is_named(lines: tuple[str, ...], was: str, now: str) -> None:
    assert was in lines
    assert len(flaws(joined(tuple(now if line == was else line for line in lines)))) == 1


def test_an_end_beside_a_length_is_named() -> None:
    both = "DTSTART;VALUE=DATE:20260315\r\nDTEND;VALUE=DATE:20260316\r\nDURATION:P1D"
    assert flaws(joined(EVENT).replace(b"DTSTART;VALUE=DATE:20260315", both.encode())) == ["DTEND beside DURATION"]


def test_lines_that_end_in_a_line_feed_alone_are_named() -> None:
    assert any(flaw.startswith("lines: ") for flaw in flaws(joined(EVENT, "\n")))


def test_an_event_that_stands_there_twice_is_named() -> None:
    event = joined(EVENT[3:-1])
    assert flaws(joined(EVENT).replace(event, event * 2)) == ["a UID twice"]
